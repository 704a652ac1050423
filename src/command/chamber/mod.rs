//! `/chamber`: places with a climate, and what hangs where.

pub mod add;
pub mod list;
pub mod r#move;
pub mod set;

pub(in crate::command) mod air;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&add::SPEC, &list::SPEC, &set::SPEC, &r#move::SPEC];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum ChamberRequest {
    /// `/chamber add`
    Add(add::ChamberAdd),
    /// `/chamber list`
    List(list::ChamberList),
    /// `/chamber set`
    Set(set::ChamberSet),
    /// `/chamber move`
    Move(r#move::ChamberMove),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<ChamberRequest, UserError> {
    match verb {
        "add" => add::ChamberAdd::read(args).map(ChamberRequest::Add),
        "set" => set::ChamberSet::read(args).map(ChamberRequest::Set),
        "move" => r#move::ChamberMove::read(args).map(ChamberRequest::Move),
        _ => Ok(ChamberRequest::List(list::ChamberList)),
    }
}

impl ChamberRequest {
    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::Add(request) => request.perform(services, asking).await,
            Self::List(request) => request.perform(services, asking).await,
            Self::Set(request) => request.perform(services, asking).await,
            Self::Move(request) => request.perform(services, asking).await,
        }
    }
}
