//! The pH of something that is not the meat: kept as the meat's it would end the degree-hours.

use crate::command::intake::check::BUFFERS;
use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::{Mark, Said};
use crate::command::intake::error::IntakeError;
use crate::command::intake::item::What;
use crate::command::intake::line::{Line, tidied};
use crate::command::intake::token::Kind;
use crate::command::time::echo;

/// What else has its pH measured in a kitchen.
const OTHERS: &[&str] = &[
    "beer",
    "brine",
    "broth",
    "buffer",
    "buffers",
    "cider",
    "culture",
    "cultures",
    "dough",
    "juice",
    "kimchi",
    "kombucha",
    "kraut",
    "marinade",
    "milk",
    "must",
    "pickle",
    "pickles",
    "sauerkraut",
    "soil",
    "solution",
    "sourdough",
    "starter",
    "vinegar",
    "water",
    "whey",
    "wine",
    "yoghurt",
    "yogurt",
];

/// Refuses a pH in whose clause something else is named, and a buffer's value behind "calibrated" or before "buffer".
pub(super) fn refuse(start: &Cursor<'_>, line: &Line<'_>) -> Result<(), IntakeError> {
    let clauses = (0..=line.clause).filter(|clause| line.has_ph_in(*clause));
    for clause in clauses {
        let words: Vec<Cursor<'_>> = places(start, line, clause).collect();
        let names_other = words.iter().any(|word| is_unread_other(word, line));
        let is_buffers = values(line, clause).any(|value| is_buffers_value(&words, value));
        if names_other || is_buffers {
            return Err(error(&words));
        }
    }
    Ok(())
}

/// Refuses a line of which nothing was read, but that says "ph", something else, and a number.
pub(super) fn refuse_unread(start: &Cursor<'_>, line: &Line<'_>) -> Result<(), IntakeError> {
    for clause in 0..=line.clause {
        let words: Vec<Cursor<'_>> = places(start, line, clause).collect();
        let says_ph = words.iter().any(|word| word.sees(&["ph"]));
        let has_number = words.iter().any(|word| matches!(word.kind(), Some(Kind::Number)));
        if says_ph && has_number && words.iter().any(|word| is_unread_other(word, line)) {
            return Err(error(&words));
        }
    }
    Ok(())
}

/// Whether a line with a pH names something else anywhere, or gives a buffer's value and the meter's check.
pub(super) fn is_mentioned(start: &Cursor<'_>, line: &Line<'_>) -> bool {
    let reads_ph = (0..=line.clause).any(|clause| line.has_ph_in(clause));
    let reads_buffer = (0..=line.clause).any(|clause| values(line, clause).next().is_some());
    let names_other = || (0..line.marks.len()).any(|at| is_unread_other(&start.back_to(at), line));
    (reads_ph && names_other()) || (reads_buffer && line.check.is_some())
}

fn places<'a>(start: &Cursor<'a>, line: &Line<'_>, clause: usize) -> impl Iterator<Item = Cursor<'a>> {
    let start = *start;
    let places: Vec<usize> =
        (0..line.clauses.len()).filter(|at| line.clauses.get(*at) == Some(&clause)).collect();
    places.into_iter().map(move |at| start.back_to(at))
}

fn is_unread_other(word: &Cursor<'_>, line: &Line<'_>) -> bool {
    word.sees(OTHERS) && line.marks.get(word.at()).is_some_and(|mark| *mark == Mark::Unread)
}

/// The values kept as a pH in a clause that a buffer has.
fn values(line: &Line<'_>, clause: usize) -> impl Iterator<Item = f64> {
    line.drafts.iter().filter(move |draft| draft.clause == clause).filter_map(|draft| match draft.said {
        Said::Known(What::Ph { ph, .. }) => {
            BUFFERS.iter().any(|buffer| is_value(buffer, ph.value())).then_some(ph.value())
        }
        _ => None,
    })
}

fn is_value(text: &str, value: f64) -> bool {
    text.replace(',', ".").parse::<f64>().is_ok_and(|read| read.total_cmp(&value).is_eq())
}

/// "calibrated … ph 4", "ph 4 buffer ok".
fn is_buffers_value(words: &[Cursor<'_>], kept: f64) -> bool {
    let mut is_calibrated = false;
    for word in words {
        is_calibrated |= word.word().is_some_and(|word| word.starts_with("calibrat"));
        let value = word.after_one();
        let is_kept = word.sees(&["ph"]) && is_value(value.text(), kept);
        if is_kept && (is_calibrated || value.after_one().sees(&["buffer", "buffers"])) {
            return true;
        }
    }
    false
}

fn error(words: &[Cursor<'_>]) -> IntakeError {
    let text = match words {
        [first, .., last] => tidied(last.after_one().text_since(first)),
        [only] => only.text().to_owned(),
        [] => String::new(),
    };
    IntakeError::PhOfOther { text: echo(text.trim_end_matches([',', ';', '.', '!', '?'])) }
}
