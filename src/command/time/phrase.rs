//! The grammar of a time in words. What it means on the calendar is worked out in `resolve`.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::token::Kind;
use crate::command::time::clock::clock;
use crate::command::time::day::{Day, Part, day};
use crate::command::time::error::TimeError;
use crate::command::time::span::{Span, span};
use chrono::{DateTime, NaiveTime, Utc};

/// Which way a time looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::command) enum Direction {
    /// Readings.
    Past,
    /// Reminders.
    Future,
}

/// A time of day in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::command) enum TimeOfDay {
    /// By the clock.
    Clock(NaiveTime),
    /// By the part of the day.
    Part(Part),
}

/// A time in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::command) enum Phrase {
    /// This moment.
    Now,
    /// A moment with its offset.
    Instant(DateTime<Utc>),
    /// So long ago, or so long ahead.
    Away(Span),
    /// A time of day, the nearest in the direction.
    Time(NaiveTime),
    /// A day, perhaps with a time of day.
    Day(Day, Option<TimeOfDay>),
}

impl Phrase {
    /// "36 h" where only a time to come can be meant.
    pub(super) fn bare_span(cursor: &mut Cursor<'_>) -> Option<Self> {
        span(cursor).map(Self::Away)
    }
}

/// Passes a time; `None`, and nothing passed, when none begins here.
///
/// # Errors
/// [`TimeError::NoSuchTime`] for a date or time that does not exist.
pub(in crate::command) fn phrase(
    cursor: &mut Cursor<'_>,
    direction: Direction,
) -> Result<Option<Phrase>, TimeError> {
    let mut ahead = *cursor;
    let found = match now_or_moment(&mut ahead).or_else(|| away(&mut ahead, direction)) {
        Some(found) => Some(found),
        None => match day_then_time(&mut ahead)? {
            Some(found) => Some(found),
            None => time_then_day(&mut ahead)?,
        },
    };
    if found.is_some() {
        *cursor = ahead;
    }
    Ok(found)
}

fn now_or_moment(cursor: &mut Cursor<'_>) -> Option<Phrase> {
    let mut ahead = *cursor;
    ahead.take(&["just", "right"]);
    if ahead.take(&["now"]) {
        *cursor = ahead;
        return Some(Phrase::Now);
    }
    if let Some(Kind::Instant(instant)) = cursor.kind() {
        cursor.skip();
        return Some(Phrase::Instant(*instant));
    }
    None
}

/// "2 h ago", "2 days ago 8pm"; "in 36 h", "in 3 days at 9am".
fn away(cursor: &mut Cursor<'_>, direction: Direction) -> Option<Phrase> {
    let mut ahead = *cursor;
    if direction == Direction::Future && !ahead.take(&["in"]) {
        return None;
    }
    // German says "vor 2 Stunden", with the word in front.
    let is_ago = direction == Direction::Past && ahead.take(&["vor"]);
    let span = span(&mut ahead)?;
    if direction == Direction::Past && !is_ago && !ahead.take(&["ago"]) {
        return None;
    }
    *cursor = ahead;
    let only_days = span.months == 0 && span.seconds == 0;
    if only_days && let Ok(Some(time)) = clock(&mut ahead) {
        *cursor = ahead;
        let days = if direction == Direction::Past { -span.days } else { span.days };
        return Some(Phrase::Day(Day::FromToday(days), Some(TimeOfDay::Clock(time))));
    }
    Some(Phrase::Away(span))
}

fn day_then_time(cursor: &mut Cursor<'_>) -> Result<Option<Phrase>, TimeError> {
    let mut ahead = *cursor;
    let is_whole_text = ahead.at() == 0;
    let Some((day, part)) = day(&mut ahead)? else {
        return Ok(None);
    };
    let abbreviated = matches!(day, Day::Weekday { said: None, .. })
        && ahead.passed().is_some_and(|token| token.end - token.start < 4);
    let mut behind = ahead;
    behind.take_sign(&[',']);
    let time = match (part, clock(&mut behind)?) {
        (part, Some(time)) => {
            ahead = behind;
            Some(TimeOfDay::Clock(part.map_or(time, |part| part.of_clock(time))))
        }
        (Some(part), None) => Some(TimeOfDay::Part(part)),
        // "sat" and "sun" are also other words: alone they are a day only where nothing else was typed.
        (None, None) if abbreviated && !(is_whole_text && ahead.is_at_end()) => return Ok(None),
        (None, None) => None,
    };
    *cursor = ahead;
    Ok(Some(Phrase::Day(day, time)))
}

fn time_then_day(cursor: &mut Cursor<'_>) -> Result<Option<Phrase>, TimeError> {
    let mut ahead = *cursor;
    let Some(time) = clock(&mut ahead)? else {
        return Ok(None);
    };
    *cursor = ahead;
    if let Some((day, part)) = day(&mut ahead)?
        && part.is_none()
    {
        *cursor = ahead;
        return Ok(Some(Phrase::Day(day, Some(TimeOfDay::Clock(time)))));
    }
    Ok(Some(Phrase::Time(time)))
}
