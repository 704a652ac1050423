//! Slash commands and the message menu: what was used becomes a line at the desk.

use super::answering::Asked;
use super::api::Ticket;
use super::buttons::{Id, Press};
use super::form::Form;
use super::front::Front;
use super::inbound::{id, sender, written};
use super::threads::{Opening, card};
use crate::desk::{Attention, Incoming, Said, Sender, table};
use crate::record::{BatchId, ChatId};
use crate::reply::say;
use crate::store::Change;
use serenity::model::application::{
    CommandDataOption, CommandDataOptionValue, CommandInteraction, CommandType,
};
use serenity::model::channel::ChannelType;
use std::sync::Arc;

impl Front {
    /// Deals with a command.
    pub(super) async fn on_command(self: Arc<Self>, command: CommandInteraction) {
        if !self.is_new(id(command.id.get())) {
            return;
        }
        let ticket = Ticket { id: command.id, token: command.token.clone() };
        let who =
            sender((&command.user, &command.locale), command.member.as_deref(), command.guild_id, |group| {
                self.group(group)
            });
        let place = id(command.channel_id.get());
        let opening = command.guild_id.zip(command.channel.as_ref()).map(|(group, channel)| Opening {
            group: id(group.get()),
            place,
            is_thread: is_thread(channel.kind),
        });
        if asks_for_log_form(&command)
            && self.open_log_form(&ticket, &command, &Sender::Chat(who.clone()), place).await
        {
            return;
        }
        match self.incoming_of(&command, Sender::Chat(who), place).await {
            Ok((incoming, private)) => {
                let handed = self.to.origins.handed(command.data.resolved.attachments.values());
                self.answer(
                    ticket,
                    Asked { incoming, private, form: None, handed, may: command.app_permissions },
                    opening,
                )
                .await;
            }
            Err(sentence) => self.say_privately(&ticket, &sentence).await,
        }
    }

    /// Opens the form for a reading, where it is known who asks and it can be kept what the form stands for.
    async fn open_log_form(
        &self,
        ticket: &Ticket,
        command: &CommandInteraction,
        sender: &Sender,
        place: ChatId,
    ) -> bool {
        let named = taken_apart(&command.data.options).1.into_iter().next().map(|(_, batch)| batch);
        let batch = self.batch_of_place(place).await.unwrap_or_default();
        let Some((owner, form)) = self.desk.log_form(sender, named, batch).await else { return false };
        let id = self.store().next_card_id();
        let form = Form::of(&form, batch);
        let presses = [(form.title.clone(), Press::Form(form.clone()))];
        let card = card(id, owner, &presses, self.clock.now());
        if let Err(error) = self.store().commit(Change { cards: vec![card], ..Change::default() }).await {
            tracing::error!(%error, "a form could not be kept");
            return false;
        }
        self.open_form(ticket, &form, &format!("{}.{}", Id::Form(id, 0), command.id)).await;
        true
    }

    /// The line a command says, and whether its answer is private; or why there is none.
    pub(super) async fn incoming_of(
        &self,
        command: &CommandInteraction,
        sender: Sender,
        place: ChatId,
    ) -> Result<(Incoming, bool), String> {
        let batch = self.batch_of_place(place).await.unwrap_or_default();
        if command.data.kind == CommandType::Message {
            let incoming = self.of_menu(command, sender, batch)?;
            return Ok((incoming, false));
        }
        let (verb, options) = taken_apart(&command.data.options);
        let root = command.data.name.clone();
        let private = table::find(&root, &verb).is_none_or(|spec| spec.private);
        let incoming = Incoming {
            id: Some(format!("i{}", command.id)),
            sender,
            said: Said::Options { root, verb, options },
            at: self.clock.now(),
            confirmed: false,
            place: batch,
            channel: Some(id(command.channel_id.get())),
            file: None,
            attention: Attention::Addressed,
        };
        Ok((incoming, private))
    }

    /// "Log this reading": the message as it was written, at the time it was written.
    fn of_menu(
        &self,
        command: &CommandInteraction,
        sender: Sender,
        batch: Option<BatchId>,
    ) -> Result<Incoming, String> {
        let message = command.data.resolved.messages.values().next();
        let group = command.guild_id.map(|group| id(group.get()));
        let written = message.and_then(|message| written(message, &self.to, group));
        let Some(written) = written.filter(|written| !written.text.is_empty() || !written.files.is_empty())
        else {
            return Err(say("platform.nothing_to_log", &[]));
        };
        Ok(Incoming {
            // The message's own id: it is kept once, whichever way it is handed in.
            id: Some(format!("m{}", written.id)),
            sender,
            said: Said::of(written.text, written.files),
            at: written.at,
            confirmed: false,
            place: batch,
            channel: Some(id(command.channel_id.get())),
            file: None,
            attention: Attention::Addressed,
        })
    }
}

/// Whether it is "/log reading" with nothing to keep in it, which asks for the form.
fn asks_for_log_form(command: &CommandInteraction) -> bool {
    let (verb, options) = taken_apart(&command.data.options);
    command.data.kind == CommandType::ChatInput
        && (&*command.data.name, &*verb) == ("log", "reading")
        && options.iter().all(|(name, _)| name == "batch")
}

/// The verb and the options with their values as text.
pub(super) fn taken_apart(options: &[CommandDataOption]) -> (String, Vec<(String, String)>) {
    match options {
        [CommandDataOption { name, value: CommandDataOptionValue::SubCommand(options), .. }] => {
            (name.clone(), values(options))
        }
        options => (String::new(), values(options)),
    }
}

fn values(options: &[CommandDataOption]) -> Vec<(String, String)> {
    options.iter().filter_map(|option| Some((option.name.clone(), text_of(&option.value)?))).collect()
}

fn text_of(value: &CommandDataOptionValue) -> Option<String> {
    match value {
        CommandDataOptionValue::String(text) | CommandDataOptionValue::Autocomplete { value: text, .. } => {
            Some(text.clone())
        }
        CommandDataOptionValue::Integer(number) => Some(number.to_string()),
        CommandDataOptionValue::Number(number) => Some(number.to_string()),
        CommandDataOptionValue::Boolean(flag) => Some(if *flag { "yes" } else { "no" }.to_owned()),
        _ => None,
    }
}

const fn is_thread(kind: ChannelType) -> bool {
    matches!(kind, ChannelType::PublicThread | ChannelType::PrivateThread | ChannelType::NewsThread)
}
