//! Messages that were kept and are edited or deleted since: an edit puts the entries right, a deletion asks.
//!
//! Both arrive under the intents of the messages themselves; an edit's words come only where the message's own did.

use super::body::Body;
use super::front::Front;
use super::inbound::{Edited, id};
use super::layout::{Ground, Laid, laid};
use super::limits;
use super::post::nonce;
use crate::desk::{Answered, Attention, ChatSender, Incoming, Said, Sender};
use crate::record::{BatchId, Card, ChatId, Letter, Member, MemberId};
use crate::reply::{Language, say, spoken_in};
use crate::store::{Change, StoreError};
use serde_json::json;
use serenity::model::id::{ChannelId, GuildId, MessageId};
use std::collections::BTreeMap;

/// Messages of one place that were deleted at once. Who did it is not said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Deleted {
    place: ChatId,
    group: Option<ChatId>,
    messages: Vec<ChatId>,
}

impl Deleted {
    /// As the platform tells it.
    pub(super) fn of(channel: ChannelId, messages: &[MessageId], group: Option<GuildId>) -> Self {
        let mut messages: Vec<ChatId> = messages.iter().map(|message| id(message.get())).collect();
        messages.sort();
        messages.dedup();
        Self { place: id(channel.get()), group: group.map(|group| id(group.get())), messages }
    }
}

/// What a message is handed in under.
fn request(message: ChatId) -> String {
    format!("m{message}")
}

/// An answer that nobody's new message asked for.
struct Unasked {
    place: ChatId,
    answers: Option<ChatId>,
    nonce: String,
    batch: Option<BatchId>,
    body: Body,
    card: Option<Card>,
    text: String,
}

impl Front {
    /// Deals with an edit, in the order of its place and once. Of a message that was never dealt with it is ignored.
    pub(super) async fn on_edited(&self, edited: Edited) {
        let lane = self.lane(edited.written.place);
        let _alone = lane.lock().await;
        let Some(_room) = self.room().await else { return };
        let language = self.desk.language_of(&self.sender_of(&edited.written));
        if let Err(error) = spoken_in(language, self.answer_edited(&edited)).await {
            tracing::error!(%error, "an edit could not be dealt with");
        }
    }

    async fn answer_edited(&self, edited: &Edited) -> Result<(), StoreError> {
        let written = &edited.written;
        let Some(member) = self.store().member_by_chat(written.user) else { return Ok(()) };
        let of = request(written.id);
        let events = self.store().events_of_request(&of).await?;
        let kept = events.iter().any(|event| event.author == Some(member.id));
        // What somebody else logged of a message is theirs; of what was never dealt with nothing is known.
        let is_known = kept || (events.is_empty() && self.store().has_letter(&nonce(written.id)).await?);
        let own = format!("u{}", edited.id());
        if !is_known || self.store().has_letter(&own).await? {
            return Ok(());
        }
        let unread = written.text.is_empty() && written.group.is_some() && !written.to_us;
        if unread && !self.reads_everything() {
            return if kept { self.say_unread(edited, member.id, own).await } else { Ok(()) };
        }
        let incoming = Incoming {
            id: Some(own.clone()),
            sender: self.sender_of(written),
            said: Said::Edited { of, written: written.at, text: written.text.clone() },
            at: edited.at,
            confirmed: false,
            place: self.batch_of_place(written.place).await?,
            channel: Some(written.place),
            file: None,
            attention: Attention::Addressed,
        };
        let (answered, _) = self.answered(&incoming).await;
        let (place, answers) = (written.place, Some(written.id));
        let Some(unasked) = self.unasked(place, answers, own, (&incoming, &answered), member.id) else {
            return Ok(());
        };
        self.post_unasked(unasked, member.id).await
    }

    /// Without the content intent an edit that loses its mention arrives empty.
    async fn say_unread(&self, edited: &Edited, member: MemberId, nonce: String) -> Result<(), StoreError> {
        let body = Body::words(&say("platform.cannot_read_edit", &[("me", &format!("<@{}>", self.me))]));
        let text = body.content.clone();
        let (place, answers) = (edited.written.place, Some(edited.written.id));
        let unasked = Unasked { place, answers, nonce, batch: None, body, card: None, text };
        self.post_unasked(unasked, member).await
    }

    /// Asks everybody whose entries the deleted messages held what is to become of them: each once.
    pub(super) async fn on_deleted(&self, deleted: &Deleted) {
        let lane = self.lane(deleted.place);
        let _alone = lane.lock().await;
        let Some(_room) = self.room().await else { return };
        if let Err(error) = self.ask_about_deleted(deleted).await {
            tracing::error!(%error, "a deletion could not be asked about");
        }
    }

    async fn ask_about_deleted(&self, deleted: &Deleted) -> Result<(), StoreError> {
        let mut held: BTreeMap<MemberId, Vec<ChatId>> = BTreeMap::new();
        for message in &deleted.messages {
            let events = self.store().events_of_request(&request(*message)).await?;
            if let Some(author) = events.first().and_then(|event| event.author) {
                held.entry(author).or_default().push(*message);
            }
        }
        for (author, messages) in held {
            if let Some((member, user)) = self.member_there(author, deleted.group) {
                let language = Language::of_settings(&member.settings);
                spoken_in(language, self.ask_about(deleted, &member, user, &messages)).await?;
            }
        }
        Ok(())
    }

    /// A member in the group of a place, with their number on the platform; in a direct conversation in any group.
    fn member_there(&self, author: MemberId, group: Option<ChatId>) -> Option<(Member, ChatId)> {
        let member = match group {
            Some(group) => self.store().member(author, self.store().group_by_chat(group)?.id),
            None => self.store().memberships_of(author).into_iter().next(),
        }?;
        let user = member.chat?;
        Some((member, user))
    }

    async fn ask_about(
        &self,
        deleted: &Deleted,
        member: &Member,
        user: ChatId,
        messages: &[ChatId],
    ) -> Result<(), StoreError> {
        let Some(first) = messages.first() else { return Ok(()) };
        let own = format!("d{first}");
        if self.store().has_letter(&own).await? {
            return Ok(());
        }
        let group = deleted.group.map(|group| self.group(group));
        let incoming = Incoming {
            id: Some(own.clone()),
            sender: Sender::Chat(ChatSender {
                user,
                name: member.name.clone(),
                group,
                manages: None,
                locale: None,
                moderates: false,
            }),
            said: Said::Deleted { of: messages.iter().map(|message| request(*message)).collect() },
            at: self.clock.now(),
            confirmed: false,
            place: self.batch_of_place(deleted.place).await?,
            channel: Some(deleted.place),
            file: None,
            attention: Attention::Addressed,
        };
        let (answered, _) = self.answered(&incoming).await;
        let unasked = self.unasked(deleted.place, None, own, (&incoming, &answered), member.id);
        let Some(mut unasked) = unasked else { return Ok(()) };
        if deleted.group.is_some() {
            address(&mut unasked.body, user);
        }
        self.post_unasked(unasked, member.id).await
    }

    /// Lays out what the desk answered; `None` where there is nothing to say.
    fn unasked(
        &self,
        place: ChatId,
        answers: Option<ChatId>,
        nonce: String,
        (incoming, answered): (&Incoming, &Answered),
        owner: MemberId,
    ) -> Option<Unasked> {
        if matches!(answered, Answered::NotForUs) {
            return None;
        }
        let card = self.store().next_card_id();
        let Laid { body, card } =
            laid(answered, Ground { card, owner, now: self.clock.now(), incoming, form: None });
        let batch = match answered {
            Answered::Reply(reply) => reply.batch.or(incoming.place),
            _ => incoming.place,
        };
        Some(Unasked { place, answers, nonce, batch, body, card, text: answered.text() })
    }

    /// Keeps it in the outbox and sends it.
    async fn post_unasked(&self, unasked: Unasked, member: MemberId) -> Result<(), StoreError> {
        let Unasked { place, answers, nonce, batch, body, card, text } = unasked;
        let letter = Letter { place, answers, body: json!(body).to_string(), nonce };
        let outgoing = self.outgoing(letter, member, batch, text);
        let id = outgoing.id;
        let cards = card.into_iter().collect();
        self.store().commit(Change { outgoing: vec![outgoing], cards, ..Change::default() }).await?;
        self.send_now(id).await
    }
}

/// Somebody else may have deleted the message, so its writer is called.
fn address(body: &mut Body, user: ChatId) {
    let who = format!("<@{user}>");
    let addressed = say("platform.reminder", &[("who", &who), ("text", &body.content)]);
    if limits::width(&addressed) <= limits::CONTENT {
        body.content = addressed;
        body.pings = Some(user);
    }
}

#[cfg(test)]
mod tests {
    use super::super::inbound::{Written, edited};
    use super::*;
    use serenity::model::event::{Event, GatewayEvent, MessageUpdateEvent};

    const US: ChatId = ChatId(1_477_576_124_006_400_000);
    const LOG: ChatId = ChatId(1_477_576_124_006_400_007);
    const GROUP: ChatId = ChatId(1_477_576_124_006_400_003);
    const MESSAGE: ChatId = ChatId(1_477_576_124_006_400_024);

    /// Recorded between the stand-in and the client library, as in `recorded`.
    macro_rules! frame {
        ($name:literal) => {
            match serde_json::from_str(include_str!(concat!(
                "../../tests/platform/payloads/",
                $name,
                ".json"
            ))) {
                Ok(GatewayEvent::Dispatch(_, event)) => event,
                other => panic!("no event: {other:?}"),
            }
        };
    }

    fn update(event: Event) -> MessageUpdateEvent {
        match event {
            Event::MessageUpdate(update) => update,
            other => panic!("no update: {other:?}"),
        }
    }

    #[test]
    fn an_edit_has_its_words_its_moment_and_a_number() {
        let edit = edited(&update(frame!("edit")), US).unwrap();
        assert_eq!((edit.written.id, edit.written.place, edit.written.group), (MESSAGE, LOG, Some(GROUP)));
        assert_eq!(edit.written.text, "pH 5.18 at 21 C, 812 g");
        assert_eq!(edit.written.at.to_rfc3339(), "2026-03-01T08:00:00+00:00");
        assert_eq!(edit.at.to_rfc3339(), "2026-03-01T08:02:00+00:00");
        let later = Edited { at: edit.at + chrono::TimeDelta::milliseconds(1), ..edit.clone() };
        let other = Written { id: ChatId(MESSAGE.0 + 1), ..edit.written.clone() };
        let other = Edited { written: other, ..edit.clone() };
        assert!(MESSAGE < edit.id() && edit.id() < later.id() && edit.id() != other.id());
        assert!(format!("u{}", edit.id()).len() <= 25, "the platform's longest nonce");
    }

    #[test]
    fn what_the_platform_alters_is_no_edit() {
        assert_eq!(edited(&update(frame!("link")), US), None, "a link was resolved");
        let mut by_a_machine = update(frame!("edit"));
        by_a_machine.author.as_mut().unwrap().bot = true;
        assert_eq!(edited(&by_a_machine, US), None);
        let mut without_words = update(frame!("edit"));
        without_words.content = None;
        assert_eq!(edited(&without_words, US), None);
    }

    #[test]
    fn deletions_name_the_messages_and_the_place() {
        let Event::MessageDelete(one) = frame!("deleted") else { panic!("no deletion") };
        let one = Deleted::of(one.channel_id, &[one.message_id], one.guild_id);
        assert_eq!(one, Deleted { place: LOG, group: Some(GROUP), messages: vec![MESSAGE] });
        let Event::MessageDeleteBulk(several) = frame!("deleted_at_once") else { panic!("no deletion") };
        let several = Deleted::of(several.channel_id, &several.ids, several.guild_id);
        let messages = vec![ChatId(MESSAGE.0 + 2), ChatId(1_477_576_627_322_880_001)];
        assert_eq!(several, Deleted { place: LOG, group: Some(GROUP), messages }, "the oldest first");
    }
}
