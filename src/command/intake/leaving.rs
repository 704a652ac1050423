//! A piece leaves: `#4 out, packed`, `#4 out, discarded, mould inside`, `#2 eaten`.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::Said;
use crate::command::intake::error::IntakeError;
use crate::command::intake::item::What;
use crate::command::intake::line::Line;
use crate::command::intake::prose::{Until, words};
use crate::command::intake::words::unsettles;
use crate::record::PieceFate;

/// Reads how a piece left.
pub(super) fn read(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<bool, IntakeError> {
    let mut ahead = *cursor;
    let is_out = ahead.take(&["out"]);
    if is_out {
        while ahead.take_sign(&[',', ':', '-', '.']) || ahead.take(&["and", "was", "is", "now"]) {}
    }
    let Some(fate) = fate(&mut ahead) else {
        if is_out
            && line.has_named_pieces()
            && let Some(piece) = line.named_pieces().first()
        {
            return Err(IntakeError::FateMissing { piece: *piece });
        }
        return Ok(false);
    };
    // Without a piece these words are about something else.
    if !is_out && !line.names_pieces {
        return Ok(false);
    }
    // "discarded the skin" is not the piece.
    if !is_out && ahead.sees(&["the", "its", "a", "some", "half", "most", "part"]) {
        return Ok(false);
    }
    let reason = why_it_left(&mut ahead).map_or("", |(reason, _)| reason);
    line.is_doubtful |= unsettles(reason);
    let said =
        Said::Known(What::Left { fate, reason: reason.split_whitespace().collect::<Vec<_>>().join(" ") });
    line.add(said, ahead.text_since(cursor));
    *cursor = ahead;
    Ok(true)
}

/// Passes ", mould inside", "because of mould": the reason, and all that was typed. A question mark alone is no reason:
/// it is left unread.
pub(super) fn why_it_left<'a>(cursor: &mut Cursor<'a>) -> Option<(&'a str, &'a str)> {
    let mut ahead = *cursor;
    while ahead.take_sign(&[',', ':', '-', '(', '.']) || ahead.take(&["because", "for"]) {}
    let reason = words(&mut ahead, Until::NextReading);
    if !reason.contains(char::is_alphanumeric) {
        return None;
    }
    let typed = ahead.text_since(cursor);
    *cursor = ahead;
    Some((reason, typed))
}

pub(super) fn fate(cursor: &mut Cursor<'_>) -> Option<PieceFate> {
    let mut ahead = *cursor;
    ahead.take(&["vac", "vacuum"]);
    ahead.take_sign(&['-']);
    let found = match ahead.word()? {
        "eaten" | "ate" => PieceFate::Eaten,
        "packed" | "vacuumed" | "packaged" | "bagged" => PieceFate::Packed,
        "discarded" | "discard" | "binned" | "tossed" => PieceFate::Discarded,
        "thrown" | "threw" => {
            ahead.skip();
            if !ahead.sees(&["away", "out"]) {
                return None;
            }
            PieceFate::Discarded
        }
        _ => return None,
    };
    ahead.skip();
    *cursor = ahead;
    Some(found)
}
