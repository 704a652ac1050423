//! `/cure`: amounts of cure and salt, and whether they are inside the limit.

mod amounts;
pub(in crate::command) mod applied;
pub mod brine;
pub mod check;
mod dose;
pub mod inject;
pub(in crate::command) mod judged;
pub(in crate::command) mod judging;
pub(in crate::command) mod kept;
mod label;
pub(in crate::command) mod meat_of;
pub mod mix;
pub mod muscle;
pub(in crate::command) mod options;
pub mod recipe;
mod refusal;
pub mod rub;
pub mod time;
pub(in crate::command) mod timing;
pub mod weights;
mod words;
pub(in crate::command) mod working;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[
    &mix::SPEC,
    &rub::SPEC,
    &brine::SPEC,
    &inject::SPEC,
    &check::SPEC,
    &recipe::SPEC,
    &time::SPEC,
    &weights::SPEC,
    &muscle::SPEC,
];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum CureRequest {
    /// `/cure mix`
    Mix(mix::CureMix),
    /// `/cure rub`
    Rub(rub::CureRub),
    /// `/cure brine`
    Brine(brine::CureBrine),
    /// `/cure inject`
    Inject(inject::CureInject),
    /// `/cure check`
    Check(check::CureCheck),
    /// `/cure recipe`
    Recipe(recipe::CureRecipe),
    /// `/cure time`
    Time(time::CureTiming),
    /// `/cure weights`
    Weights(weights::CureWeights),
    /// `/cure muscle`
    Muscle(muscle::CureMuscle),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<CureRequest, UserError> {
    match verb {
        "mix" => mix::CureMix::read(args).map(CureRequest::Mix),
        "rub" => rub::CureRub::read(args).map(CureRequest::Rub),
        "brine" => brine::CureBrine::read(args).map(CureRequest::Brine),
        "inject" => inject::CureInject::read(args).map(CureRequest::Inject),
        "check" => check::CureCheck::read(args).map(CureRequest::Check),
        "recipe" => recipe::CureRecipe::read(args).map(CureRequest::Recipe),
        "weights" => weights::CureWeights::read(args).map(CureRequest::Weights),
        "muscle" => muscle::CureMuscle::read(args).map(CureRequest::Muscle),
        _ => time::CureTiming::read(args).map(CureRequest::Time),
    }
}

impl CureRequest {
    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::Mix(request) => request.perform(services, asking).await,
            Self::Rub(request) => request.perform(services, asking).await,
            Self::Brine(request) => request.perform(asking),
            Self::Inject(request) => request.perform(asking),
            Self::Check(request) => request.perform(asking),
            Self::Recipe(request) => request.perform(asking),
            Self::Time(request) => request.perform(asking),
            Self::Weights(request) => request.perform(asking),
            Self::Muscle(request) => request.perform(asking),
        }
    }
}
