//! Takes reminders and letters to where they belong; where that fails for good, to the next best place, with one
//! notice.

use super::body::Body;
use super::buttons::Press;
use super::escape::escaped;
use super::front::Front;
use super::limits;
use super::threads::{ThreadWanted, batch_presses, card};
use super::trouble::{Meaning, Trouble};
use crate::record::{BatchId, ChatId, Letter, MemberId, Outgoing, Place};
use crate::remind::courier::{Courier, Parcel, Undelivered};
use crate::reply::say;
use crate::store::{Change, StoreError};

impl Courier for Front {
    async fn deliver(&self, parcel: &Parcel) -> Result<(), Undelivered> {
        match &parcel.letter {
            Some(letter) => self.deliver_letter(letter, parcel).await,
            None => self.deliver_reminder(parcel).await,
        }
    }
}

impl Front {
    async fn deliver_letter(&self, letter: &Letter, parcel: &Parcel) -> Result<(), Undelivered> {
        let sent = match (serde_json::from_str::<ThreadWanted>(&letter.body), parcel.batch) {
            (Ok(wanted), Some(batch)) => self.open_wanted(&wanted, letter.place, batch).await,
            _ => self.post_letter(letter, parcel.batch).await,
        };
        let Err(trouble) = sent else { return Ok(()) };
        if trouble.passes() {
            tracing::info!(%trouble, "a letter waits");
            return Err(Undelivered::TryAgain);
        }
        self.mark_unreachable(letter.place, &trouble).await;
        let is_thread = serde_json::from_str::<ThreadWanted>(&letter.body).is_ok();
        if is_thread {
            tracing::warn!(%trouble, "a thread could not be opened");
            return Err(Undelivered::Never);
        }
        // An answer that cannot be given where it was asked for is given to the member directly.
        match self.direct_of(parcel.member).await {
            Ok(Some(direct)) if direct != letter.place => {
                let letter = Letter { place: direct, answers: None, ..letter.clone() };
                self.post_letter(&letter, parcel.batch).await.map_err(|trouble| undelivered(&trouble))
            }
            Ok(_) => Err(Undelivered::Never),
            Err(trouble) => Err(undelivered(&trouble)),
        }
    }

    /// To the batch's thread, else directly to the member, else to the thread after all.
    async fn deliver_reminder(&self, parcel: &Parcel) -> Result<(), Undelivered> {
        let thread = match parcel.batch {
            Some(batch) => self.store().place_of_batch(batch).await.map_err(|error| store_failed(&error))?,
            None => None,
        };
        if let Some(place) = thread.as_ref().filter(|place| place.reachable) {
            match self.remind_in(place.id, parcel).await {
                Ok(()) => return Ok(()),
                Err(trouble) if trouble.passes() => return Err(undelivered(&trouble)),
                Err(trouble) => {
                    self.mark_unreachable(place.id, &trouble).await;
                    return self.remind_directly(parcel, Some((place, &trouble))).await;
                }
            }
        }
        self.remind_directly(parcel, None).await
    }

    async fn remind_directly(
        &self,
        parcel: &Parcel,
        failed: Option<(&Place, &Trouble)>,
    ) -> Result<(), Undelivered> {
        let direct = match self.direct_of(parcel.member).await {
            Ok(Some(direct)) => direct,
            Ok(None) => return Err(Undelivered::Never),
            Err(trouble) => return self.not_directly(parcel, &trouble),
        };
        match self.remind_in(direct, parcel).await {
            Ok(()) => {
                if let Some((place, trouble)) = failed {
                    self.notice_of_moving(direct, place, trouble, parcel).await;
                }
                Ok(())
            }
            Err(trouble) => self.not_directly(parcel, &trouble),
        }
    }

    fn not_directly(&self, parcel: &Parcel, trouble: &Trouble) -> Result<(), Undelivered> {
        if trouble.meaning() == Meaning::DirectClosed {
            tracing::warn!(member = parcel.member.0, "a member takes no direct messages");
            return Err(Undelivered::Never);
        }
        Err(undelivered(trouble))
    }

    /// A reminder pings whom it is for, and can be answered by a tap.
    async fn remind_in(&self, place: ChatId, parcel: &Parcel) -> Result<(), Trouble> {
        let user = self.chat_of(parcel.member);
        let who = user.map(|user| format!("<@{user}>")).unwrap_or_default();
        let text = say("discord.reminder", &[("who", &who), ("text", &escaped(&parcel.text))]);
        let presses: Vec<(String, Press)> = parcel.batch.map(batch_presses).unwrap_or_default();
        let id = self.store().next_card_id();
        if !presses.is_empty() {
            let card = card(id, parcel.member, &presses, self.clock.now());
            self.store()
                .commit(Change { cards: vec![card], ..Change::default() })
                .await
                .map_err(|error| Trouble::Unclear(format!("the record failed: {error}")))?;
        }
        let body = Body {
            content: limits::shortened(text.trim(), limits::CONTENT),
            buttons: super::layout::action_buttons(id, &presses),
            pings: user,
            frame: None,
        };
        let posted = self.api.post(place, &body.json(), &parcel.nonce).await?;
        self.remember_posted(posted, parcel.batch).await;
        Ok(())
    }

    /// Says once why reminders come directly now.
    async fn notice_of_moving(&self, direct: ChatId, place: &Place, trouble: &Trouble, parcel: &Parcel) {
        let why = match trouble.meaning() {
            Meaning::PlaceLocked => "discord.why.locked",
            Meaning::NotPermitted => "discord.why.permission",
            _ => "discord.why.gone",
        };
        let batch = parcel.batch.map_or_else(String::new, |batch| batch.to_string());
        let holes = [("place", &*place.id.to_string()), ("why", &say(why, &[])), ("batch", &batch)];
        let body = Body::words(&say("discord.moved_here", &holes));
        let nonce = format!("n{:x}", place.id.0);
        if let Err(error) = self.keep_once(direct, &body, parcel.member, parcel.batch, &nonce).await {
            tracing::warn!(%error, "a notice could not be kept");
        }
    }

    /// Keeps a message under a nonce, once for ever; this very tick's look at the outbox sends it.
    async fn keep_once(
        &self,
        place: ChatId,
        body: &Body,
        member: MemberId,
        batch: Option<BatchId>,
        nonce: &str,
    ) -> Result<(), StoreError> {
        if self.store().has_letter(nonce).await? {
            return Ok(());
        }
        let letter = self.letter_to(place, body, member, batch, nonce);
        let letter = Outgoing { due: self.clock.now(), ..letter };
        self.store().commit(Change { outgoing: vec![letter], ..Change::default() }).await.map(|_| ())
    }

    /// A member's direct conversation; opened where there is none. `None`: they are on no chat platform.
    async fn direct_of(&self, member: MemberId) -> Result<Option<ChatId>, Trouble> {
        if let Ok(Some(place)) = self.store().direct_place(member).await {
            return Ok(Some(place.id));
        }
        match self.chat_of(member) {
            Some(user) => self.api.direct(user).await.map(Some),
            None => Ok(None),
        }
    }

    fn chat_of(&self, member: MemberId) -> Option<ChatId> {
        self.store().memberships_of(member).into_iter().find_map(|member| member.chat)
    }
}

fn undelivered(trouble: &Trouble) -> Undelivered {
    if trouble.passes() { Undelivered::TryAgain } else { Undelivered::Never }
}

fn store_failed(error: &StoreError) -> Undelivered {
    tracing::error!(%error, "where a reminder goes could not be read");
    Undelivered::TryAgain
}
