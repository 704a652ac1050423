//! The card at the top of a batch's thread: laid out as `batch show` would be answered, and edited when the record has
//! changed. The wish to edit is kept with the change itself, so that a restart loses none; edits are paced, and the last
//! state always gets there.

use super::body::Body;
use super::buttons::{Pages, Press};
use super::front::Front;
use super::layout::{action_buttons, page, pages_of_reply, presses};
use super::limits;
use super::threads::{batch_presses, card};
use super::trouble::{Meaning, Trouble};
use crate::record::{BatchId, BatchStage, BatchState, Card, CardId, ChatId, LiveCard};
use crate::reply::{Language, say, spoken_in};
use crate::store::{Change, StoreError};
use chrono::{DateTime, TimeDelta, Utc};
use serde_json::json;
use std::time::Duration;

/// Between two edits of one card.
const PACE: TimeDelta = TimeDelta::seconds(20);
/// A fermenting batch's hours and degree-hours are looked at so often without anything being written.
const FERMENTING_AGES: TimeDelta = TimeDelta::hours(1);
/// As is any other batch that goes on: its card counts in days.
const AGES: TimeDelta = TimeDelta::days(1);
/// Looked at in one round.
const ROUND: u32 = 20;
/// Characters of its headline, so that how to answer always fits below.
const HEADLINE: usize = 1_200;

/// A batch's card, laid out.
pub(super) struct Composed {
    pub(super) state: BatchState,
    pages: Pages,
    presses: Vec<(String, Press)>,
    /// Everything it shows, to be compared; empty where there is nothing to show.
    pub(super) shown: String,
    now: DateTime<Utc>,
}

impl Composed {
    /// As a message whose buttons carry the number of a card, and what they stand for.
    pub(super) fn message(&self, id: CardId) -> (Body, Card) {
        // Every reader sees the moment in their own zone.
        let moment = format!("<t:{}:f>", self.now.timestamp());
        let as_of = say("platform.live.as_of", &[("time", &moment)]);
        let content = format!("{}\n{as_of}", self.pages.content);
        let pages = Pages { content, ..self.pages.clone() };
        let body = page(&pages, 0, id, action_buttons(id, &self.presses));
        let owner = self.state.plan.owner;
        let mut card = card(id, owner, &self.presses, self.now);
        card.pages = (!pages.working.is_empty()).then(|| serde_json::to_string(&pages).unwrap_or_default());
        (body, card)
    }

    /// When it is out of date by the clock alone.
    pub(super) fn ages(&self) -> Option<DateTime<Utc>> {
        match self.state.stage().0 {
            stage if stage.is_over() => None,
            BatchStage::Fermenting => Some(self.now + FERMENTING_AGES),
            _ => Some(self.now + AGES),
        }
    }
}

impl Front {
    /// A batch's card as it is now; `None` where there is no such batch.
    pub(super) async fn composed(&self, batch: BatchId) -> Result<Option<Composed>, StoreError> {
        let Some((state, _)) = self.store().batch(batch).await? else { return Ok(None) };
        let now = self.clock.now();
        let reply = self.desk.card_of(&state, now).await;
        let mut pages = reply.as_deref().map(pages_of_reply).unwrap_or_default();
        let key =
            if self.reads_everything() { "platform.live.answer_listening" } else { "platform.live.answer" };
        let answer = say(key, &[("me", &format!("<@{}>", self.me))]);
        pages.content = format!("{}\n{answer}", limits::shortened(&pages.content, HEADLINE));
        // One page: a page that somebody turned would stay turned for everybody. The rest is a tap away.
        pages.texts.truncate(1);
        let mut all: Vec<(String, Press)> =
            reply.as_deref().map(|reply| presses(reply, Some(batch))).unwrap_or_default();
        // A helper may press what every batch has, and nothing stands there twice.
        let of_every_batch = batch_presses(batch);
        all.retain(|(label, _)| of_every_batch.iter().all(|(known, _)| known != label));
        all.extend(of_every_batch);
        let labels: Vec<&str> = all.iter().map(|(label, _)| label.as_str()).collect();
        let shown = json!([pages.content, pages.texts, pages.working, pages.colour, labels]).to_string();
        let shown = if reply.is_some() { shown } else { String::new() };
        Ok(Some(Composed { state, pages, presses: all, shown, now }))
    }

    /// Keeps every card current, for as long as it is polled: looks when something was answered, and every so often.
    ///
    /// Errands are run between two rounds: a card that was made empty is not edited by a round that began before.
    pub(super) async fn keep_cards_current(&self, every: Duration) -> ! {
        loop {
            if let Err(error) = Box::pin(self.run_errands()).await {
                tracing::error!(%error, "errands could not be run");
            }
            if let Err(error) = Box::pin(self.refresh_cards()).await {
                tracing::error!(%error, "status cards could not be looked at");
            }
            self.until_cards_change(every).await;
        }
    }

    async fn refresh_cards(&self) -> Result<(), StoreError> {
        loop {
            let due = self.store().live_cards_due(self.clock.now(), ROUND).await?;
            let is_all = due.len() < ROUND as usize;
            for live in due {
                let language = self.language_of_owner(live.batch).await?;
                if !spoken_in(language, self.refresh(live)).await? {
                    return Ok(());
                }
            }
            if is_all {
                return Ok(());
            }
        }
    }

    /// A card that everybody sees speaks as its batch's owner is spoken to.
    async fn language_of_owner(&self, batch: BatchId) -> Result<Language, StoreError> {
        let found = self.store().batch(batch).await?;
        Ok(found.map_or_else(Language::default, |(state, _)| self.language_of_member(state.plan.owner)))
    }

    /// Makes one card show what is so now. Whatever comes of it, it is left alone for a while afterwards, or is current.
    /// Answers whether it makes sense to go on with others.
    async fn refresh(&self, live: LiveCard) -> Result<bool, StoreError> {
        let Some(composed) = self.composed(live.batch).await? else { return Ok(true) };
        let now = self.clock.now();
        let current =
            LiveCard { shown_changes: live.changes, ages: composed.ages(), failures: 0, ..live.clone() };
        if composed.shown.is_empty() {
            // There is nothing to show for now; why is in the log.
            return self.put_off_refused(&live).await;
        }
        if composed.shown == live.shown {
            return self.tagged(current, &live, &composed).await;
        }
        let Some(message) = live.message else { return Ok(true) };
        let id = self.card_id(&live, &composed).await?;
        let (body, card) = composed.message(id);
        self.store().commit(Change { cards: vec![card], ..Change::default() }).await?;
        let body = body.json();
        let mut sent = self.api.edit_message(live.place, message, &body).await;
        if sent.as_ref().is_err_and(|trouble| trouble.meaning() == Meaning::ThreadArchived) {
            if !live.is_behind() {
                // Nobody wrote for a week; the hours alone do not wake the thread.
                return self.kept(LiveCard { not_before: now + PACE, ..current }).await;
            }
            sent = match self.reopen(live.place, &sent).await {
                Ok(()) => self.api.edit_message(live.place, message, &body).await,
                refused => refused,
            };
        }
        if let Err(trouble) = sent {
            return self.not_edited(&live, &composed, &trouble).await;
        }
        let edited = LiveCard {
            card: Some(id),
            shown: composed.shown.clone(),
            not_before: now + PACE,
            ..live.clone()
        };
        let current =
            LiveCard { shown_changes: live.changes, ages: composed.ages(), failures: 0, ..edited.clone() };
        // What it shows is kept before its tag is looked at: a tag that fails edits nothing again.
        self.kept(edited.clone()).await?;
        self.tagged(current, &edited, &composed).await
    }

    /// Wakes a thread that is archived and not locked.
    async fn reopen(&self, place: ChatId, sent: &Result<(), Trouble>) -> Result<(), Trouble> {
        match self.api.change_channel(place, &json!({ "archived": false })).await {
            Err(trouble) if !trouble.passes() => sent.clone(),
            changed => changed,
        }
    }

    /// The number its buttons carry: the same for as long as they stand for the same, so that a form that is open
    /// meanwhile can still be sent.
    async fn card_id(&self, live: &LiveCard, composed: &Composed) -> Result<CardId, StoreError> {
        let Some(id) = live.card else { return Ok(self.store().next_card_id()) };
        let known = self.store().card(id).await?;
        let same = known.is_some_and(|known| known.buttons == composed.message(id).1.buttons);
        Ok(if same { id } else { self.store().next_card_id() })
    }

    /// Keeps what became of a card.
    pub(super) async fn kept(&self, live: LiveCard) -> Result<bool, StoreError> {
        self.store().commit(Change { live_cards: vec![live], ..Change::default() }).await.map(|_| true)
    }
}
