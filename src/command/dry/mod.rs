//! `/dry`: the air pieces dry in.

pub mod air;

use super::Args;
use super::asking::{Asking, Outcome};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&air::SPEC];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum DryRequest {
    /// `/dry air`
    Air(air::DryAir),
}

/// Reads the options of a verb.
pub fn read(_verb: &str, args: Args<'_>) -> Result<DryRequest, UserError> {
    air::DryAir::read(args).map(DryRequest::Air)
}

impl DryRequest {
    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        match self {
            Self::Air(request) => request.perform(asking),
        }
    }
}
