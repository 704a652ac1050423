//! `/log`: readings, and putting them right.

pub mod change;
pub mod deleted;
pub mod edit;
pub mod history;
pub mod import;
pub mod picture;
pub mod reading;
pub mod undo;

pub(in crate::command) mod own;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;
use crate::reply::say;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&reading::SPEC, &undo::SPEC, &change::SPEC, &history::SPEC, &import::SPEC];

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
    /// Photos without a reading.
    Pictures(picture::LogPictures),
    /// `/log import`
    Import(import::LogImport),
    /// A message that was edited.
    Edit(edit::LogEdit),
    /// Messages that were deleted.
    Deleted(deleted::LogDeleted),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<LogRequest, UserError> {
    match verb {
        "undo" => undo::LogUndo::read(args).map(LogRequest::Undo),
        "change" => change::LogChange::read(args).map(LogRequest::Change),
        "import" => import::LogImport::read(args).map(LogRequest::Import),
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
            Self::Pictures(request) => request.perform(services, asking).await,
            Self::Import(request) => request.perform(services, asking).await,
            Self::Edit(request) => request.perform(services, asking).await,
            Self::Deleted(request) => request.perform(services, asking).await,
        }
    }
}

/// Numbers of entries as "log undo" takes them: `12`, `12-14`, `12,14`. Another member's entry may lie between.
pub(in crate::command) fn ids_shown(ids: &[i64]) -> String {
    let runs = ids.chunk_by(|one, next| one.checked_add(1) == Some(*next));
    let shown = runs.filter_map(|run| match run {
        [] => None,
        [only] => Some(only.to_string()),
        [first, .., last] => Some(format!("{first}-{last}")),
    });
    shown.collect::<Vec<_>>().join(",")
}

/// "entry 12", "entries 12-14".
fn entries_shown(ids: &[i64]) -> String {
    let key = if ids.len() == 1 { "log.entry" } else { "log.entries" };
    say(key, &[("ids", &ids_shown(ids))])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_shown_in_runs() {
        for (ids, shown) in
            [(vec![12], "12"), (vec![12, 13, 14], "12-14"), (vec![12, 14, 15], "12,14-15"), (vec![], "")]
        {
            assert_eq!(ids_shown(&ids), shown);
        }
    }
}
