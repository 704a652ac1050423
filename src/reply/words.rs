//! Words of the record as members read them, in the language in force. What is typed and what scripts read keeps its
//! one stable word.

use super::say;
use crate::curing::Level;
use crate::record::{BatchKind, BatchStage, PieceFate};

/// The signal word; nothing where there is nothing to signal.
pub fn signal(level: Level) -> String {
    match level {
        Level::None => String::new(),
        Level::Notice => say("word.signal.notice", &[]),
        Level::Caution => say("word.signal.caution", &[]),
        Level::Warning => say("word.signal.warning", &[]),
        Level::Danger => say("word.signal.danger", &[]),
    }
}

/// Where a batch stands.
pub fn stage(stage: BatchStage) -> String {
    say(&format!("word.stage.{}", stage.word()), &[])
}

/// What a batch is.
pub fn kind(kind: BatchKind) -> String {
    say(&format!("word.kind.{}", kind.word().replace('-', "_")), &[])
}

/// How a piece left.
pub fn fate(fate: PieceFate) -> String {
    say(&format!("word.fate.{}", fate.word()), &[])
}

/// The name of what a figure is of, among several: "piece 2" is #2 everywhere a person reads; what has a name of its own
/// keeps it.
pub fn thing(of: &str) -> String {
    let Some((what, which)) = of.split_once(' ') else { return of.to_owned() };
    let is_number = which.chars().all(|letter| letter.is_ascii_digit());
    match what {
        "piece" if is_number => format!("#{which}"),
        "step" if is_number => say("word.thing.step", &[("number", which)]),
        "day" if is_number => say("word.thing.day", &[("number", which)]),
        "earlier" if is_number => say("word.thing.earlier", &[("number", which)]),
        "batch" => say("word.thing.batch", &[("batch", which)]),
        _ => of.to_owned(),
    }
}
