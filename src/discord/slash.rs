//! Slash commands and the message menu: what was used becomes a line at the desk, and its answer goes back.

use super::api::{First, Ticket, is_too_late};
use super::body::{Body, EPHEMERAL};
use super::front::Front;
use super::inbound::{id, sender, written};
use super::layout::{Ground, Laid, laid};
use super::threads::Opening;
use super::trouble::Trouble;
use crate::desk::{Answered, Attention, Incoming, Said, Sender, table};
use crate::record::{BatchId, ChatId, Place};
use crate::reply::say;
use crate::store::Change;
use serde_json::json;
use serenity::model::application::{
    CommandDataOption, CommandDataOptionValue, CommandInteraction, CommandType,
};
use serenity::model::channel::ChannelType;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::OwnedSemaphorePermit;

/// An answer that is ready by then is the first one; later ones take the place of a deferral.
const AT_ONCE: Duration = Duration::from_millis(700);

/// An answer, and whether it is for the member's eyes only.
#[derive(Debug)]
pub(super) struct Ready {
    pub(super) body: Body,
    pub(super) private: bool,
    /// Kept until the answer has left: a stop waits for it.
    _room: Option<OwnedSemaphorePermit>,
}

impl Front {
    /// Deals with a command.
    pub(super) async fn on_command(self: Arc<Self>, command: CommandInteraction) {
        if !self.is_new(id(command.id.get())) {
            return;
        }
        let ticket = Ticket { id: command.id, token: command.token.clone() };
        let who =
            sender(&command.user, command.member.as_deref(), command.guild_id, |group| self.group(group));
        let place = id(command.channel_id.get());
        let opening = command.guild_id.zip(command.channel.as_ref()).map(|(group, channel)| Opening {
            group: id(group.get()),
            place,
            is_thread: is_thread(channel.kind),
        });
        match self.incoming_of(&command, Sender::Chat(who), place).await {
            Ok((incoming, private)) => self.answer(ticket, incoming, private, opening).await,
            Err(sentence) => self.say_privately(&ticket, &sentence).await,
        }
    }

    /// The line a command says, and whether its answer is private; or why there is none.
    async fn incoming_of(
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
        let written = message.and_then(|message| written(message, self.me, group));
        let Some(written) = written.filter(|written| !written.text.is_empty()) else {
            return Err(say("platform.nothing_to_log", &[]));
        };
        Ok(Incoming {
            // The message's own id: it is kept once, whichever way it is handed in.
            id: Some(format!("m{}", written.id)),
            sender,
            said: Said::Line(written.text),
            at: written.at,
            confirmed: false,
            place: batch,
            attention: Attention::Addressed,
        })
    }

    /// Answers at once if it can, else says that the answer follows. The work goes on even if the platform is slow to
    /// take the deferral: what was said is kept in any case.
    pub(super) async fn answer(
        self: Arc<Self>,
        ticket: Ticket,
        incoming: Incoming,
        private: bool,
        opening: Option<Opening>,
    ) {
        let front = Arc::clone(&self);
        let user = match &incoming.sender {
            Sender::Chat(sender) => Some(sender.user),
            Sender::Named { .. } => None,
        };
        let mut work = tokio::spawn(async move { front.work(incoming, private, opening).await });
        let sent = match tokio::time::timeout(AT_ONCE, &mut work).await {
            Ok(done) => {
                let ready = done.unwrap_or_else(|_| failed());
                self.api.first(&ticket, First::Message, &ready.body.answer(ready.private)).await
            }
            Err(_) => self.answer_later(&ticket, private, work).await,
        };
        match sent {
            Ok(()) => self.tell_direct_closed(&ticket, user).await,
            Err(trouble) => log_unsent(&trouble),
        }
    }

    /// Says once, beside an answer, that the member could not be written to directly, and how to allow it.
    async fn tell_direct_closed(&self, ticket: &Ticket, user: Option<ChatId>) {
        let Some(member) = user.and_then(|user| self.store().member_by_chat(user)) else { return };
        let Ok(Some(place)) = self.store().direct_place(member.id).await else { return };
        if place.reachable {
            return;
        }
        let body = Body::words(&say("platform.direct_closed", &[])).answer(true);
        if let Err(trouble) = self.api.further(ticket, &body).await {
            return log_unsent(&trouble);
        }
        let place = Place { reachable: true, ..place };
        if let Err(error) = self.store().commit(Change { places: vec![place], ..Change::default() }).await {
            tracing::warn!(%error, "that a member was told could not be kept");
        }
    }

    async fn answer_later(
        &self,
        ticket: &Ticket,
        private: bool,
        work: tokio::task::JoinHandle<Ready>,
    ) -> Result<(), Trouble> {
        let flags = if private { json!({ "flags": EPHEMERAL }) } else { json!({}) };
        let deferred = self.api.first(ticket, First::Later, &flags).await;
        let ready = work.await.unwrap_or_else(|_| failed());
        deferred?;
        self.api.edit(ticket, &ready.body.json()).await
    }

    /// Asks the desk and lays its answer out; what its buttons stand for is kept before it leaves.
    pub(super) async fn work(&self, incoming: Incoming, private: bool, opening: Option<Opening>) -> Ready {
        let Some(room) = self.room().await else {
            return Ready { body: Body::words(&say("platform.closing", &[])), private: true, _room: None };
        };
        let room = Some(room);
        let answered = self.desk.answer(&incoming).await;
        let Sender::Chat(sender) = &incoming.sender else { return failed() };
        // Errors and questions are between the assistant and the member.
        let private = private || !matches!(answered, Answered::Reply(_));
        let Some(member) = self.store().member_by_chat(sender.user) else {
            self.close_the_past().await;
            return Ready {
                body: Body::words(&super::escape::escaped(&answered.text())),
                private,
                _room: room,
            };
        };
        let ground = Ground {
            card: self.store().next_card_id(),
            owner: member.id,
            now: self.clock.now(),
            incoming: &incoming,
        };
        let Laid { mut body, card } = laid(&answered, ground);
        let change = Change { cards: card.into_iter().collect(), ..Change::default() };
        if let Err(error) = self.store().commit(change).await {
            tracing::error!(%error, "the buttons of an answer could not be kept");
            body.buttons.clear();
        }
        if let (Answered::Reply(reply), Some(opening)) = (&answered, opening) {
            self.open_thread_for(reply, member.id, opening).await;
        }
        Ready { body, private, _room: room }
    }

    /// One sentence, for the member's eyes only.
    pub(super) async fn say_privately(&self, ticket: &Ticket, sentence: &str) {
        if let Err(trouble) =
            self.api.first(ticket, First::Message, &Body::words(sentence).answer(true)).await
        {
            log_unsent(&trouble);
        }
    }
}

/// The command's work stopped in the middle; its cause is in the log.
fn failed() -> Ready {
    Ready { body: Body::words(&say("platform.failed", &[])), private: true, _room: None }
}

pub(super) fn log_unsent(trouble: &Trouble) {
    if is_too_late(trouble) {
        tracing::info!(%trouble, "an answer came too late to be shown");
    } else {
        tracing::warn!(%trouble, "an answer could not be shown");
    }
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
