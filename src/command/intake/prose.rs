//! Free words inside a line: where what was seen, or why a piece left, ends and the next reading begins.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::figure::mass_text;
use crate::command::intake::figure::{humidity, temperature};
use crate::command::intake::leaving::fate;
use crate::command::intake::observation::kind_of;
use crate::command::intake::token::Kind;
use crate::command::intake::words::{SEPARATORS, begins_time};
use crate::command::time::{Direction, phrase};
use crate::quantity::TemperatureScale;

/// Whether words that name an observation end the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Until {
    /// They do, behind a comma.
    NextObservation,
    /// They belong to it.
    NextReading,
}

/// Passes words up to a semicolon, a piece's number or the next reading; gives them without the signs around.
pub(super) fn words<'a>(cursor: &mut Cursor<'a>, until: Until) -> &'a str {
    let start = *cursor;
    let mut ahead = *cursor;
    let mut end = *cursor;
    let mut is_behind_comma = true;
    while !ahead.is_at_end() && !ahead.sees_sign(&[';']) {
        if begins_something_else(&ahead, is_behind_comma, until) {
            break;
        }
        is_behind_comma = ahead.sees_sign(&[',']) || ahead.sees(&["and"]);
        let separates = is_behind_comma || ahead.sees_sign(SEPARATORS);
        ahead.skip();
        if !separates {
            end = ahead;
        }
    }
    *cursor = end;
    end.text_since(&start).trim()
}

fn begins_something_else(cursor: &Cursor<'_>, is_behind_comma: bool, until: Until) -> bool {
    let mut ahead = *cursor;
    ahead.take(&["on", "of", "from", "at", "in"]);
    if matches!(ahead.kind(), Some(Kind::Piece(_))) || begins_reading(cursor) {
        return true;
    }
    let mut behind_time = *cursor;
    let is_time = !matches!(phrase(&mut behind_time, Direction::Past), Ok(None));
    if is_time && (is_behind_comma || behind_time.is_at_end()) {
        return true;
    }
    until == Until::NextObservation
        && is_behind_comma
        && (kind_of(&mut cursor.clone()).is_some() || begins_leaving(cursor))
}

/// "…, discarded" and "…, out, packed", but not "…, discarded the skin".
fn begins_leaving(cursor: &Cursor<'_>) -> bool {
    let mut ahead = *cursor;
    let is_out = ahead.take(&["out"]) && ahead.take_sign(&[',']);
    fate(&mut ahead).is_some() && (is_out || ahead.is_at_end() || ahead.sees_sign(SEPARATORS))
}

fn begins_reading(cursor: &Cursor<'_>) -> bool {
    let behind = cursor.after_one();
    let before_number = matches!(behind.kind(), Some(Kind::Number));
    if cursor.sees(&["ph", "max", "min", "weighed", "weighs", "weight", "rh", "slope", "tare"]) {
        return before_number;
    }
    if cursor.sees(&["b"]) {
        return before_number && behind.is_glued();
    }
    if cursor.sees(&["hung", "calibrated", "power"]) {
        return true;
    }
    if cursor.sees(&["set"]) {
        return behind.sees(&["to"]);
    }
    // The scale is only asked for, not used.
    let scale = TemperatureScale::Celsius;
    !begins_time(cursor)
        && (mass_text(&mut cursor.clone()).is_some()
            || !matches!(temperature(&mut cursor.clone(), scale), Ok(None))
            || !matches!(humidity(&mut cursor.clone()), Ok(None)))
}
