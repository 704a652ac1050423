//! `/dry`: the air pieces dry in.

pub mod air;

mod of_chamber;

use super::Args;
use super::asking::{Asking, Outcome, Services};
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
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::Air(request) => request.perform(services, asking).await,
        }
    }
}
