//! The first line of somebody who is no member. It makes them one while it is carried out, and only if it is answered as
//! theirs they stay one: whoever is refused leaves nothing behind.

use super::Desk;
use super::access;
use super::incoming::{Incoming, Sender};
use super::open_question::Speaker;
use crate::clock::to_milliseconds;
use crate::command::CommandError;
use crate::record::{Group, GroupId, Member};
use crate::store::Change;
use std::collections::HashSet;
use std::sync::{MutexGuard, PoisonError};

/// Where strangers come in, one by one: two first lines of one person make one member.
#[derive(Debug, Default)]
pub(super) struct Door {
    alone: tokio::sync::Mutex<()>,
    /// Whose first line is being carried out. They are in the record already, and may be gone from it again.
    inside: std::sync::Mutex<HashSet<Speaker>>,
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

/// The first line of a stranger: nobody else comes in before it is through.
#[derive(Debug)]
struct FirstLine<'a> {
    door: &'a Door,
    speaker: Speaker,
    /// The group, if it was made for them too.
    made_group: Option<GroupId>,
    _alone: tokio::sync::MutexGuard<'a, ()>,
}

impl Door {
    /// Waits until nobody comes in.
    pub(super) async fn alone(&self) -> tokio::sync::MutexGuard<'_, ()> {
        self.alone.lock().await
    }

    fn inside(&self) -> MutexGuard<'_, HashSet<Speaker>> {
        self.inside.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Drop for FirstLine<'_> {
    fn drop(&mut self) {
        self.door.inside().remove(&self.speaker);
    }
}

impl Desk {
    /// Who writes; made a member where they are none.
    pub(super) async fn enter(&self, incoming: &Incoming) -> Result<Entered<'_>, CommandError> {
        let (store, sender) = (self.store(), &incoming.sender);
        let speaker = Speaker::of(sender);
        let is_inside = self.door.inside().contains(&speaker);
        if let Some((group, member)) = access::known(store, sender).filter(|_| !is_inside) {
            return Ok(Entered { group, member, is_new: false, first: None });
        }
        let alone = self.door.alone().await;
        let (is_stranger, knew_group) = match sender {
            Sender::Chat(sender) => {
                let chat = sender.group.as_ref().map_or(sender.user, |(group, _)| *group);
                (store.member_by_chat(sender.user).is_none(), store.group_by_chat(chat).is_some())
            }
            Sender::Named { group, .. } => {
                (access::known(store, sender).is_none(), store.group_by_name(group).is_some())
            }
        };
        // Noted before they are in the record, so that no line of theirs comes by another way meanwhile.
        let mut first = is_stranger.then(|| {
            self.door.inside().insert(speaker.clone());
            FirstLine { door: &self.door, speaker, made_group: None, _alone: alone }
        });
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
        // A member's own conversation goes with them; a group of a shell has no number.
        let is_own = entered.group.chat.is_some() && entered.group.chat == entered.member.chat;
        let change = Change {
            erase_member: Some(member),
            purge_group: first.made_group.filter(|_| !is_own),
            ..Change::default()
        };
        if let Err(error) = self.store().commit(change).await {
            tracing::error!(%error, "somebody who was refused is a member all the same");
        }
    }
}
