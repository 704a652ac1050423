//! What was seen, smelled or felt: `mould: white, a few green spots on #3`, `smell: sour`, `slime on #2`.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::{Mark, Said};
use crate::command::intake::error::IntakeError;
use crate::command::intake::item::What;
use crate::command::intake::line::Line;
use crate::command::intake::prose::{Until, words};
use crate::command::intake::words::{SEPARATORS, words_of};
use crate::record::event::ObservationKind;

/// Passes the words that name an observation.
pub(super) fn kind_of(cursor: &mut Cursor<'_>) -> Option<ObservationKind> {
    let mut ahead = *cursor;
    let kind = match ahead.word()? {
        "mould" | "mold" | "moulds" | "molds" | "mouldy" | "moldy" => ObservationKind::Mould,
        "smell" | "smells" | "smelled" | "smelt" | "smelly" | "odour" | "odor" | "stinks" => {
            ObservationKind::Smell
        }
        "slime" | "slimy" | "sticky" => ObservationKind::Slime,
        "hardrim" => ObservationKind::HardRim,
        "hard" | "hardened" => {
            ahead.skip();
            ahead.take_sign(&['-']);
            if !ahead.sees(&["rim", "rims", "edge", "edges", "ring", "shell", "crust", "rind"]) {
                return None;
            }
            ObservationKind::HardRim
        }
        "case" => {
            ahead.skip();
            ahead.take_sign(&['-']);
            if !ahead.sees(&["hardening", "hardened", "hard"]) {
                return None;
            }
            ObservationKind::HardRim
        }
        _ => return None,
    };
    ahead.skip();
    *cursor = ahead;
    Some(kind)
}

/// Reads an observation. Words right before its name belong to it: "white mould", "no slime".
#[expect(clippy::unnecessary_wraps, reason = "every reader has the same shape")]
pub(super) fn read(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<bool, IntakeError> {
    let mut ahead = *cursor;
    let Some(kind) = kind_of(&mut ahead) else {
        return Ok(false);
    };
    let first = first_word(cursor, line);
    let has_colon = ahead.take_sign(&[':', '=']);
    let described = words(&mut ahead, Until::NextObservation);
    let whole = ahead.text_since(&first).trim_end_matches([':', '=']);
    // "mould: white" says "white"; "white mould" says itself.
    let is_introduced = has_colon && first.at() == cursor.at() && !described.is_empty();
    let text = if is_introduced { described } else { whole };
    let speaks_of_all = speaks_of_all(whole);
    line.mark(&first, cursor, Mark::Read);
    let said =
        Said::Known(What::Observed { kind, text: text.split_whitespace().collect::<Vec<_>>().join(" ") });
    if speaks_of_all {
        // "#2 640 g mould on all": of the piece, or of them all.
        line.is_doubtful |= line.has_named_pieces() && !line.awaits_reading();
        line.add_of(said, Vec::new(), whole);
    } else {
        line.add(said, whole);
    }
    *cursor = ahead;
    Ok(true)
}

/// "on all", "everywhere", but not "all over" one piece.
fn speaks_of_all(text: &str) -> bool {
    let words = words_of(text);
    let is_all = |(at, word): (usize, &String)| match word.as_str() {
        "all" => words.get(at + 1).is_none_or(|next| !matches!(next.as_str(), "over" | "around")),
        "every" | "everywhere" | "everything" | "batch" | "both" | "each" | "others" => true,
        _ => false,
    };
    words.iter().enumerate().any(is_all)
}

/// The first of the words right before an observation that were not understood.
fn first_word<'a>(cursor: &Cursor<'a>, line: &Line<'_>) -> Cursor<'a> {
    let mut first = *cursor;
    for at in (0..cursor.at()).rev() {
        let word = cursor.back_to(at);
        let mark = line.marks.get(at).copied();
        if mark == Some(Mark::Read) || word.sees_sign(SEPARATORS) {
            break;
        }
        if mark == Some(Mark::Unread) {
            first = word;
        }
    }
    first
}
