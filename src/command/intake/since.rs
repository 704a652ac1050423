//! "since yesterday", "since 2am": when something began.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::error::IntakeError;
use crate::command::intake::line::Line;
use crate::command::time::{Direction, phrase, resolve_since};
use chrono::{DateTime, Utc};

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
    let at = resolve_since(
        &found,
        ahead.text_since(&start),
        line.context.now,
        line.context.zone,
    )?;
    *cursor = ahead;
    Ok(Some(at))
}
