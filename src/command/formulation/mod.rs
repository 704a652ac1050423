//! `/formulation`: the mix, its ingredients, its casing and its making day.

pub mod blend;
pub mod casing;
pub mod culture;
pub mod plan;
pub mod scale;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&scale::SPEC, &blend::SPEC, &casing::SPEC, &culture::SPEC, &plan::SPEC];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum FormulationRequest {
    /// `/formulation blend`
    Blend(blend::FormulationBlend),
    /// `/formulation casing`
    Casing(casing::FormulationCasing),
    /// `/formulation culture`
    Culture(culture::FormulationCulture),
    /// `/formulation plan`
    Plan(plan::FormulationPlan),
    /// `/formulation scale`
    Scale(scale::FormulationScale),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<FormulationRequest, UserError> {
    match verb {
        "blend" => blend::FormulationBlend::read(args).map(FormulationRequest::Blend),
        "casing" => casing::FormulationCasing::read(args).map(FormulationRequest::Casing),
        "culture" => culture::FormulationCulture::read(args).map(FormulationRequest::Culture),
        "plan" => plan::FormulationPlan::read(args).map(FormulationRequest::Plan),
        _ => scale::FormulationScale::read(args).map(FormulationRequest::Scale),
    }
}

impl FormulationRequest {
    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::Blend(request) => request.perform(asking),
            Self::Casing(request) => request.perform(asking),
            Self::Culture(request) => request.perform(asking),
            Self::Plan(request) => request.perform(services, asking).await,
            Self::Scale(request) => request.perform(asking),
        }
    }
}
