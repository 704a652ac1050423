//! Suggestions while an option is typed. They are a help only: what is sent is read again by the command.

use super::answering::log_unsent;
use super::api::{First, Ticket};
use super::front::Front;
use super::inbound::{id, sender};
use super::limits;
use super::slash::taken_apart;
use crate::desk::Sender;
use crate::desk::suggestions::{self, Suggestion};
use crate::desk::table::OptionSpec;
use serde_json::{Value, json};
use serenity::model::application::CommandInteraction;

/// Whether there is anything to suggest for an option.
pub(super) fn suggests(option: &OptionSpec) -> bool {
    suggestions::are_there_for(option)
}

impl Front {
    /// Answers with suggestions. Slow or failing, it answers with none: the member goes on typing.
    pub(super) async fn on_typing(&self, typing: CommandInteraction) {
        let Some(field) = typing.data.autocomplete() else { return };
        let ticket = Ticket { id: typing.id, token: typing.token.clone() };
        let (verb, _) = taken_apart(&typing.data.options);
        let who =
            sender((&typing.user, &typing.locale), typing.member.as_deref(), typing.guild_id, |group| {
                self.group(group)
            });
        let found =
            self.desk.suggest(&Sender::Chat(who), &typing.data.name, &verb, field.name, field.value).await;
        tracing::debug!(
            option = field.name,
            count = found.len(),
            place = id(typing.channel_id.get()).0,
            "suggested"
        );
        let choices: Vec<Value> = found.iter().take(limits::SUGGESTIONS).filter_map(choice).collect();
        if let Err(trouble) =
            self.api.first(&ticket, First::Suggestions, &json!({ "choices": choices })).await
        {
            log_unsent(&trouble);
        }
    }
}

/// A suggestion whose value would not fit is left out rather than cut.
fn choice(suggestion: &Suggestion) -> Option<Value> {
    (limits::width(&suggestion.value) <= limits::SUGGESTION).then(|| {
        json!({
            "name": limits::shortened(&suggestion.shown, limits::SUGGESTION),
            "value": suggestion.value,
        })
    })
}
