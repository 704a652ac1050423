//! What a batch's owner is told, once, where the platform does not let the assistant do its part.

use super::body::Body;
use super::front::Front;
use super::threads::ThreadWanted;
use super::trouble::{Meaning, Trouble};
use crate::record::{BatchId, ChatId, Letter, MemberId, OutgoingId, Place};
use crate::reply::{say, spoken_in};
use crate::store::{Change, StoreError};

/// Whom a notice is for and what it is about.
#[derive(Debug, Clone, Copy)]
pub(super) struct About {
    /// The batch's owner.
    pub(super) member: MemberId,
    /// The batch.
    pub(super) batch: Option<BatchId>,
}

impl Front {
    /// Leaves a place alone from now on and says so once to each member whose words it was for: both are kept together.
    /// Gives the notice, where there is one to be sent.
    pub(super) async fn leave_place(
        &self,
        place: &Place,
        why: Meaning,
        about: About,
    ) -> Result<Option<OutgoingId>, Trouble> {
        let nonce = format!("n{:x}.{:x}", place.id.0, about.member.0);
        let is_told = self.store().has_letter(&nonce).await.map_err(|error| store_failed(&error))?;
        if !place.reachable && is_told {
            return Ok(None);
        }
        let direct = if is_told { None } else { self.direct_of(about.member).await? };
        let why = match why {
            Meaning::PlaceLocked | Meaning::ThreadArchived => "platform.why.locked",
            Meaning::NotPermitted => "platform.why.permission",
            _ => "platform.why.gone",
        };
        let batch = named(about);
        let holes = [("place", &*place.id.to_string()), ("why", &say(why, &[])), ("batch", &batch)];
        let notice =
            direct.map(|direct| self.notice(direct, &say("platform.moved_here", &holes), nonce, about));
        let id = notice.as_ref().map(|notice| notice.id);
        let left = Place { reachable: false, ..place.clone() };
        let change =
            Change { places: vec![left], outgoing: notice.into_iter().collect(), ..Change::default() };
        self.store().commit(change).await.map_err(|error| store_failed(&error))?;
        Ok(id)
    }

    /// A thread is gone. Where it was a batch's, its owner learns where the batch's words go now.
    pub(super) async fn thread_deleted(&self, thread: ChatId) {
        let place = self.store().place(thread).await.ok().flatten().filter(|place| place.reachable);
        let Some((place, batch)) = place.and_then(|place| place.batch.map(|batch| (place, batch))) else {
            return self.place_deleted(thread).await;
        };
        let Ok(Some((state, _))) = self.store().batch(batch).await else { return };
        let about = About { member: state.plan.owner, batch: Some(batch) };
        let leave = self.leave_place(&place, Meaning::PlaceGone, about);
        match spoken_in(self.language_of_member(about.member), leave).await {
            Ok(Some(notice)) => self.send_notice(notice).await,
            Ok(None) => {}
            Err(trouble) => {
                tracing::warn!(%trouble, "an owner could not be told of a lost thread");
                self.place_deleted(thread).await;
            }
        }
    }

    /// Says once why a batch has no thread, or no post in its group's forum.
    pub(super) async fn tell_no_thread(
        &self,
        wanted: &ThreadWanted,
        place: ChatId,
        trouble: &Trouble,
        about: About,
    ) {
        let key = match (trouble.meaning(), wanted.is_post) {
            (Meaning::ThreadsFull, _) => "platform.no_thread.full",
            (Meaning::NotPermitted, false) => "platform.no_thread.permission",
            (Meaning::NotPermitted, true) => "platform.no_thread.forum_permission",
            (Meaning::PlaceGone, true) => "platform.no_thread.forum_gone",
            (Meaning::TagRequired, _) => "platform.no_thread.tag",
            (_, true) => "platform.no_thread.forum_other",
            (_, false) => "platform.no_thread.other",
        };
        let sentence = say(key, &[("place", &place.to_string()), ("batch", &named(about))]);
        self.tell_once(&format!("w{:x}.{:x}", place.0, about.member.0), &sentence, about).await;
    }

    /// Writes to a member directly, once for a nonce. What cannot be written is left.
    pub(super) async fn tell_once(&self, nonce: &str, sentence: &str, about: About) {
        match self.told_once(nonce, sentence, about).await {
            Ok(Some(id)) => self.send_notice(id).await,
            Ok(None) => {}
            Err(trouble) => tracing::warn!(%trouble, "a member could not be told what does not work"),
        }
    }

    async fn told_once(
        &self,
        nonce: &str,
        sentence: &str,
        about: About,
    ) -> Result<Option<OutgoingId>, Trouble> {
        if self.store().has_letter(nonce).await.map_err(|error| store_failed(&error))? {
            return Ok(None);
        }
        let Some(direct) = self.direct_of(about.member).await? else { return Ok(None) };
        let notice = self.notice(direct, sentence, nonce.to_owned(), about);
        let id = notice.id;
        let change = Change { outgoing: vec![notice], ..Change::default() };
        self.store().commit(change).await.map_err(|error| store_failed(&error))?;
        Ok(Some(id))
    }

    /// Sends a notice that was just kept, instead of leaving it to the loop of reminders.
    pub(super) async fn send_notice(&self, id: OutgoingId) {
        if let Err(error) = self.send_now(id).await {
            tracing::warn!(%error, "a notice waits in the outbox");
        }
    }

    fn notice(&self, direct: ChatId, sentence: &str, nonce: String, about: About) -> crate::record::Outgoing {
        let body = Body::words(sentence);
        let letter =
            Letter { place: direct, answers: None, body: serde_json::json!(body).to_string(), nonce };
        self.outgoing(letter, about.member, about.batch, body.content)
    }
}

fn named(about: About) -> String {
    about.batch.map_or_else(String::new, |batch| batch.to_string())
}

pub(super) fn store_failed(error: &StoreError) -> Trouble {
    Trouble::Unclear(format!("the record failed: {error}"))
}
