//! `/target`: the weight to dry to.

pub mod weight;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&weight::SPEC];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum TargetRequest {
    /// `/target weight`
    Weight(weight::TargetWeight),
}

/// Reads the options of a verb.
pub fn read(_verb: &str, args: Args<'_>) -> Result<TargetRequest, UserError> {
    weight::TargetWeight::read(args).map(TargetRequest::Weight)
}

impl TargetRequest {
    /// Carries it out.
    #[expect(clippy::unused_async, reason = "every root is carried out the same way")]
    pub async fn perform(&self, _services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::Weight(request) => request.perform(asking),
        }
    }
}
