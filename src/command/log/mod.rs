//! `/log`: readings, and putting them right.

pub mod change;
pub mod history;
pub mod reading;
pub mod undo;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::{Code, CommandError, UserError};
use super::lookup;
use super::spec::Spec;
use crate::record::{Event, EventId, Happening};
use crate::reply::say;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&reading::SPEC, &undo::SPEC, &change::SPEC, &history::SPEC];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum LogRequest {
    /// `/log reading`, and every line that is no command.
    Reading(reading::LogReading),
    /// `/log undo`
    Undo(undo::LogUndo),
    /// `/log change`
    Change(change::LogChange),
    /// `/log history`
    History(history::LogHistory),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<LogRequest, UserError> {
    match verb {
        "undo" => undo::LogUndo::read(args).map(LogRequest::Undo),
        "change" => change::LogChange::read(args).map(LogRequest::Change),
        "history" => history::LogHistory::read(args).map(LogRequest::History),
        _ => reading::LogReading::read(args).map(LogRequest::Reading),
    }
}

impl LogRequest {
    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::Reading(request) => request.perform(services, asking).await,
            Self::Undo(request) => request.perform(services, asking).await,
            Self::Change(request) => request.perform(services, asking).await,
            Self::History(request) => request.perform(services, asking).await,
        }
    }
}

/// An entry that the member may put right: of their own batch or chamber.
async fn own_entry(services: &Services, asking: &Asking, id: EventId) -> Result<Event, CommandError> {
    let no_such = || {
        let sentence = say("log.no_such_entry", &[("id", &id.to_string())]);
        UserError::new(Code::NoSuchThing, sentence, "log history batch:B1")
    };
    let event = services.store.event(id).await?.ok_or_else(no_such)?;
    let owner = match (event.subject.batch(), event.subject.chamber()) {
        (Some(batch), _) => services.store.batch(batch).await?.map(|(state, _)| state.plan.owner),
        (None, Some(chamber)) => services.store.chamber(chamber).await?.map(|chamber| chamber.owner),
        (None, None) => None,
    };
    if owner != Some(asking.member.id) {
        let sentence = say("log.entry_not_yours", &[("id", &id.to_string())]);
        return Err(UserError::new(Code::NotYours, sentence, "log history batch:B1").into());
    }
    if matches!(event.what, Happening::Started { .. }) {
        let sentence = say("log.entry_starts_batch", &[("id", &id.to_string())]);
        return Err(UserError::new(
            Code::DoesNotFit,
            sentence,
            "batch discard batch:B1 reason:written down twice",
        )
        .into());
    }
    Ok(event)
}

/// The name of an entry's chamber, for a reply; nothing for entries of a batch.
async fn chamber_name_of(services: &Services, event: &Event) -> Result<String, CommandError> {
    match event.subject.chamber() {
        Some(chamber) => lookup::chamber_name(services, chamber).await,
        None => Ok(String::new()),
    }
}
