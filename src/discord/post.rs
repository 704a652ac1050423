//! Answers to what was written in a channel, a thread or a direct conversation: kept in the outbox before they leave,
//! so that none is lost and none is posted twice.

use super::api::Sent;
use super::body::Body;
use super::enclosed::Upload;
use super::front::Front;
use super::inbound::Written;
use super::layout::{Ground, Laid, laid};
use super::trouble::{Meaning, Trouble};
use crate::desk::{Answered, Incoming};
use crate::record::{BatchId, ChatId, Letter, MemberId, Outgoing, OutgoingId, Place, PlaceKind};
use crate::remind::worker;
use crate::reply::say;
use crate::store::{Change, StoreError};
use chrono::TimeDelta;
use serde_json::json;
use std::future::Future;
use std::pin::Pin;

/// What is about a member and nobody else, or may hold their private notes. Asked for in a message, which everybody reads,
/// it is answered directly.
const PERSONAL: [&str; 3] = ["me show", "me export", "batch record"];

/// A message that is so old when it is answered was read after an absence.
const READ_AGAIN: TimeDelta = TimeDelta::minutes(1);

/// An answer on its way to where its question was written.
#[derive(Debug)]
pub(super) struct Answer<'a> {
    /// The message it answers.
    pub(super) written: &'a Written,
    /// What was said to the desk.
    pub(super) incoming: &'a Incoming,
    /// What the desk answered.
    pub(super) answered: &'a Answered,
    /// What is known of the place.
    pub(super) place: Option<&'a Place>,
}

impl Front {
    /// Keeps an answer to a message in the outbox, together with how far its place is dealt with, and sends it.
    pub(super) async fn post_answer(&self, answer: &Answer<'_>) -> Result<(), StoreError> {
        let written = answer.written;
        let Some(member) = self.store().member_by_chat(written.user) else {
            if erased(answer.answered) {
                self.close_the_past().await;
            }
            return self.post_to_nobody(answer).await;
        };
        let now = self.clock.now();
        let ground = Ground {
            card: self.store().next_card_id(),
            owner: member.id,
            now,
            incoming: answer.incoming,
            form: None,
        };
        let Laid { body, card } = laid(answer.answered, ground);
        let batch = match answer.answered {
            Answered::Reply(reply) => reply.batch.or(answer.incoming.place),
            _ => answer.incoming.place,
        };
        let here = |body: &Body| Letter {
            place: written.place,
            answers: Some(written.id),
            body: json!(body).to_string(),
            nonce: nonce(written.id),
        };
        let letters = match self.personal(answer, member.id).await {
            None => vec![here(&body)],
            Some(direct) => {
                let elsewhere = direct.map(|place| Letter {
                    place,
                    answers: None,
                    body: json!(body).to_string(),
                    nonce: format!("p{}", written.id),
                });
                let key = match direct {
                    Some(_) => "platform.answered_directly",
                    None => "platform.for_you_alone",
                };
                let told = here(&Body::words(&say(key, &[])));
                elsewhere.into_iter().chain([told]).collect()
            }
        };
        if let (Answered::Reply(reply), Some(letter)) = (answer.answered, letters.first()) {
            self.files_waiting().keep(&letter.nonce, &reply.files);
        }
        let outgoing: Vec<Outgoing> = letters
            .into_iter()
            .map(|letter| self.outgoing(letter, member.id, batch, answer.answered.text()))
            .collect();
        let ids: Vec<OutgoingId> = outgoing.iter().map(|outgoing| outgoing.id).collect();
        let mut change = Change { outgoing, ..Change::default() };
        change.cards.extend(card);
        change.places.push(self.place_now(answer, member.id, member.group));
        self.store().commit(change).await?;
        for id in ids {
            self.send_now(id).await?;
        }
        Ok(())
    }

    /// Where an answer goes that nobody else is to read, if it was asked for where others do.
    async fn personal(&self, answer: &Answer<'_>, member: MemberId) -> Option<Option<ChatId>> {
        let Answered::Reply(reply) = answer.answered else { return None };
        if answer.written.group.is_none() || !PERSONAL.contains(&reply.command) {
            return None;
        }
        Some(self.direct_of(member).await.unwrap_or_else(|trouble| {
            tracing::warn!(%trouble, "a direct conversation could not be opened");
            None
        }))
    }

    /// The place with what is now known of it.
    fn place_now(&self, answer: &Answer<'_>, member: MemberId, group: crate::record::GroupId) -> Place {
        let written = answer.written;
        if let Some(place) = answer.place {
            let seen = self.cursors().would_be(written.place, written.id).unwrap_or(place.seen);
            return Place { seen, reachable: true, ..place.clone() };
        }
        self.cursors().begin_place(written.place);
        let direct = written.group.is_none();
        let of_chat = written.group.and_then(|chat| self.store().group_by_chat(chat));
        Place {
            id: written.place,
            group: of_chat.map_or(group, |group| group.id),
            kind: if direct { PlaceKind::Direct } else { PlaceKind::Channel },
            member: direct.then_some(member),
            batch: None,
            // Nothing that was written here before was for us.
            seen: written.id,
            reachable: true,
        }
    }

    /// Sends a letter that was just kept. What cannot leave now stays in the outbox for the loop of reminders.
    ///
    /// Boxed, because a letter that opens a thread sends the thread's first letter in turn.
    pub(super) fn send_now(
        &self,
        letter: OutgoingId,
    ) -> Pin<Box<dyn Future<Output = Result<(), StoreError>> + Send + '_>> {
        Box::pin(worker::send_now(self.store(), self, self.clock.now(), letter))
    }

    /// A letter in the outbox.
    pub(super) fn outgoing(
        &self,
        letter: Letter,
        member: MemberId,
        batch: Option<BatchId>,
        text: String,
    ) -> Outgoing {
        let new = Outgoing::new(self.store().next_outgoing_id(), member, self.clock.now(), text);
        Outgoing { batch, letter: Some(letter), ..new }
    }

    /// A place is gone.
    pub(super) async fn place_deleted(&self, place: ChatId) {
        let gone = Trouble::Refused { status: 404, code: 10_003, message: "deleted".to_owned() };
        self.mark_unreachable(place, &gone).await;
    }

    /// Who was just erased or refused is answered all the same; nothing of it is kept.
    async fn post_to_nobody(&self, answer: &Answer<'_>) -> Result<(), StoreError> {
        let written = answer.written;
        if !self.was_answered(written).await {
            let mut body = Body::words(&super::escape::escaped(&answer.answered.text())).json();
            body["message_reference"] =
                json!({ "message_id": written.id.to_string(), "fail_if_not_exists": false });
            if let Err(trouble) = self.api.post(written.place, &body, &nonce(written.id)).await {
                tracing::warn!(%trouble, "an answer could not be posted");
            }
        }
        let seen = self.cursors().would_be(written.place, written.id);
        let seen = seen.filter(|_| answer.place.is_some()).map(|seen| (written.place, seen));
        let change = Change { seen: seen.into_iter().collect(), ..Change::default() };
        self.store().commit(change).await.map(|_| ())
    }

    /// Whether a message that is read again after an absence was answered before. The record knows nothing of it, so the
    /// place itself is looked at.
    async fn was_answered(&self, written: &Written) -> bool {
        if self.clock.now() - written.at < READ_AGAIN {
            return false;
        }
        let Ok(after) = self.api.messages_after(written.place, written.id).await else { return false };
        let (me, answers) = (self.me.to_string(), written.id.to_string());
        let is_answer = |message: &serde_json::Value| {
            message["author"]["id"] == *me && message["message_reference"]["message_id"] == *answers
        };
        after.as_array().into_iter().flatten().any(is_answer)
    }

    /// Posts a letter where it is meant to go, and gives the message it became.
    pub(super) async fn post_letter(&self, letter: &Letter) -> Result<ChatId, Trouble> {
        let Ok(mut body) = serde_json::from_str::<Body>(&letter.body) else {
            return Err(Trouble::Refused {
                status: 0,
                code: 0,
                message: "a letter that cannot be read".to_owned(),
            });
        };
        let files = self.files_waiting().of(&letter.nonce);
        let uploads = body.uploads(files).await;
        let post = async |body: &Body, uploads: &[Upload]| {
            let mut message = body.json();
            if let Some(answers) = letter.answers {
                message["message_reference"] =
                    json!({ "message_id": answers.to_string(), "fail_if_not_exists": false });
            }
            self.api.post(letter.place, Sent::with(&message, uploads), &letter.nonce).await
        };
        let posted = match post(&body, &uploads).await {
            // It may be files alone that are not allowed there.
            Err(trouble) if !uploads.is_empty() && trouble.meaning() == Meaning::NotPermitted => {
                body.lose_uploads();
                post(&body, &[]).await
            }
            posted => posted,
        };
        if posted.is_ok() {
            self.files_waiting().let_go(&letter.nonce);
        }
        posted
    }

    /// A reply to a message of ours is about the same batch.
    pub(super) async fn remember_posted(&self, message: ChatId, batch: Option<BatchId>) {
        let Some(batch) = batch else { return };
        let change = Change { posted: vec![(message, batch)], ..Change::default() };
        if let Err(error) = self.store().commit(change).await {
            tracing::warn!(%error, "which batch a message was about could not be kept");
        }
    }

    /// A place that cannot be posted to is left out until somebody writes there again.
    pub(super) async fn mark_unreachable(&self, place: ChatId, trouble: &Trouble) {
        let Ok(Some(known)) = self.store().place(place).await else { return };
        tracing::warn!(place = place.0, %trouble, "a place cannot be posted to");
        let meaning = trouble.meaning();
        if !meaning.loses_the_place() && meaning != Meaning::DirectClosed {
            return;
        }
        let change = Change { places: vec![Place { reachable: false, ..known }], ..Change::default() };
        if let Err(error) = self.store().commit(change).await {
            tracing::warn!(%error, "a place could not be marked");
        }
    }
}

/// Whether somebody was just erased at their own wish.
pub(super) fn erased(answered: &Answered) -> bool {
    matches!(answered, Answered::Reply(reply) if reply.command == "me erase")
}

/// What makes every try of the answer to a message the same.
pub(super) fn nonce(message: ChatId) -> String {
    format!("m{message}")
}
