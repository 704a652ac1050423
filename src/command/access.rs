//! Who may do what: the one place that decides, for commands, buttons, forms, edits and text alike.
//!
//! Whoever asks stands to a thing in some way: it is theirs, they help with it, it is shown in their group, they look
//! after its group, they moderate it. [`MAY`] says which of these a deed takes. Who stands to it in no way is an
//! outsider, also a member of another group: to them nothing is said of it, not even whether it exists.

use super::asking::{Asking, Services};
use crate::record::{BatchState, Formulation, GroupId, Member, MemberId, Role};
use crate::store::{Share, StoreError};

/// What somebody wants to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Deed {
    /// To be told that it exists.
    KnowOf,
    /// To see a batch's card, its forecast and whatever else is worked out of it.
    LookAt,
    /// To see its entries.
    ReadHistory,
    /// To see the private notes among them.
    ReadNotes,
    /// To log readings.
    LogReading,
    /// To say how a chamber is set.
    SetChamber,
    /// To undo or change an entry.
    Correct,
    /// Everything else that alters a batch: stages, pieces, cure, notes, chamber, its end.
    Run,
    /// To let somebody help, and to end it.
    ChooseHelpers,
    /// To make a batch like it.
    Repeat,
    /// To put it on the board.
    Share,
    /// To read its record on the board.
    ReadRecord,
    /// To take its record off the board.
    TakeOffBoard,
    /// To put off or cancel a reminder.
    AlterReminder,
    /// To read a recipe.
    ReadRecipe,
    /// To alter a recipe, and to share it.
    AlterRecipe,
    /// To end the sharing of a recipe.
    TakeBackRecipe,
    /// To alter what a group agreed on.
    SetGroup,
    /// To press a button or send a form.
    Press,
}

/// How somebody stands to a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// It is theirs.
    Owner,
    /// They help with it.
    Helper,
    /// They help with it, and wrote this very entry.
    Writer,
    /// They are in the group in which it is shown.
    Reader,
    /// They look after its group.
    Steward,
    /// They have the platform's right to manage messages in its group.
    Moderator,
}

use Standing::{Helper, Moderator, Owner, Reader, Steward, Writer};

/// What each deed takes: any one of these.
pub const MAY: &[(Deed, &[Standing])] = &[
    (Deed::KnowOf, &[Owner, Helper, Reader]),
    (Deed::LookAt, &[Owner, Helper]),
    (Deed::ReadHistory, &[Owner, Helper]),
    (Deed::ReadNotes, &[Owner]),
    (Deed::LogReading, &[Owner, Helper]),
    (Deed::SetChamber, &[Owner]),
    (Deed::Correct, &[Owner, Writer]),
    (Deed::Run, &[Owner]),
    (Deed::ChooseHelpers, &[Owner]),
    (Deed::Repeat, &[Owner, Reader]),
    (Deed::Share, &[Owner]),
    (Deed::ReadRecord, &[Owner, Reader]),
    (Deed::TakeOffBoard, &[Owner, Steward, Moderator]),
    (Deed::AlterReminder, &[Owner]),
    (Deed::ReadRecipe, &[Owner, Reader]),
    (Deed::AlterRecipe, &[Owner]),
    (Deed::TakeBackRecipe, &[Owner, Steward]),
    (Deed::SetGroup, &[Steward]),
    (Deed::Press, &[Owner]),
];

/// Who wants to do it, and where they ask.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Actor {
    member: MemberId,
    group: GroupId,
    is_steward: bool,
    moderates: bool,
}

impl Actor {
    /// Whoever asks.
    pub fn of(asking: &Asking) -> Self {
        Self { moderates: asking.moderates, ..Self::member(&asking.member) }
    }

    /// A member as they stand in a group.
    pub fn member(member: &Member) -> Self {
        Self {
            member: member.id,
            group: member.group,
            is_steward: member.role == Role::Steward,
            moderates: false,
        }
    }
}

/// What it is done to.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Thing {
    owner: Option<MemberId>,
    group: Option<GroupId>,
    helpers: Vec<MemberId>,
    writer: Option<MemberId>,
    shown_in: Option<GroupId>,
}

impl Thing {
    /// Something that is one member's: a button, a reminder, a meter.
    pub fn of_member(owner: MemberId) -> Self {
        Self { owner: Some(owner), ..Self::default() }
    }

    /// A member's chamber, with those who help with a batch in it.
    pub fn chamber(owner: MemberId, helpers: Vec<MemberId>) -> Self {
        Self { helpers, ..Self::of_member(owner) }
    }

    /// Somebody else's batch that a member helps with, whichever it is.
    pub fn helped_by(helper: MemberId) -> Self {
        Self { helpers: vec![helper], ..Self::default() }
    }

    /// A batch, with those who help with it and its place on the board.
    pub fn batch(state: &BatchState, helpers: Vec<MemberId>, share: Option<&Share>) -> Self {
        let shown_in = share.map(|share| share.group);
        Self { group: shown_in, helpers, shown_in, ..Self::of_member(state.plan.owner) }
    }

    /// A recipe.
    pub fn recipe(kept: &Formulation) -> Self {
        let shown_in = kept.shared_at.map(|_| kept.group);
        Self { group: shown_in, shown_in, ..Self::of_member(kept.owner) }
    }

    /// A group itself.
    pub fn group(group: GroupId) -> Self {
        Self { group: Some(group), ..Self::default() }
    }

    /// One entry of it.
    #[must_use]
    pub fn entry(self, writer: Option<MemberId>) -> Self {
        Self { writer, ..self }
    }
}

/// Whether somebody may do a deed to a thing.
pub fn may(actor: Actor, deed: Deed, thing: &Thing) -> bool {
    let takes = MAY.iter().filter(|(known, _)| *known == deed).flat_map(|(_, standings)| *standings);
    takes.into_iter().any(|standing| holds(*standing, actor, thing))
}

fn holds(standing: Standing, actor: Actor, thing: &Thing) -> bool {
    let helps = thing.helpers.contains(&actor.member);
    let is_in_its_group = thing.group == Some(actor.group);
    match standing {
        Owner => thing.owner == Some(actor.member),
        Helper => helps,
        Writer => helps && thing.writer == Some(actor.member),
        Reader => thing.shown_in == Some(actor.group),
        Steward => is_in_its_group && actor.is_steward,
        Moderator => is_in_its_group && actor.moderates,
    }
}

/// A batch as a thing; who else may do anything to it is looked up only for those whose it is not.
pub async fn batch(services: &Services, actor: Actor, state: &BatchState) -> Result<Thing, StoreError> {
    let own = Thing::batch(state, Vec::new(), None);
    if own.owner == Some(actor.member) {
        return Ok(own);
    }
    let share = services.store.share_of(state.id).await?;
    let helpers = services.store.helpers_of(state.id).await?;
    let helpers = helpers.into_iter().filter(|helper| helper.accepted_at.is_some());
    Ok(Thing::batch(state, helpers.map(|helper| helper.member).collect(), share.as_ref()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_deed_has_one_row_and_none_is_anybodys() {
        let mut seen: Vec<Deed> = Vec::new();
        for (deed, standings) in MAY {
            assert!(!seen.contains(deed), "{deed:?} twice");
            assert!(!standings.is_empty(), "{deed:?}");
            seen.push(*deed);
        }
        assert!(seen.contains(&Deed::Press));
    }
}
