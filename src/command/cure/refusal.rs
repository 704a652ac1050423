//! A cure that cannot be worked out, in the member's words, with a line that works.

use crate::command::error::{Code, UserError};
use crate::command::line::Line;
use crate::command::why::Why;
use crate::curing::cure::{CureError, advice};
use crate::curing::finding::Advice;
use crate::reply::finding::advised;

/// The refusal of a line.
pub(in crate::command) fn of(error: &CureError, line: &Line) -> UserError {
    let (code, example) = match error {
        CureError::NotPositive { .. } | CureError::OutOfRange { .. } | CureError::LabelSum => {
            (Code::OutOfRange, own_example(line))
        }
        CureError::PickleTooSmall => (Code::OutOfRange, own_example(line)),
        CureError::NoNitrite => (without_nitrite(line), line.with("nitrite", "6.25%")),
        CureError::OverMaximum { .. } | CureError::BelowMinimum { .. } | CureError::NoRoom { .. } => {
            (Code::Refused, line.with("target", "max"))
        }
        CureError::NitrateNotPermitted { .. } => (Code::Refused, line.without("nitrate")),
        CureError::ScaleTooCoarse { ways_out, .. } => (Code::Refused, weighable(line, ways_out)),
        CureError::WeightNeeded => (Code::MissingOption, line.with("meat", "2.7 kg")),
        CureError::NoCustom(_) => (Code::Refused, own_example(line)),
    };
    UserError::new(code, sentence(error), example)
}

fn sentence(error: &CureError) -> String {
    let ways: Vec<String> = error.ways_out().iter().map(advised).collect();
    let sentence = format!("{}.", capital(&error.why()));
    std::iter::once(sentence).chain(ways).collect::<Vec<_>>().join(" ")
}

/// A sentence that begins with a capital letter.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
    format!("{first}{}", letters.as_str())
}

/// A cure without nitrite is either none at all or a nitrate.
fn without_nitrite(line: &Line) -> Code {
    if line.values.contains_key("nitrate") { Code::NitrateNotNitrite } else { Code::NotACure }
}

fn own_example(line: &Line) -> String {
    line.spec.examples[0].to_owned()
}

/// The same line on a scale that can weigh the dose; else the command's example.
fn weighable(line: &Line, ways_out: &[Advice]) -> String {
    let finer = ways_out.iter().find(|way| way.key == advice::FINER_SCALE);
    let step = finer.and_then(|way| way.holes.iter().find(|(name, _)| *name == "step"));
    step.map_or_else(|| own_example(line), |(_, step)| line.with("scale", &format!("{step} g")))
}
