//! The first line of somebody who is no member. It makes them one while it is carried out, and only if it is answered as
//! theirs they stay one: whoever is refused leaves nothing behind.

use super::Desk;
use super::access;
use super::incoming::{Incoming, Sender};
use crate::clock::to_milliseconds;
use crate::command::CommandError;
use crate::record::{ChatId, Group, GroupId, Member};
use crate::store::Change;
use std::collections::HashSet;
use std::sync::{MutexGuard, PoisonError};

/// Where strangers come in, one by one: two first lines of one person make one member.
#[derive(Debug, Default)]
pub(super) struct Door {
    alone: tokio::sync::Mutex<()>,
    /// Whose first line is being carried out. They are in the record already, and may be gone from it again.
    inside: std::sync::Mutex<HashSet<ChatId>>,
}

/// Who says a line.
#[derive(Debug)]
pub(super) struct Entered<'a> {
    pub(super) group: Group,
    pub(super) member: Member,
    /// Whether they were made a member for it.
    pub(super) is_new: bool,
    /// What is undone if the line is refused.
    first: Option<FirstLine<'a>>,
}

/// The first line of a stranger on a chat platform: nobody else comes in before it is through.
#[derive(Debug)]
struct FirstLine<'a> {
    door: &'a Door,
    user: ChatId,
    /// The group, if it was made for them too.
    made_group: Option<GroupId>,
    _alone: tokio::sync::MutexGuard<'a, ()>,
}

impl Door {
    /// Waits until nobody comes in.
    pub(super) async fn alone(&self) -> tokio::sync::MutexGuard<'_, ()> {
        self.alone.lock().await
    }

    fn inside(&self) -> MutexGuard<'_, HashSet<ChatId>> {
        self.inside.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Drop for FirstLine<'_> {
    fn drop(&mut self) {
        self.door.inside().remove(&self.user);
    }
}

impl Desk {
    /// Who writes; made a member where they are none.
    pub(super) async fn enter(&self, incoming: &Incoming) -> Result<Entered<'_>, CommandError> {
        let (store, sender) = (self.store(), &incoming.sender);
        let user = match sender {
            Sender::Chat(sender) => Some(sender.user),
            Sender::Named { .. } => None,
        };
        let is_inside = user.is_some_and(|user| self.door.inside().contains(&user));
        if let Some((group, member)) = access::known(store, sender).filter(|_| !is_inside) {
            return Ok(Entered { group, member, is_new: false, first: None });
        }
        let alone = self.door.alone().await;
        let knew_group = match sender {
            Sender::Chat(sender) => {
                let chat = sender.group.as_ref().map_or(sender.user, |(group, _)| *group);
                store.group_by_chat(chat).is_some()
            }
            Sender::Named { .. } => true,
        };
        // Noted before they are in the record, so that no line of theirs comes by another way meanwhile.
        let is_stranger = user.filter(|user| store.member_by_chat(*user).is_none());
        self.door.inside().extend(is_stranger);
        let mut first =
            is_stranger.map(|user| FirstLine { door: &self.door, user, made_group: None, _alone: alone });
        let (group, member, is_new) =
            access::enter(&self.services, sender, to_milliseconds(incoming.at)).await?;
        if let Some(first) = &mut first {
            first.made_group = (!knew_group).then_some(group.id);
        }
        Ok(Entered { group, member, is_new, first })
    }

    /// Undoes that a stranger was made a member for a line that was refused.
    pub(super) async fn turn_away(&self, entered: Entered<'_>) {
        let Some(first) = &entered.first else { return };
        let member = entered.member.id;
        let change = Change {
            erase_member: Some(member),
            purge_group: first.made_group.filter(|_| entered.group.chat != Some(first.user)),
            ..Change::default()
        };
        if let Err(error) = self.store().commit(change).await {
            tracing::error!(%error, "somebody who was refused is a member all the same");
        }
    }
}
