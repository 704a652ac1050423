//! `/ferment`: degree-hours until the pH is reached, planned and as they run, and the cultures.

pub mod culture;
pub mod degree_hours;
pub mod schedule;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&schedule::SPEC, &degree_hours::SPEC, &culture::SPEC];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum FermentRequest {
    /// `/ferment culture`
    Culture(culture::FermentCulture),
    /// `/ferment degree-hours`
    DegreeHours(degree_hours::FermentDegreeHours),
    /// `/ferment schedule`
    Schedule(Box<schedule::FermentSchedule>),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<FermentRequest, UserError> {
    match verb {
        "culture" => culture::FermentCulture::read(args).map(FermentRequest::Culture),
        "schedule" => schedule::FermentSchedule::read(args).map(|it| FermentRequest::Schedule(Box::new(it))),
        _ => degree_hours::FermentDegreeHours::read(args).map(FermentRequest::DegreeHours),
    }
}

impl FermentRequest {
    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::Culture(request) => request.perform(services, asking).await,
            Self::DegreeHours(request) => request.perform(services, asking).await,
            Self::Schedule(request) => request.perform(asking),
        }
    }
}
