//! `/formulation`: the mix, its ingredients, its casing and its making day; and recipes that are kept.

pub(in crate::command) mod again;
pub mod blend;
pub mod casing;
pub mod culture;
mod item;
pub(in crate::command) mod kept;
pub mod list;
pub mod plan;
pub mod save;
pub mod scale;
pub mod share;
pub mod show;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[
    &scale::SPEC,
    &blend::SPEC,
    &casing::SPEC,
    &culture::SPEC,
    &plan::SPEC,
    &save::SPEC,
    &show::SPEC,
    &list::SPEC,
    &share::SPEC,
];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum FormulationRequest {
    /// `/formulation blend`
    Blend(blend::FormulationBlend),
    /// `/formulation casing`
    Casing(casing::FormulationCasing),
    /// `/formulation culture`
    Culture(culture::FormulationCulture),
    /// `/formulation list`
    List(list::FormulationList),
    /// `/formulation plan`
    Plan(plan::FormulationPlan),
    /// `/formulation save`
    Save(save::FormulationSave),
    /// `/formulation scale`
    Scale(scale::FormulationScale),
    /// `/formulation share`
    Share(share::FormulationShare),
    /// `/formulation show`
    Show(show::FormulationShow),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<FormulationRequest, UserError> {
    match verb {
        "blend" => blend::FormulationBlend::read(args).map(FormulationRequest::Blend),
        "casing" => casing::FormulationCasing::read(args).map(FormulationRequest::Casing),
        "culture" => culture::FormulationCulture::read(args).map(FormulationRequest::Culture),
        "list" => Ok(FormulationRequest::List(list::FormulationList)),
        "plan" => plan::FormulationPlan::read(args).map(FormulationRequest::Plan),
        "save" => save::FormulationSave::read(args).map(FormulationRequest::Save),
        "share" => share::FormulationShare::read(args).map(FormulationRequest::Share),
        "show" => show::FormulationShow::read(args).map(FormulationRequest::Show),
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
            Self::List(request) => request.perform(services, asking).await,
            Self::Plan(request) => request.perform(services, asking).await,
            Self::Save(request) => request.perform(services, asking).await,
            Self::Scale(request) => request.perform(asking),
            Self::Share(request) => request.perform(services, asking).await,
            Self::Show(request) => request.perform(services, asking).await,
        }
    }
}
