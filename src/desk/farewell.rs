//! Groups that let the assistant go. What is theirs waits thirty days for a return, then it is let go; what members wrote
//! stays with those who also write to the assistant directly.

use super::Desk;
use super::access::{DIRECT_GROUP, new_group};
use crate::record::{ChatId, Group, GroupId, Member, Role};
use crate::store::{Change, StoreError};
use chrono::{DateTime, TimeDelta, Utc};

/// How long a group that let the assistant go can have everything back.
pub const TOMBSTONE: TimeDelta = TimeDelta::days(30);

impl Desk {
    /// Notes since when the assistant is no longer let into a group; a second notice does not begin anew. Nothing is
    /// erased. Answers whether this was news.
    ///
    /// # Errors
    /// The store's.
    pub async fn leave(&self, chat: ChatId, now: DateTime<Utc>) -> Result<Option<GroupId>, StoreError> {
        let Some(group) = self.store().group_by_chat(chat).filter(|group| group.left.is_none()) else {
            return Ok(None);
        };
        let id = group.id;
        let left = Group { left: Some(now), ..group };
        self.store().commit(Change { groups: vec![left], ..Change::default() }).await?;
        Ok(Some(id))
    }

    /// A group let the assistant in again: everything is as it was, and its places are tried again.
    ///
    /// # Errors
    /// The store's.
    pub async fn come_back(&self, chat: ChatId) -> Result<(), StoreError> {
        let Some(group) = self.store().group_by_chat(chat).filter(|group| group.left.is_some()) else {
            return Ok(());
        };
        let mut places = self.store().places_of_group(group.id).await?;
        for place in &mut places {
            place.reachable = true;
        }
        let back = Group { left: None, ..group };
        self.store().commit(Change { groups: vec![back], places, ..Change::default() }).await?;
        Ok(())
    }

    /// Lets go of the groups whose thirty days are over; answers how many.
    ///
    /// # Errors
    /// The store's. What was not let go is at the next call.
    pub async fn purge_left_groups(&self, now: DateTime<Utc>) -> Result<usize, StoreError> {
        let is_over = |group: &Group| group.left.is_some_and(|left| left + TOMBSTONE <= now);
        let over: Vec<Group> = self.store().groups().into_iter().filter(is_over).collect();
        for group in &over {
            for member in self.store().members_of_group(group.id) {
                self.part_from(group, &member).await?;
            }
            let change = Change { purge_group: Some(group.id), ..Change::default() };
            self.store().commit(change).await?;
            tracing::info!(group = group.id.0, "a group was let go");
        }
        Ok(over.len())
    }

    /// A member who is in no other group and never writes directly goes with the group; one who does gets a place of
    /// their own.
    async fn part_from(&self, group: &Group, member: &Member) -> Result<(), StoreError> {
        let store = self.store();
        if store.memberships_of(member.id).iter().any(|other| other.group != group.id) {
            return Ok(());
        }
        let mut change = Change::default();
        match member.chat {
            Some(chat) if store.direct_place(member.id).await?.is_some() => {
                let direct = Group { chat: Some(chat), ..new_group(store, &mut change, DIRECT_GROUP) };
                change.groups = vec![direct.clone()];
                // In their own conversation everybody is their own steward.
                change.members.push(Member { group: direct.id, role: Role::Steward, ..member.clone() });
            }
            _ => change.erase_member = Some(member.id),
        }
        store.commit(change).await?;
        Ok(())
    }
}
