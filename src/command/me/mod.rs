//! `/me`: the member's settings and data.

pub mod erase;
pub mod export;
pub mod privacy;
pub mod set;
pub mod show;

pub(in crate::command) mod plans;
pub(in crate::command) mod values;
mod zone;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&set::SPEC, &show::SPEC, &privacy::SPEC, &export::SPEC, &erase::SPEC];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum MeRequest {
    /// `/me set`
    Set(Box<set::MeSet>),
    /// `/me show`
    Show(show::MeShow),
    /// `/me privacy`
    Privacy(privacy::MePrivacy),
    /// `/me export`
    Export(export::MeExport),
    /// `/me erase`
    Erase(erase::MeErase),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<MeRequest, UserError> {
    match verb {
        "set" => set::MeSet::read(args).map(Box::new).map(MeRequest::Set),
        "privacy" => Ok(MeRequest::Privacy(privacy::MePrivacy)),
        "export" => Ok(MeRequest::Export(export::MeExport)),
        "erase" => Ok(MeRequest::Erase(erase::MeErase)),
        _ => Ok(MeRequest::Show(show::MeShow)),
    }
}

impl MeRequest {
    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::Set(request) => request.perform(services, asking).await,
            Self::Show(request) => Ok(request.perform(asking)),
            Self::Privacy(request) => Ok(request.perform()),
            Self::Export(request) => request.perform(services, asking).await,
            Self::Erase(request) => request.perform(services, asking).await,
        }
    }
}
