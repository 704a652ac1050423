//! `/group`: what members chose to show, and the group's settings.

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum GroupRequest {}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<GroupRequest, UserError> {
    match verb {
        _ => Err(args.missing("verb")),
    }
}

impl GroupRequest {
    /// Carries it out.
    pub async fn perform(&self, _services: &Services, _asking: &Asking) -> Outcome {
        match *self {}
    }
}
