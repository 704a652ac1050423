//! Groups that let the assistant in, and that let it go.

use super::front::Front;
use crate::record::ChatId;
use crate::store::StoreError;
use std::collections::BTreeSet;

impl Front {
    /// A group let the assistant go: its places are left alone, and what is the group's waits for its return.
    pub(super) async fn leave_group(&self, group: ChatId) {
        if let Err(error) = self.leave(group).await {
            tracing::error!(%error, "that a group was left could not be kept");
        }
    }

    async fn leave(&self, chat: ChatId) -> Result<(), StoreError> {
        let Some(group) = self.desk.leave(chat, self.clock.now()).await? else { return Ok(()) };
        for place in self.store().places_of_group(group).await? {
            if place.reachable {
                self.place_deleted(place.id).await;
            }
        }
        Ok(())
    }

    /// A group is there; after a removal it has everything back.
    pub(super) async fn enter_group(&self, group: ChatId) {
        if let Err(error) = self.desk.come_back(group).await {
            tracing::error!(%error, "a group that came back could not be restored");
        }
    }

    /// What happened while nobody listened: a connection begins with every group there is, also those that cannot be
    /// reached for now. One that is missing let the assistant go.
    pub(super) async fn compare_groups(&self, there: &BTreeSet<ChatId>) {
        let known = self.store().groups().into_iter().filter_map(|group| group.chat);
        // A member's own conversation stands under their own number.
        let gone = known.filter(|chat| !there.contains(chat) && self.store().member_by_chat(*chat).is_none());
        for chat in gone.collect::<Vec<_>>() {
            tracing::warn!(group = chat.0, "removed from a group meanwhile");
            self.leave_group(chat).await;
        }
    }
}
