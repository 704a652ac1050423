//! `/remind`: a member's own reminders, beside those a batch brings.

pub mod cancel;
pub mod list;
pub mod pause;
pub mod resume;
pub mod set;
pub mod snooze;

use super::Args;
use super::access::{Actor, Deed, Thing, may};
use super::asking::{Asking, Outcome, Services};
use super::error::{Code, CommandError, UserError};
use super::spec::Spec;
use crate::record::{Reminder, ReminderId};
use crate::reply::{Due, say};

/// Every command under this root.
pub const SPECS: &[&Spec] =
    &[&set::SPEC, &list::SPEC, &snooze::SPEC, &pause::SPEC, &resume::SPEC, &cancel::SPEC];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum RemindRequest {
    /// `/remind set`
    Set(set::RemindSet),
    /// `/remind list`
    List(list::RemindList),
    /// `/remind snooze`
    Snooze(snooze::RemindSnooze),
    /// `/remind pause`
    Pause(pause::RemindPause),
    /// `/remind resume`
    Resume(resume::RemindResume),
    /// `/remind cancel`
    Cancel(cancel::RemindCancel),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<RemindRequest, UserError> {
    match verb {
        "set" => set::RemindSet::read(args).map(RemindRequest::Set),
        "snooze" => snooze::RemindSnooze::read(args).map(RemindRequest::Snooze),
        "pause" => pause::RemindPause::read(args).map(RemindRequest::Pause),
        "resume" => Ok(RemindRequest::Resume(resume::RemindResume)),
        "cancel" => cancel::RemindCancel::read(args).map(RemindRequest::Cancel),
        _ => Ok(RemindRequest::List(list::RemindList)),
    }
}

impl RemindRequest {
    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::Set(request) => request.perform(services, asking).await,
            Self::List(request) => request.perform(services, asking).await,
            Self::Snooze(request) => request.perform(services, asking).await,
            Self::Pause(request) => Ok(request.perform(asking)),
            Self::Resume(request) => request.perform(asking),
            Self::Cancel(request) => request.perform(services, asking).await,
        }
    }
}

/// The reminder of a number, if it is the member's; whether it still waits is for the command to say.
async fn of_member(id: ReminderId, services: &Services, asking: &Asking) -> Result<Reminder, CommandError> {
    let shown = id.to_string();
    let refuse = || {
        let sentence = say("remind_command.cancel.no_such", &[("id", &shown)]);
        UserError::new(Code::NoSuchThing, sentence, "remind list")
    };
    let found = services.store.reminder(id).await?;
    let reminder = found.ok_or_else(refuse)?;
    if may(Actor::of(asking), Deed::AlterReminder, &Thing::of_member(reminder.member)) {
        return Ok(reminder);
    }
    Err(refuse().into())
}

/// A reminder as a reply lists it.
pub(in crate::command) fn due(reminder: &Reminder) -> Due {
    Due {
        id: Some(reminder.id.0),
        kind: reminder.kind.word(),
        of: reminder.batch.map(|batch| batch.to_string()),
        at: reminder.wanted_at(),
        text: reminder.text.clone(),
    }
}
