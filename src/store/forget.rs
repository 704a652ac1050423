//! Forgetting a member: everything that is theirs, and their name where the assistant wrote it down for others.

use super::convert::{json, parsed};
use super::engine::Connection;
use super::error::StoreError;
use super::formulations;
use super::numbers::Numbers;
use crate::record::{Happening, MemberId};

/// Erases a member and, by the tables' own references, everything that is theirs, the ids of their requests among it.
///
/// What they logged in the batches and chambers of others stays there with its value: without an author, without the
/// words it was read from, and without the message it came in; of photos, which are nothing else, that there were some.
pub(super) async fn member(connection: &mut Connection, member: MemberId) -> Result<(), StoreError> {
    Numbers::remember(connection).await?;
    let id = || [member.0.into()];
    connection
        .run(
            "delete from requests where request in (
                 select request from events where author_id = $1
                     or batch_id in (select id from batches where owner_id = $1)
                     or chamber_id in (select id from chambers where owner_id = $1)
                     or meter_id in (select id from meters where owner_id = $1))",
            id(),
        )
        .await?;
    connection.run("update events set request = null, typed = '' where author_id = $1", id()).await?;
    super::errands::empty_threads_of(connection, member).await?;
    pictures(connection, member).await?;
    connection
        .run("delete from places where batch_id in (select id from batches where owner_id = $1)", id())
        .await?;
    let memberships: Vec<(String,)> =
        connection.all("select distinct name from memberships where member_id = $1", id()).await?;
    let chat: Vec<(Option<i64>,)> = connection.all("select chat_id from members where id = $1", id()).await?;
    formulations::forget_owner(connection, member).await?;
    connection.run("delete from members where id = $1", id()).await?;
    // Their own conversation stands as a group under their number on the platform.
    for chat in chat.into_iter().filter_map(|(chat,)| chat) {
        connection.run("delete from groups where chat_id = $1", [chat.into()]).await?;
    }
    let known_as: Vec<String> = memberships.iter().map(|(name,)| plain(name)).collect();
    let names_them = |text: &str| {
        let text = plain(text);
        known_as.iter().any(|name| names(&text, name))
    };
    messages(connection, &names_them).await?;
    cards(connection, &names_them).await?;
    live_cards(connection, &names_them).await
}

/// Of the photos they sent, name, size and message are let go.
async fn pictures(connection: &mut Connection, member: MemberId) -> Result<(), StoreError> {
    let statement = "select id, payload from events where author_id = $1 and kind in ('picture', 'changed')";
    let all: Vec<(i64, String)> = connection.all(statement, [member.0.into()]).await?;
    for (id, payload) in all {
        let what: Happening = parsed("entry", &payload)?;
        if let Some(without) = without_pictures(what) {
            let values = [id.into(), json(&without)?.into()];
            connection.run("update events set payload = $2 where id = $1", values).await?;
        }
    }
    Ok(())
}

/// An entry of photos without them; `None` for any other.
fn without_pictures(what: Happening) -> Option<Happening> {
    match what {
        Happening::Pictured { .. } => Some(Happening::Pictured { pictures: Vec::new() }),
        Happening::Changed { of, to } => {
            without_pictures(*to).map(|to| Happening::Changed { of, to: Box::new(to) })
        }
        _ => None,
    }
}

/// Of messages to others that name the member, those that were sent lose their words and those that wait are let go.
async fn messages(connection: &mut Connection, names_them: &impl Fn(&str) -> bool) -> Result<(), StoreError> {
    let all: Vec<(i64, String, String)> = connection
        .all("select id, text, coalesce(body, '') from outbox where text <> '' or body is not null", [])
        .await?;
    for (id, text, body) in all {
        if names_them(&text) || names_them(&body) {
            connection
                .run("delete from outbox where id = $1 and state in ('waiting', 'claimed')", [id.into()])
                .await?;
            connection.run("update outbox set text = '', body = null where id = $1", [id.into()]).await?;
        }
    }
    Ok(())
}

/// Of answers to others that name the member, pages and buttons are let go.
async fn cards(connection: &mut Connection, names_them: &impl Fn(&str) -> bool) -> Result<(), StoreError> {
    let all: Vec<(i64, String, String)> =
        connection.all("select id, buttons, coalesce(pages, '') from cards", []).await?;
    for (id, buttons, pages) in all {
        if names_them(&buttons) {
            connection.run("delete from cards where id = $1", [id.into()]).await?;
        } else if names_them(&pages) {
            connection.run("update cards set pages = null where id = $1", [id.into()]).await?;
        }
    }
    Ok(())
}

/// Status cards of others that name the member are out of date: the next look at them makes them anew.
async fn live_cards(
    connection: &mut Connection,
    names_them: &impl Fn(&str) -> bool,
) -> Result<(), StoreError> {
    let all: Vec<(i64, String)> =
        connection.all("select batch_id, shown from live_cards where shown <> ''", []).await?;
    for (batch, _) in all.into_iter().filter(|(_, shown)| names_them(shown)) {
        connection
            .run(
                "update live_cards set shown = '', changes = changes + 1 where batch_id = $1",
                [batch.into()],
            )
            .await?;
    }
    Ok(())
}

/// Without what makes words harmless on a platform: backslashes, and letters that cannot be seen.
fn plain(text: &str) -> String {
    let is_seen = |letter: &char| !matches!(letter, '\\' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2064}' | '\u{2066}'..='\u{2069}' | '\u{feff}');
    // Kept as JSON a line break is written out.
    text.replace("\\n", " ").chars().filter(is_seen).collect()
}

/// Whether a name stands in a text as words of its own.
fn names(text: &str, name: &str) -> bool {
    let is_part = |letter: Option<char>| letter.is_some_and(char::is_alphanumeric);
    !name.is_empty()
        && text.match_indices(name).any(|(at, found)| {
            let before = text.get(..at).and_then(|before| before.chars().next_back());
            let after = text.get(at + found.len()..).and_then(|after| after.chars().next());
            !is_part(before) && !is_part(after)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_found_as_words_of_its_own_however_it_was_made_harmless() {
        assert!(names("Helper: Ann.", "Ann") && names("Ann", "Ann") && names("by Ann B.", "Ann B"));
        assert!(!names("Anna helps", "Ann") && !names("JoAnn", "Ann") && !names("anything", ""));
        assert!(names(&plain("shown by Ann\\_B"), &plain("Ann_B")));
        assert!(names(&plain("shown by @\u{200b}Ann"), &plain("@Ann")));
        assert!(names(&plain(r#"["Helper:\nAnn"]"#), "Ann"));
    }
}
