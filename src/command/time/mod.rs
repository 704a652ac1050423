//! Time as members say it. Readings look backward, reminders look forward; both in the member's own zone.
//!
//! - A time of day alone is the last one (readings) or the next one (reminders): "8pm" at 9 in the morning is
//!   yesterday evening for a weighing and this evening for a reminder.
//! - Hours and minutes are lengths of time: "in 36 h" crosses a change of the clocks as 36 hours. Days and weeks
//!   keep the time of day: "in 3 days" said at 9:00 is 9:00.
//! - A time that the clocks skip moves forward by what they skip; one that comes twice is the first.
//! - A day without a time of day is noon for a reading (today: now) and 9:00 for a reminder.

mod clock;
mod day;
mod error;
mod every;
mod names;
mod phrase;
mod resolve;
mod shown;
mod span;

pub use error::TimeError;
pub(in crate::command) use error::{echo, is_hidden};
pub use every::every;
pub(in crate::command) use phrase::{Direction, Phrase, phrase};
pub(in crate::command) use resolve::{resolve_past, resolve_since, start_of_past_day};
pub use shown::{day, moment, shown};
pub(in crate::command) use span::span_hours;

use crate::command::intake::cursor::Cursor;
use crate::command::intake::token::{Kind, Token, cut};
use chrono::{DateTime, Utc};
use chrono_tz::Tz;

/// Longest text read as a time, in characters.
const LONGEST_TEXT: usize = 60;

/// When a reading was made: "yesterday 8pm", "this morning", "2 h ago", "14:30", "2026-11-02 08:00", "now".
///
/// # Errors
/// [`TimeError`]; a time more than five minutes ahead of `now` is refused.
pub fn past(text: &str, now: DateTime<Utc>, zone: Tz) -> Result<DateTime<Utc>, TimeError> {
    let tokens = prepared(text)?;
    let found = whole_phrase(text, &tokens, Direction::Past)?;
    resolve_past(&found, text.trim(), now, zone)
}

/// When a reminder is due: "in 36 h", "tomorrow 9am", "at 19:00", "in 3 days", "friday 18:00".
///
/// # Errors
/// [`TimeError`]; a time that is over is refused.
pub fn future(text: &str, now: DateTime<Utc>, zone: Tz) -> Result<DateTime<Utc>, TimeError> {
    let tokens = prepared(text)?;
    let found = whole_phrase(text, &tokens, Direction::Future)?;
    resolve::resolve_future(&found, text.trim(), now, zone)
}

fn prepared(text: &str) -> Result<Vec<Token>, TimeError> {
    if text.trim().is_empty() {
        return Err(TimeError::Empty);
    }
    if text.chars().nth(LONGEST_TEXT).is_some() || text.chars().any(char::is_control) {
        return Err(TimeError::unreadable(text));
    }
    Ok(cut(text))
}

fn whole_phrase(text: &str, tokens: &[Token], direction: Direction) -> Result<Phrase, TimeError> {
    let mut cursor = Cursor::new(text, tokens);
    if cursor.text().contains('/') && matches!(cursor.kind(), Some(Kind::Number)) {
        return Err(TimeError::DayAmbiguous { text: echo(text) });
    }
    let found = match phrase(&mut cursor, direction)? {
        Some(found) => found,
        None if direction == Direction::Future => {
            Phrase::bare_span(&mut cursor).ok_or_else(|| TimeError::unreadable(text))?
        }
        None => return Err(TimeError::unreadable(text)),
    };
    if cursor.is_at_end() { Ok(found) } else { Err(TimeError::unreadable(text)) }
}

#[cfg(test)]
mod tests;
