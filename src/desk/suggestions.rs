//! What could be typed for an option: the member's own batches and chambers, time zones, countries, labels of cures.

use super::access;
use super::incoming::Sender;
use crate::command::spec::{OptionKind, OptionSpec};
use crate::command::{suggest, table};
use crate::store::{Store, fold};

/// The most that is suggested at once.
const MOST: usize = 25;

/// One suggestion.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Suggestion {
    /// What the member sees.
    pub shown: String,
    /// What is typed for them.
    pub value: String,
}

/// Whether there is anything to suggest for an option.
pub fn are_there_for(option: &OptionSpec) -> bool {
    option.kind == OptionKind::Batch
        || ["chamber", "member"].contains(&option.name)
        || suggest::words(option.name).is_some()
}

/// Suggestions for what was typed so far, those that begin with it first.
pub(super) async fn of(
    store: &Store,
    sender: &Sender,
    command: (&str, &str),
    option: &str,
    typed: &str,
) -> Vec<Suggestion> {
    let Some(option) = table::find(command.0, command.1).and_then(|spec| spec.option(option)) else {
        return Vec::new();
    };
    let all = match option.kind {
        OptionKind::Batch => batches(store, sender).await,
        _ if option.name == "chamber" => chambers(store, sender).await,
        _ if option.name == "member" => others(store, sender),
        _ => fixed(option.name),
    };
    ranked(all, typed)
}

async fn batches(store: &Store, sender: &Sender) -> Vec<Suggestion> {
    let Some((_, member)) = access::known_at_all(store, sender) else { return Vec::new() };
    let mut all = store.batches_of(member.id).await.unwrap_or_default();
    // Open ones first, and the youngest of them; then those they help with.
    all.sort_by_key(|batch| (!batch.is_open, std::cmp::Reverse(batch.id)));
    all.extend(store.batches_helped(member.id).await.unwrap_or_default());
    all.into_iter()
        .map(|batch| Suggestion {
            shown: format!("{} {}", batch.id, batch.name),
            value: batch.id.to_string(),
        })
        .collect()
}

/// Who else is in the group.
fn others(store: &Store, sender: &Sender) -> Vec<Suggestion> {
    let Some((group, me)) = access::known_at_all(store, sender) else { return Vec::new() };
    let others = store.members_of_group(group.id).into_iter().filter(|member| member.id != me.id);
    others.map(|member| Suggestion { shown: member.name.clone(), value: member.name }).collect()
}

async fn chambers(store: &Store, sender: &Sender) -> Vec<Suggestion> {
    let Some((_, member)) = access::known_at_all(store, sender) else { return Vec::new() };
    let all = store.chambers_of(member.id).await.unwrap_or_default();
    all.into_iter().map(|chamber| Suggestion { shown: chamber.name.clone(), value: chamber.name }).collect()
}

fn fixed(option: &str) -> Vec<Suggestion> {
    let words = suggest::words(option).unwrap_or_default();
    words.into_iter().map(|(shown, value)| Suggestion { shown, value }).collect()
}

fn ranked(all: Vec<Suggestion>, typed: &str) -> Vec<Suggestion> {
    let typed = fold(typed);
    let (first, rest): (Vec<Suggestion>, Vec<Suggestion>) = all
        .into_iter()
        .filter(|one| fold(&one.shown).contains(&typed) || fold(&one.value).contains(&typed))
        .partition(|one| fold(&one.value).starts_with(&typed) || fold(&one.shown).starts_with(&typed));
    first.into_iter().chain(rest).take(MOST).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_begins_so_comes_first_and_no_more_than_a_list_holds() {
        let zones = ranked(fixed("timezone"), "rom");
        assert_eq!(zones.first().map(|one| one.value.as_str()), Some("Europe/Rome"));
        assert_eq!(ranked(fixed("timezone"), "").len(), MOST);
        assert!(ranked(fixed("nitrite"), "6,25").is_empty() || !ranked(fixed("nitrite"), "6").is_empty());
        assert_eq!(ranked(fixed("nitrite"), "6.2")[0].value, "6.25%");
    }
}
