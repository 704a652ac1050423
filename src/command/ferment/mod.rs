//! `/ferment`: degree-hours until the pH is reached.

pub mod degree_hours;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&degree_hours::SPEC];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum FermentRequest {
    /// `/ferment degree-hours`
    DegreeHours(degree_hours::FermentDegreeHours),
}

/// Reads the options of a verb.
pub fn read(_verb: &str, args: Args<'_>) -> Result<FermentRequest, UserError> {
    degree_hours::FermentDegreeHours::read(args).map(FermentRequest::DegreeHours)
}

impl FermentRequest {
    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::DegreeHours(request) => request.perform(services, asking).await,
        }
    }
}
