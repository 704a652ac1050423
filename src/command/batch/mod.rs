//! `/batch`: the record of a batch.

pub mod cautions;
pub mod cure;
pub mod discard;
pub mod finish;
pub mod helper;
pub mod label;
pub mod list;
pub mod note;
pub mod piece;
pub mod record;
pub mod repeat;
pub mod show;
pub mod stage;
pub mod start;
pub mod store;

mod dose_again;
mod last_time;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::UserError;
use super::spec::Spec;

/// Every command under this root.
pub const SPECS: &[&Spec] = &[
    &start::SPEC,
    &list::SPEC,
    &show::SPEC,
    &stage::SPEC,
    &cure::SPEC,
    &piece::SPEC,
    &note::SPEC,
    &store::SPEC,
    &repeat::SPEC,
    &helper::SPEC,
    &record::SPEC,
    &label::SPEC,
    &finish::SPEC,
    &discard::SPEC,
];

/// A request under this root.
#[derive(Debug, Clone)]
pub enum BatchRequest {
    /// `/batch start`
    Start(start::BatchStart),
    /// `/batch list`
    List(list::BatchList),
    /// `/batch show`
    Show(show::BatchShow),
    /// `/batch stage`
    Stage(stage::BatchStageSet),
    /// `/batch cure`
    Cure(cure::BatchCure),
    /// `/batch piece`
    Piece(piece::BatchPiece),
    /// `/batch note`
    Note(note::BatchNote),
    /// `/batch store`
    Store(Box<store::BatchStore>),
    /// `/batch repeat`
    Repeat(repeat::BatchRepeat),
    /// `/batch helper`
    Helper(helper::BatchHelper),
    /// `/batch record`
    Record(record::BatchRecord),
    /// `/batch label`
    Label(label::BatchLabel),
    /// `/batch finish`
    Finish(finish::BatchFinish),
    /// `/batch discard`
    Discard(discard::BatchDiscard),
}

/// Reads the options of a verb.
pub fn read(verb: &str, args: Args<'_>) -> Result<BatchRequest, UserError> {
    match verb {
        "start" => start::BatchStart::read(args).map(BatchRequest::Start),
        "show" => show::BatchShow::read(args).map(BatchRequest::Show),
        "stage" => stage::BatchStageSet::read(args).map(BatchRequest::Stage),
        "cure" => cure::BatchCure::read(args).map(BatchRequest::Cure),
        "piece" => piece::BatchPiece::read(args).map(BatchRequest::Piece),
        "note" => note::BatchNote::read(args).map(BatchRequest::Note),
        "store" => store::BatchStore::read(args).map(|request| BatchRequest::Store(Box::new(request))),
        "repeat" => repeat::BatchRepeat::read(args).map(BatchRequest::Repeat),
        "helper" => helper::BatchHelper::read(args).map(BatchRequest::Helper),
        "record" => record::BatchRecord::read(args).map(BatchRequest::Record),
        "label" => label::BatchLabel::read(args).map(BatchRequest::Label),
        "finish" => finish::BatchFinish::read(args).map(BatchRequest::Finish),
        "discard" => discard::BatchDiscard::read(args).map(BatchRequest::Discard),
        _ => list::BatchList::read(args).map(BatchRequest::List),
    }
}

impl BatchRequest {
    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::Start(request) => request.perform(services, asking).await,
            Self::List(request) => request.perform(services, asking).await,
            Self::Show(request) => request.perform(services, asking).await,
            Self::Stage(request) => request.perform(services, asking).await,
            Self::Cure(request) => request.perform(services, asking).await,
            Self::Piece(request) => request.perform(services, asking).await,
            Self::Note(request) => request.perform(services, asking).await,
            Self::Store(request) => request.perform(services, asking).await,
            Self::Repeat(request) => request.perform(services, asking).await,
            Self::Helper(request) => request.perform(services, asking).await,
            Self::Record(request) => request.perform(services, asking).await,
            Self::Label(request) => request.perform(services, asking).await,
            Self::Finish(request) => request.perform(services, asking).await,
            Self::Discard(request) => request.perform(services, asking).await,
        }
    }
}
