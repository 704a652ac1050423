//! `/check`: whether a figure can be believed, what a treatment does, which rule applies.

pub mod growth;
pub mod hygrometer;
pub mod meter;

mod pairs;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&growth::SPEC, &hygrometer::SPEC, &meter::SPEC];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum CheckRequest {
    /// `/check growth`
    Growth(growth::CheckGrowth),
    /// `/check hygrometer`
    Hygrometer(hygrometer::CheckHygrometer),
    /// `/check meter`
    Meter(meter::CheckMeter),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<CheckRequest, UserError> {
    match verb {
        "hygrometer" => hygrometer::CheckHygrometer::read(args).map(CheckRequest::Hygrometer),
        "meter" => meter::CheckMeter::read(args).map(CheckRequest::Meter),
        _ => growth::CheckGrowth::read(args).map(CheckRequest::Growth),
    }
}

impl CheckRequest {
    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::Growth(request) => request.perform(asking),
            Self::Hygrometer(request) => request.perform(services, asking).await,
            Self::Meter(request) => request.perform(services, asking).await,
        }
    }
}
