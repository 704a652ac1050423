//! `/chamber`: places with a climate, and what hangs where.

pub mod add;
pub mod list;
pub mod r#move;
pub mod set;

mod air;

use super::Args;
use super::asking::{Asking, Outcome, Services};
use super::error::{CommandError, UserError};
use super::lookup;
use super::spec::Spec;
use crate::record::Chamber;
use crate::reply::{Question, say};
use crate::store::Found as FoundByName;

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

/// Choices of a question, at most.
const CHOICES: usize = 5;

/// A chamber, or the question which one is meant.
enum Found {
    Chamber(Chamber),
    Ask(Question),
}

/// The chamber a line names in full or how its name begins, else the member's only one, else a question. `line`
/// makes the example of an answer: the line that would have worked, with `{chamber}` for the name.
async fn which(
    services: &Services,
    asking: &Asking,
    named: Option<&str>,
    line: &str,
) -> Result<Found, CommandError> {
    let candidates = match named {
        None => services.store.chambers_of(asking.member.id).await?,
        Some(name) => match services.store.chamber_by_name(asking.member.id, name).await? {
            FoundByName::One(chamber) => vec![chamber],
            FoundByName::Several(chambers) => chambers,
            FoundByName::Nothing => Vec::new(),
        },
    };
    match candidates.as_slice() {
        [] => lookup::chamber(services, asking, named).await.map(Found::Chamber),
        [only] => Ok(Found::Chamber(only.clone())),
        [first, ..] => Ok(Found::Ask(ask(&candidates, &line.replace("{chamber}", &typed(&first.name))))),
    }
}

fn ask(chambers: &[Chamber], example: &str) -> Question {
    Question {
        code: "which_chamber",
        text: say("chamber.which", &[]),
        example: example.to_owned(),
        choices: chambers.iter().take(CHOICES).map(|chamber| chamber.name.clone()).collect(),
        line: String::new(),
    }
}

/// A name as it can be typed in a line: in quotation marks where a word of it would read as an option.
fn typed(name: &str) -> String {
    if name.contains(':') { format!("\"{name}\"") } else { name.to_owned() }
}
