//! What was written while nobody listened: after every fresh connection the known places are read from where they were
//! left.

use super::front::Front;
use super::inbound::written;
use super::trouble::Trouble;
use crate::record::{ChatId, Place, PlaceKind};
use serenity::model::channel::Message;
use std::sync::Arc;

/// Messages of a place may have been dealt with a little out of their order, so reading begins a little before where it
/// was left: ten seconds, in the numbers of the platform.
const MARGIN: i64 = 10_000 << 22;
/// Messages the platform gives at once.
const AT_ONCE: usize = 100;
/// Pages read of one place; what lies further back than that was not written to an assistant.
const PAGES: usize = 20;

impl Front {
    /// Reads every known place from where it was left.
    pub(super) async fn catch_up(self: Arc<Self>) {
        let places = match self.store().reachable_places().await {
            Ok(places) => places,
            Err(error) => {
                tracing::error!(%error, "the places to catch up with could not be read");
                return;
            }
        };
        for place in places {
            if let Err(trouble) = self.catch_up_with(&place).await {
                tracing::warn!(place = place.id.0, %trouble, "a place could not be caught up with");
                if !trouble.passes() {
                    self.mark_unreachable(place.id, &trouble).await;
                }
            }
        }
    }

    async fn catch_up_with(&self, place: &Place) -> Result<(), Trouble> {
        let group = match place.kind {
            PlaceKind::Direct => None,
            _ => self.store().group(place.group).and_then(|group| group.chat),
        };
        let mut after = ChatId((place.seen.0 - MARGIN).max(1));
        for _ in 0..PAGES {
            let fetched = self.api.messages_after(place.id, after).await?;
            let mut messages: Vec<Message> = fetched
                .as_array()
                .into_iter()
                .flatten()
                .filter_map(|message| serde_json::from_value(message.clone()).ok())
                .collect();
            messages.sort_by_key(|message| message.id);
            let Some(last) = messages.last().map(|message| super::inbound::id(message.id.get())) else {
                return Ok(());
            };
            let full = messages.len() >= AT_ONCE;
            for message in messages.iter().filter_map(|message| written(message, self.me, group)) {
                self.on_written(message).await;
            }
            if !full {
                return Ok(());
            }
            after = last;
        }
        Ok(())
    }
}
