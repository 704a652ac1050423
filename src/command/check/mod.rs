//! `/check`: whether a figure can be believed, what a treatment does, which rule applies.

pub mod growth;
pub mod mould;

use super::Args;
use super::asking::{Asking, Outcome};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&growth::SPEC, &mould::SPEC];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum CheckRequest {
    /// `/check growth`
    Growth(growth::CheckGrowth),
    /// `/check mould`
    Mould(mould::CheckMould),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<CheckRequest, UserError> {
    match verb {
        "mould" => mould::CheckMould::read(args).map(CheckRequest::Mould),
        _ => growth::CheckGrowth::read(args).map(CheckRequest::Growth),
    }
}

impl CheckRequest {
    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        match self {
            Self::Growth(request) => request.perform(asking),
            Self::Mould(request) => request.perform(),
        }
    }
}
