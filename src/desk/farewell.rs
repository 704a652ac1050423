//! Groups that let the assistant in, and that let it go. What is theirs waits thirty days for a return, then it is let go; what members wrote
//! stays with those who also write to the assistant directly.

use super::Desk;
use super::access::{DIRECT_GROUP, new_group};
use crate::record::{ChatId, Errand, Group, GroupId, Member, Role};
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

    /// A group let the assistant in for the first time. It is written down together with its greeting, so that it is
    /// greeted once.
    ///
    /// # Errors
    /// The store's.
    pub async fn meet(&self, chat: ChatId, name: &str, greeting: Option<Errand>) -> Result<(), StoreError> {
        let _alone = self.door.alone().await;
        let mut change = Change { errands: greeting.into_iter().collect(), ..Change::default() };
        if self.store().group_by_chat(chat).is_none() {
            let group = Group { chat: Some(chat), ..new_group(self.store(), &mut change, name) };
            change.groups = vec![group];
        }
        self.store().commit(change).await.map(|_| ())
    }

    /// A group let the assistant in again: everything is as it was, and its places are tried again.
    ///
    /// # Errors
    /// The store's.
    pub async fn come_back(&self, chat: ChatId, greeting: Option<Errand>) -> Result<(), StoreError> {
        let Some(group) = self.store().group_by_chat(chat).filter(|group| group.left.is_some()) else {
            return Ok(());
        };
        let mut places = self.store().places_of_group(group.id).await?;
        for place in &mut places {
            place.reachable = true;
        }
        let back = Group { left: None, ..group };
        let errands = greeting.into_iter().collect();
        self.store().commit(Change { groups: vec![back], places, errands, ..Change::default() }).await?;
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
