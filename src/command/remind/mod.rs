//! `/remind`: a member's own reminders, beside those a batch brings.

pub mod cancel;
pub mod list;
pub mod set;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;
use crate::record::Reminder;
use crate::reply::Due;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&set::SPEC, &list::SPEC, &cancel::SPEC];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum RemindRequest {
    /// `/remind set`
    Set(set::RemindSet),
    /// `/remind list`
    List(list::RemindList),
    /// `/remind cancel`
    Cancel(cancel::RemindCancel),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<RemindRequest, UserError> {
    match verb {
        "set" => set::RemindSet::read(args).map(RemindRequest::Set),
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
            Self::Cancel(request) => request.perform(services, asking).await,
        }
    }
}

/// A reminder as a reply lists it.
pub(in crate::command) fn due(reminder: &Reminder) -> Due {
    Due {
        id: Some(reminder.id.0),
        kind: reminder.kind.word(),
        of: reminder.batch.map(|batch| batch.to_string()),
        at: reminder.due,
        text: reminder.text.clone(),
    }
}
