//! When a line's readings were made. It stands anywhere in the line and counts for all of it.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::error::IntakeError;
use crate::command::intake::item::When;
use crate::command::intake::line::Line;
use crate::command::time::{Direction, phrase, resolve_past};

/// Reads a time. One that cannot be is objected to later: "see you tomorrow" is no reading.
#[expect(clippy::unnecessary_wraps, reason = "every reader has the same shape")]
pub(super) fn read(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<bool, IntakeError> {
    let mut ahead = *cursor;
    let found = match phrase(&mut ahead, Direction::Past) {
        Ok(Some(found)) => found,
        Ok(None) => return Ok(false),
        Err(error) => {
            line.object(error.into());
            return Ok(false);
        }
    };
    let typed = ahead.text_since(cursor);
    match resolve_past(&found, typed, line.context.now, line.context.zone) {
        Ok(at) => line.set_time(When { at, typed: typed.to_owned() }),
        Err(error) => line.object(error.into()),
    }
    *cursor = ahead;
    Ok(true)
}
