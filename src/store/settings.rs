//! Groups and members as they are now, in memory: every settings change that is kept replaces what stands here.

use super::change::Change;
use super::names::fold;
use crate::record::correction::corrected;
use crate::record::{ChatId, Group, GroupId, Member, MemberId};
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{PoisonError, RwLock, RwLockReadGuard};

/// Everything the tables `groups`, `members` and `memberships` hold.
#[derive(Debug, Default)]
pub(super) struct Settings {
    known: RwLock<Known>,
    /// Counts the changes after which what is over, or what is shown of it, may be another.
    over: AtomicU64,
}

#[derive(Debug, Default)]
struct Known {
    groups: BTreeMap<GroupId, Group>,
    members: BTreeMap<(GroupId, MemberId), Member>,
}

impl Settings {
    pub(super) fn new(groups: Vec<Group>, members: Vec<Member>) -> Self {
        let known = Known {
            groups: groups.into_iter().map(|group| (group.id, group)).collect(),
            members: members.into_iter().map(|member| ((member.group, member.id), member)).collect(),
        };
        Self { known: RwLock::new(known), over: AtomicU64::new(0) }
    }

    /// Takes over what a kept change says. A member's settings are the same in every group of theirs.
    pub(super) fn take(&self, change: &Change) {
        if touches_what_is_over(change) {
            self.over.fetch_add(1, Ordering::Release);
        }
        if change.groups.is_empty()
            && change.members.is_empty()
            && change.erase_member.is_none()
            && change.purge_group.is_none()
        {
            return;
        }
        let mut known = self.known.write().unwrap_or_else(PoisonError::into_inner);
        for group in &change.groups {
            known.groups.insert(group.id, group.clone());
        }
        for member in &change.members {
            for ((_, id), other) in &mut known.members {
                if *id == member.id {
                    other.settings = member.settings.clone();
                }
            }
            known.members.insert((member.group, member.id), member.clone());
        }
        if let Some(erased) = change.erase_member {
            let chat =
                known.members.values().find(|member| member.id == erased).and_then(|member| member.chat);
            known.members.retain(|(_, id), _| *id != erased);
            known.groups.retain(|_, group| chat.is_none() || group.chat != chat);
        }
        if let Some(purged) = change.purge_group {
            known.members.retain(|(group, _), _| *group != purged);
            known.groups.remove(&purged);
        }
    }

    /// Grows with every change to batches that are over or to what is shown of them.
    pub(super) fn over(&self) -> u64 {
        self.over.load(Ordering::Acquire)
    }

    pub(super) fn group(&self, id: GroupId) -> Option<Group> {
        self.known().groups.get(&id).cloned()
    }

    pub(super) fn groups(&self) -> Vec<Group> {
        self.known().groups.values().cloned().collect()
    }

    pub(super) fn group_by_name(&self, name: &str) -> Option<Group> {
        let folded = fold(name);
        self.known().groups.values().find(|group| fold(&group.name) == folded).cloned()
    }

    pub(super) fn group_by_chat(&self, chat: ChatId) -> Option<Group> {
        self.known().groups.values().find(|group| group.chat == Some(chat)).cloned()
    }

    pub(super) fn member_by_chat(&self, chat: ChatId) -> Option<Member> {
        self.known().members.values().find(|member| member.chat == Some(chat)).cloned()
    }

    pub(super) fn member(&self, id: MemberId, group: GroupId) -> Option<Member> {
        self.known().members.get(&(group, id)).cloned()
    }

    pub(super) fn members_of_group(&self, group: GroupId) -> Vec<Member> {
        self.known()
            .members
            .range((group, MemberId(i64::MIN))..=(group, MemberId(i64::MAX)))
            .map(|(_, member)| member.clone())
            .collect()
    }

    pub(super) fn memberships(&self, id: MemberId) -> Vec<Member> {
        self.known().members.values().filter(|member| member.id == id).cloned().collect()
    }

    fn known(&self) -> RwLockReadGuard<'_, Known> {
        self.known.read().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A correction may open a batch again that was over.
fn touches_what_is_over(change: &Change) -> bool {
    !change.shares.is_empty()
        || change.erase_member.is_some()
        || change.purge_group.is_some()
        || change.batches.iter().any(|write| write.state.stage().0.is_over())
        || change.events.iter().any(|event| corrected(&event.what).is_some())
}
