//! `/me`: the member's settings and data.

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum MeRequest {}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<MeRequest, UserError> {
    match verb {
        _ => Err(args.missing("verb")),
    }
}

impl MeRequest {
    /// Carries it out.
    pub async fn perform(&self, _services: &Services, _asking: &Asking) -> Outcome {
        match *self {}
    }
}
