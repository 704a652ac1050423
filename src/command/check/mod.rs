//! `/check`: whether a figure can be believed, what a treatment does, which rule applies.

pub mod growth;

use super::Args;
use super::asking::{Asking, Outcome};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&growth::SPEC];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum CheckRequest {
    /// `/check growth`
    Growth(growth::CheckGrowth),
}

/// Reads the options of a verb.
pub fn read(_verb: &str, args: Args<'_>) -> Result<CheckRequest, UserError> {
    growth::CheckGrowth::read(args).map(CheckRequest::Growth)
}

impl CheckRequest {
    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        match self {
            Self::Growth(request) => request.perform(asking),
        }
    }
}
