//! "since yesterday", "since 2am": when something began.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::error::IntakeError;
use crate::command::intake::item::When;
use crate::command::intake::line::Line;
use crate::command::time::{Direction, phrase, resolve_past, resolve_since};
use chrono::{DateTime, Utc};

/// Passes "from 2am to 11am": the beginning, and the end, which is when the line's readings were made.
pub(super) fn from_to(
    cursor: &mut Cursor<'_>,
    line: &mut Line<'_>,
) -> Result<Option<DateTime<Utc>>, IntakeError> {
    let (now, zone) = (line.context.now, line.context.zone);
    let mut ahead = *cursor;
    ahead.take(&["from"]);
    let first = ahead;
    let Some(begin) = phrase(&mut ahead, Direction::Past)? else {
        return Ok(None);
    };
    let begin_text = ahead.text_since(&first);
    if !ahead.take(&["to", "until", "till"]) && !ahead.take_sign(&['-']) {
        return Ok(None);
    }
    let second = ahead;
    let Some(end) = phrase(&mut ahead, Direction::Past)? else {
        return Ok(None);
    };
    let end_text = ahead.text_since(&second);
    let end = resolve_past(&end, end_text, now, zone)?;
    line.set_time(When { at: end, typed: end_text.to_owned() });
    *cursor = ahead;
    // "from 8pm to 6am": the evening before that morning.
    Ok(Some(resolve_past(&begin, begin_text, end, zone)?))
}

/// Passes a beginning, a comma before it included.
pub(super) fn since(cursor: &mut Cursor<'_>, line: &Line<'_>) -> Result<Option<DateTime<Utc>>, IntakeError> {
    let mut ahead = *cursor;
    ahead.take_sign(&[',']);
    if !ahead.take(&["since"]) {
        return Ok(None);
    }
    let start = ahead;
    let Some(found) = phrase(&mut ahead, Direction::Past)? else {
        return Ok(None);
    };
    let at = resolve_since(&found, ahead.text_since(&start), line.context.now, line.context.zone)?;
    *cursor = ahead;
    Ok(Some(at))
}
