//! `/check`: whether a figure can be believed, what a treatment does, which rule applies.

pub mod drying;
pub mod freezing;
pub mod growth;
pub mod heat;
pub mod mould;
mod salt_ph;
pub mod shelf;
mod treatment;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] =
    &[&freezing::SPEC, &heat::SPEC, &drying::SPEC, &shelf::SPEC, &growth::SPEC, &mould::SPEC];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum CheckRequest {
    /// `/check drying`
    Drying(Box<drying::CheckDrying>),
    /// `/check freezing`
    Freezing(freezing::CheckFreezing),
    /// `/check growth`
    Growth(growth::CheckGrowth),
    /// `/check heat`
    Heat(heat::CheckHeat),
    /// `/check mould`
    Mould(mould::CheckMould),
    /// `/check shelf`
    Shelf(shelf::CheckShelf),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<CheckRequest, UserError> {
    match verb {
        "drying" => drying::CheckDrying::read(args).map(|request| CheckRequest::Drying(Box::new(request))),
        "freezing" => freezing::CheckFreezing::read(args).map(CheckRequest::Freezing),
        "shelf" => shelf::CheckShelf::read(args).map(CheckRequest::Shelf),
        "heat" => heat::CheckHeat::read(args).map(CheckRequest::Heat),
        "mould" => mould::CheckMould::read(args).map(CheckRequest::Mould),
        _ => growth::CheckGrowth::read(args).map(CheckRequest::Growth),
    }
}

impl CheckRequest {
    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::Drying(request) => request.perform(),
            Self::Freezing(request) => request.perform(asking),
            Self::Growth(request) => request.perform(asking),
            Self::Heat(request) => request.perform(asking),
            Self::Mould(request) => request.perform(),
            Self::Shelf(request) => request.perform(services, asking).await,
        }
    }
}
