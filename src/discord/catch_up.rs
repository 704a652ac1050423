//! What was written while nobody listened: after every fresh connection the known places are read from where they were
//! left.

use super::front::Front;
use super::inbound::{Edited, Written, first_id_at, id, written};
use super::post::nonce;
use super::trouble::Trouble;
use crate::record::{ChatId, Place, PlaceKind};
use crate::store::Change;
use chrono::TimeDelta;
use serenity::model::channel::Message;
use std::sync::Arc;
use std::time::Duration;

/// Messages of a place may have been dealt with a little out of their order, so reading begins a little before where it
/// was left: ten seconds, in the numbers of the platform.
const MARGIN: i64 = 10_000 << 22;
/// What an erasure may be later than its own message.
const MOMENT: TimeDelta = TimeDelta::seconds(1);
/// Messages the platform gives at once.
const AT_ONCE: usize = 100;

/// The first pause before a place that could not be read is tried again; it doubles.
const PAUSE: Duration = Duration::from_secs(2);
/// Doublings of the pause, to about half an hour.
const DOUBLINGS: u32 = 10;

impl Front {
    /// Reads every known place from where it was left; what cannot be read now is tried again, until the next fresh
    /// connection begins anew.
    pub(super) async fn catch_up(self: Arc<Self>) {
        let round = self.cursors().fall_behind();
        let mut left = match self.store().reachable_places().await {
            Ok(places) => places,
            Err(error) => {
                tracing::error!(%error, "the places to catch up with could not be read");
                return;
            }
        };
        for tried in 0.. {
            let mut again = Vec::new();
            for place in left {
                match self.catch_up_with(&place, round).await {
                    Ok(true) => {}
                    Ok(false) => return,
                    Err(trouble) if trouble.passes() => {
                        tracing::warn!(place = place.id.0, %trouble, "a place could not be caught up with yet");
                        again.push(place);
                    }
                    Err(trouble) => self.mark_unreachable(place.id, &trouble).await,
                }
            }
            if again.is_empty() {
                return;
            }
            left = again;
            pause(tried).await;
        }
    }

    /// After an erasure nothing that was written before it is read again: the member it would make anew was erased.
    pub(super) async fn close_the_past(&self) {
        let places = self.store().reachable_places().await.unwrap_or_default();
        let upto = ChatId(first_id_at(self.clock.now() + MOMENT).0 + MARGIN);
        let seen = places.iter().map(|place| (place.id, upto)).collect();
        if let Err(error) = self.store().commit(Change { seen, ..Change::default() }).await {
            tracing::error!(%error, "what was written before an erasure may be read again");
        }
    }

    /// A message that was answered before and was edited since is dealt with as an edit; else it is read as it is now.
    async fn catch_up_on(&self, written: Written, message: &Message) {
        let answered = self.store().has_letter(&nonce(written.id)).await.unwrap_or_default();
        match message.edited_timestamp {
            Some(at) if answered => self.on_edited(Edited { written, at: *at, says_files: true }).await,
            _ => self.on_written(written).await,
        }
    }

    /// `false`: another round has begun.
    async fn catch_up_with(&self, place: &Place, round: u64) -> Result<bool, Trouble> {
        let group = match place.kind {
            PlaceKind::Direct => None,
            _ => self.store().group(place.group).and_then(|group| group.chat),
        };
        let mut after = ChatId((place.seen.0 - MARGIN).max(1));
        loop {
            let fetched = self.api.messages_after(place.id, after).await?;
            let mut messages: Vec<Message> = fetched
                .as_array()
                .into_iter()
                .flatten()
                .filter_map(|message| serde_json::from_value(message.clone()).ok())
                .collect();
            messages.sort_by_key(|message| message.id);
            let full = messages.len() >= AT_ONCE;
            for message in &messages {
                after = id(message.id.get());
                if !self.cursors().catch_up(round, place.id, Some(after)) {
                    return Ok(false);
                }
                if let Some(written) = written(message, &self.to, group) {
                    self.catch_up_on(written, message).await;
                }
            }
            if !full {
                return Ok(self.cursors().catch_up(round, place.id, None));
            }
        }
    }
}

#[expect(clippy::disallowed_methods, reason = "a pause before a place is tried again")]
async fn pause(tried: u32) {
    tokio::time::sleep(PAUSE * 2_u32.saturating_pow(tried.min(DOUBLINGS))).await;
}
