//! `/dry`: the air pieces dry in, and what drying makes of them.

pub mod air;
pub mod balance;
pub mod compare;
pub mod forecast;

mod of_chamber;
mod shown;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&air::SPEC, &balance::SPEC, &forecast::SPEC, &compare::SPEC];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum DryRequest {
    /// `/dry air`
    Air(air::DryAir),
    /// `/dry balance`
    Balance(Box<balance::DryBalance>),
    /// `/dry forecast`
    Forecast(Box<forecast::DryForecast>),
    /// `/dry compare`
    Compare(compare::DryCompare),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<DryRequest, UserError> {
    match verb {
        "balance" => balance::DryBalance::read(args).map(|request| DryRequest::Balance(Box::new(request))),
        "forecast" => {
            forecast::DryForecast::read(args).map(|request| DryRequest::Forecast(Box::new(request)))
        }
        "compare" => Ok(DryRequest::Compare(compare::DryCompare::read(args))),
        _ => air::DryAir::read(args).map(DryRequest::Air),
    }
}

impl DryRequest {
    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::Air(request) => request.perform(services, asking).await,
            Self::Balance(request) => request.perform(asking),
            Self::Forecast(request) => request.perform(services, asking).await,
            Self::Compare(request) => request.perform(services, asking).await,
        }
    }
}
