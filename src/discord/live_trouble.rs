//! What becomes of a card that could not be edited: each refusal by its name, with one sentence to the owner at most.

use super::front::Front;
use super::live_card::Composed;
use super::notices::About;
use super::trouble::{Meaning, Trouble};
use crate::record::{Letter, LiveCard};
use crate::reply::say;
use crate::store::{Change, StoreError};
use chrono::TimeDelta;
use serde_json::json;

/// The pause after a first edit that did not get through; each later one is twice as long.
const UNREACHED: TimeDelta = TimeDelta::seconds(30);
/// The longest of them.
const UNREACHED_MOST: TimeDelta = TimeDelta::hours(1);
/// The pause after a first edit that the platform refused, as it does when old messages are edited too often.
const REFUSED: TimeDelta = TimeDelta::minutes(10);
/// The longest of them.
const REFUSED_MOST: TimeDelta = TimeDelta::hours(6);
/// A card is posted so often by itself: once, and once more where somebody deleted it.
const POSTS: u32 = 2;

impl Front {
    /// Answers whether it makes sense to go on with other cards.
    pub(super) async fn not_edited(
        &self,
        live: &LiveCard,
        composed: &Composed,
        trouble: &Trouble,
    ) -> Result<bool, StoreError> {
        tracing::warn!(batch = live.batch.0, %trouble, "a status card could not be edited");
        let about = About { member: composed.state.plan.owner, batch: Some(live.batch) };
        let meaning = trouble.meaning();
        if trouble.passes() || meaning == Meaning::WrongToken {
            return self.put_off_unreached(live).await.map(|_| false);
        }
        match meaning {
            Meaning::MessageGone if live.posts < POSTS => self.post_card_anew(live, composed).await,
            Meaning::MessageGone => self.give_up_card(live, about).await,
            lost if lost.loses_the_place() => self.lose_card_place(live, lost, about).await,
            _ => self.put_off_refused(live).await,
        }
    }

    /// Leaves a card alone for a pause that doubles.
    async fn put_off(
        &self,
        live: &LiveCard,
        (first, most): (TimeDelta, TimeDelta),
    ) -> Result<bool, StoreError> {
        let pause = (first * (1 << live.failures.min(16))).min(most);
        let not_before = self.clock.now() + pause;
        self.kept(LiveCard { not_before, failures: live.failures.saturating_add(1), ..live.clone() }).await
    }

    /// As after an edit that did not get through.
    pub(super) async fn put_off_unreached(&self, live: &LiveCard) -> Result<bool, StoreError> {
        self.put_off(live, (UNREACHED, UNREACHED_MOST)).await
    }

    /// As after an edit that the platform refused.
    pub(super) async fn put_off_refused(&self, live: &LiveCard) -> Result<bool, StoreError> {
        self.put_off(live, (REFUSED, REFUSED_MOST)).await
    }

    /// Posts a batch's card, which is a regular message: only to such a one a reply with a ping is heard.
    pub(super) async fn post_card_anew(
        &self,
        live: &LiveCard,
        composed: &Composed,
    ) -> Result<bool, StoreError> {
        let (live, change) = self.card_to_post(live, composed);
        let letter = change.outgoing.first().map(|outgoing| outgoing.id);
        self.store().commit(Change { live_cards: vec![live], ..change }).await?;
        if let Some(letter) = letter {
            self.send_now(letter).await?;
        }
        Ok(true)
    }

    /// The card's next posting: what is remembered of it, and a change with its letter and its buttons.
    pub(super) fn card_to_post(&self, live: &LiveCard, composed: &Composed) -> (LiveCard, Change) {
        let id = self.store().next_card_id();
        let (body, card) = composed.message(id);
        let letter = Letter {
            place: live.place,
            answers: None,
            body: json!(body).to_string(),
            nonce: super::threads::card_nonce(live.batch, live.posts + 1),
        };
        let outgoing = self.outgoing(letter, composed.state.plan.owner, Some(live.batch), body.content);
        let posted = LiveCard {
            message: None,
            card: Some(id),
            shown: composed.shown.clone(),
            shown_changes: live.changes,
            ages: composed.ages(),
            failures: 0,
            posts: live.posts + 1,
            ..live.clone()
        };
        (posted, Change { outgoing: vec![outgoing], cards: vec![card], ..Change::default() })
    }

    /// Whoever deletes a card twice does not want it.
    async fn give_up_card(&self, live: &LiveCard, about: About) -> Result<bool, StoreError> {
        let holes = [("batch", &*live.batch.to_string()), ("place", &live.place.to_string())];
        let sentence = say("platform.live.given_up", &holes);
        self.kept(LiveCard { message: None, card: None, shown_changes: live.changes, ..live.clone() })
            .await?;
        self.tell_once(&format!("g{:x}.{:x}", live.place.0, about.member.0), &sentence, about).await;
        Ok(true)
    }

    /// The thread is gone, locked or closed to the assistant. Once somebody can write to it there again, the card goes on.
    async fn lose_card_place(&self, live: &LiveCard, why: Meaning, about: About) -> Result<bool, StoreError> {
        self.put_off_refused(live).await?;
        let Some(place) = self.store().place(live.place).await? else { return Ok(true) };
        match self.leave_place(&place, why, about).await {
            Ok(Some(notice)) => self.send_notice(notice).await,
            Ok(None) => {}
            Err(trouble) => tracing::warn!(%trouble, "an owner could not be told of a lost thread"),
        }
        Ok(true)
    }
}
