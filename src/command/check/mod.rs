//! `/check`: whether a figure can be believed, what a treatment does, which rule applies.

pub mod additive;
pub mod drying;
pub mod freezing;
pub mod growth;
pub mod heat;
pub mod hygrometer;
pub mod meter;
pub mod mould;
pub mod rules;
pub mod shelf;

mod pairs;
mod salt_ph;
mod treatment;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::{Code, UserError};
use super::line::shown;
use super::spec::Spec;
use crate::curing::Country;
use crate::reply::say;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[
    &meter::SPEC,
    &hygrometer::SPEC,
    &freezing::SPEC,
    &heat::SPEC,
    &drying::SPEC,
    &shelf::SPEC,
    &growth::SPEC,
    &mould::SPEC,
    &additive::SPEC,
    &rules::SPEC,
];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum CheckRequest {
    /// `/check additive`
    Additive(additive::CheckAdditive),
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
    /// `/check rules`
    Rules(rules::CheckRules),
    /// `/check hygrometer`
    Hygrometer(hygrometer::CheckHygrometer),
    /// `/check meter`
    Meter(meter::CheckMeter),
    /// `/check shelf`
    Shelf(shelf::CheckShelf),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<CheckRequest, UserError> {
    match verb {
        "additive" => additive::CheckAdditive::read(args).map(CheckRequest::Additive),
        "drying" => drying::CheckDrying::read(args).map(|request| CheckRequest::Drying(Box::new(request))),
        "freezing" => freezing::CheckFreezing::read(args).map(CheckRequest::Freezing),
        "heat" => heat::CheckHeat::read(args).map(CheckRequest::Heat),
        "mould" => mould::CheckMould::read(args).map(CheckRequest::Mould),
        "rules" => rules::CheckRules::read(args).map(CheckRequest::Rules),
        "hygrometer" => hygrometer::CheckHygrometer::read(args).map(CheckRequest::Hygrometer),
        "meter" => meter::CheckMeter::read(args).map(CheckRequest::Meter),
        "shelf" => shelf::CheckShelf::read(args).map(CheckRequest::Shelf),
        _ => growth::CheckGrowth::read(args).map(CheckRequest::Growth),
    }
}

impl CheckRequest {
    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::Additive(request) => request.perform(),
            Self::Drying(request) => request.perform(),
            Self::Freezing(request) => request.perform(asking),
            Self::Growth(request) => request.perform(asking),
            Self::Heat(request) => request.perform(asking),
            Self::Mould(request) => request.perform(),
            Self::Rules(request) => request.perform(asking),
            Self::Hygrometer(request) => request.perform(services, asking).await,
            Self::Meter(request) => request.perform(services, asking).await,
            Self::Shelf(request) => request.perform(services, asking).await,
        }
    }
}

/// The country of the line, else the member's or the group's.
fn country(args: Args<'_>) -> Result<Option<Country>, UserError> {
    let Some(text) = args.text("country") else { return Ok(args.asking.country()) };
    Country::parse(text).map(Some).ok_or_else(|| {
        let sentence = say("cure.unknown_country", &[("typed", &shown(text))]);
        UserError::new(Code::UnknownChoice, sentence, args.line().with("country", "GB"))
    })
}
