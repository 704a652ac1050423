//! What was written in a channel, a thread or a direct conversation.

use super::front::Front;
use super::inbound::Written;
use super::post::{Answer, nonce};
use crate::desk::{Answered, Attention, ChatSender, Incoming, Said, Sender};
use crate::record::{BatchId, ChatId, Letter, Place};
use crate::reply::{say, spoken_in};
use crate::store::{Change, StoreError};

impl Front {
    /// Deals with a message, in the order of its place and once.
    pub(super) async fn on_written(&self, written: Written) {
        if !self.is_new(written.id) {
            return;
        }
        self.cursors().begin(written.place, written.id);
        let lane = self.lane(written.place);
        let _alone = lane.lock().await;
        let Some(_room) = self.room().await else {
            self.cursors().drop_message(written.place, written.id);
            return;
        };
        let language = self.desk.language_of(&self.sender_of(&written));
        match spoken_in(language, self.answer_written(&written)).await {
            Ok(()) => self.cursors().end(written.place, written.id),
            Err(error) => {
                tracing::error!(%error, "a message could not be dealt with");
                self.may_come_again(written.id);
                self.cursors().drop_message(written.place, written.id);
            }
        }
    }

    async fn answer_written(&self, written: &Written) -> Result<(), StoreError> {
        let place = self.store().place(written.place).await?;
        let Some(attention) = self.attention(written, place.as_ref()) else { return Ok(()) };
        // After an absence the last messages come again; what was answered is in the outbox.
        if self.store().has_letter(&nonce(written.id)).await? {
            return Ok(());
        }
        let is_known = self.store().member_by_chat(written.user).is_some();
        if written.text.is_empty() && (written.files.is_empty() || !is_known) {
            return self.on_empty(written, place.as_ref(), attention).await;
        }
        let incoming = self.incoming_of_message(written, place.as_ref(), attention).await?;
        let (incoming, answered, language) = self.answered_with(incoming, &written.handed, None).await;
        if matches!(answered, Answered::NotForUs) {
            return Ok(());
        }
        let answer = Answer { written, incoming: &incoming, answered: &answered, place: place.as_ref() };
        spoken_in(language, self.post_answer(&answer)).await
    }

    /// The line a message says.
    pub(super) async fn incoming_of_message(
        &self,
        written: &Written,
        place: Option<&Place>,
        attention: Attention,
    ) -> Result<Incoming, StoreError> {
        Ok(Incoming {
            id: Some(format!("m{}", written.id)),
            sender: self.sender_of(written),
            said: Said::of(written.text.clone(), written.files.clone()),
            at: written.at,
            confirmed: false,
            place: self.batch_meant(written, place).await?,
            channel: Some(written.place),
            file: None,
            attention,
        })
    }

    /// Whether a message is for us; `None`: it is between people.
    pub(super) fn attention(&self, written: &Written, place: Option<&Place>) -> Option<Attention> {
        let in_thread = place.is_some_and(|place| place.batch.is_some());
        if written.group.is_none() || written.to_us {
            Some(Attention::Addressed)
        } else if in_thread {
            Some(Attention::InThread)
        } else if self.listens_in(written.place, written.group) {
            Some(Attention::Overheard)
        } else {
            None
        }
    }

    /// The thread's batch, else the one that the message they replied to was about.
    async fn batch_meant(
        &self,
        written: &Written,
        place: Option<&Place>,
    ) -> Result<Option<BatchId>, StoreError> {
        if let Some(batch) = place.and_then(|place| place.batch) {
            return Ok(Some(batch));
        }
        match written.answers {
            Some(message) => self.store().batch_of_message(message).await,
            None => Ok(None),
        }
    }

    pub(super) fn sender_of(&self, written: &Written) -> Sender {
        let known = written.group.zip(written.roles.as_deref());
        let may = known.and_then(|(group, roles)| Some(self.rights().get(&group)?.may(written.user, roles)));
        Sender::Chat(ChatSender {
            user: written.user,
            name: written.name.clone(),
            group: written.group.map(|group| self.group(group)),
            moderates: may.is_some_and(|may| may.moderate),
            manages: may.map(|may| may.manage),
            locale: None,
        })
    }

    /// Without the content intent a message in a thread arrives empty: it never becomes a reading, and the thread is
    /// told once a day how to be heard. A stranger's picture alone, or a bare mention, gets a sentence too.
    async fn on_empty(
        &self,
        written: &Written,
        place: Option<&Place>,
        attention: Attention,
    ) -> Result<(), StoreError> {
        let (key, nonce) = match attention {
            Attention::Addressed if !written.files.is_empty() => {
                ("platform.only_a_picture", nonce(written.id))
            }
            Attention::Addressed => ("platform.nothing_said", nonce(written.id)),
            Attention::InThread if !self.reads_everything() => {
                let day = written.at.timestamp().div_euclid(86_400);
                ("platform.cannot_read", format!("e{}.{day}", short(written.place)))
            }
            Attention::InThread | Attention::Overheard => return Ok(()),
        };
        let Some(member) = self.store().member_by_chat(written.user) else {
            return self.greet(written, key, &nonce).await;
        };
        let body = super::body::Body::words(&say(key, &[("me", &format!("<@{}>", self.me))]));
        let letter = Letter {
            place: written.place,
            answers: Some(written.id),
            body: serde_json::json!(body).to_string(),
            nonce: nonce.clone(),
        };
        let batch = place.and_then(|place| place.batch);
        let outgoing = self.outgoing(letter, member.id, batch, body.content);
        let id = outgoing.id;
        if self.store().has_letter(&nonce).await? {
            return Ok(());
        }
        self.store().commit(Change { outgoing: vec![outgoing], ..Change::default() }).await?;
        self.send_now(id).await
    }

    /// A stranger's empty message: nothing is kept of it.
    async fn greet(&self, written: &Written, key: &str, nonce: &str) -> Result<(), StoreError> {
        let body = super::body::Body::words(&say(key, &[("me", &format!("<@{}>", self.me))]));
        if let Err(trouble) = self.api.post(written.place, &body.json(), nonce).await {
            tracing::warn!(%trouble, "a greeting could not be posted");
        }
        Ok(())
    }
}

/// A number in fewer letters, so that a nonce of it has room for more.
fn short(id: ChatId) -> String {
    format!("{:x}", id.0)
}
