//! `/group`: what members chose to show, and the group's settings.

pub mod board;
pub mod formulations;
mod places;
mod quiet;
pub mod settings;
pub mod stats;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&board::SPEC, &stats::SPEC, &formulations::SPEC, &settings::SPEC];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum GroupRequest {
    /// `/group board`
    Board(board::GroupBoard),
    /// `/group stats`
    Stats(stats::GroupStats),
    /// `/group formulations`
    Formulations(formulations::GroupFormulations),
    /// `/group settings`
    Settings(settings::GroupSettingsSet),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<GroupRequest, UserError> {
    match verb {
        "settings" => settings::GroupSettingsSet::read(args).map(GroupRequest::Settings),
        "formulations" => formulations::GroupFormulations::read(args).map(GroupRequest::Formulations),
        "stats" => stats::GroupStats::read(args).map(GroupRequest::Stats),
        _ => board::GroupBoard::read(args).map(GroupRequest::Board),
    }
}

impl GroupRequest {
    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::Board(request) => request.perform(services, asking).await,
            Self::Stats(request) => request.perform(services, asking).await,
            Self::Formulations(request) => request.perform(services, asking).await,
            Self::Settings(request) => request.perform(services, asking).await,
        }
    }
}
