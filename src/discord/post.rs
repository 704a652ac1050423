//! Answers to what was written in a channel, a thread or a direct conversation: kept in the outbox before they leave,
//! so that none is lost and none is posted twice.

use super::api::Sent;
use super::front::Front;
use super::inbound::Written;
use super::layout::{Ground, Laid, laid};
use super::trouble::{Meaning, Trouble};
use crate::desk::{Answered, Incoming};
use crate::record::{BatchId, ChatId, Letter, MemberId, Outgoing, OutgoingId, Place, PlaceKind};
use crate::remind::worker;
use crate::store::{Change, StoreError};
use serde_json::json;
use std::future::Future;
use std::pin::Pin;

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
            self.close_the_past().await;
            self.post_to_nobody(answer).await;
            return Ok(());
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
        let letter = Letter {
            place: written.place,
            answers: Some(written.id),
            body: json!(body).to_string(),
            nonce: nonce(written.id),
        };
        let outgoing = self.outgoing(letter, member.id, batch, answer.answered.text());
        let id = outgoing.id;
        let mut change = Change { outgoing: vec![outgoing], ..Change::default() };
        change.cards.extend(card);
        change.places.push(self.place_now(answer, member.id, member.group));
        self.store().commit(change).await?;
        self.send_now(id).await
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

    /// Who was just erased is answered all the same; nothing of it is kept.
    async fn post_to_nobody(&self, answer: &Answer<'_>) {
        let body = super::body::Body::words(&super::escape::escaped(&answer.answered.text()));
        let written = answer.written;
        if let Err(trouble) = self.api.post(written.place, &body.json(), &nonce(written.id)).await {
            tracing::warn!(%trouble, "an answer could not be posted");
        }
    }

    /// Posts a letter where it is meant to go, and gives the message it became.
    pub(super) async fn post_letter(&self, letter: &Letter) -> Result<ChatId, Trouble> {
        let Ok(mut body) = serde_json::from_str::<super::body::Body>(&letter.body) else {
            return Err(Trouble::Refused {
                status: 0,
                code: 0,
                message: "a letter that cannot be read".to_owned(),
            });
        };
        let image = body.draw().await;
        let post = async |body: &super::body::Body, image: Option<&[u8]>| {
            let mut message = body.json();
            if let Some(answers) = letter.answers {
                message["message_reference"] =
                    json!({ "message_id": answers.to_string(), "fail_if_not_exists": false });
            }
            self.api.post(letter.place, Sent::with(&message, image), &letter.nonce).await
        };
        let posted = match post(&body, image.as_deref()).await {
            // It may be the picture alone that is not allowed there.
            Err(trouble) if image.is_some() && trouble.meaning() == Meaning::NotPermitted => {
                body.lose_picture();
                post(&body, None).await?
            }
            posted => posted?,
        };
        Ok(posted)
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

/// What makes every try of the answer to a message the same.
pub(super) fn nonce(message: ChatId) -> String {
    format!("m{message}")
}
