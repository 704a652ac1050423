//! A length of time: "2 h", "1h30", "half an hour", "3 days", "a week".

use crate::command::intake::cursor::Cursor;
use crate::command::intake::token::Kind;
use crate::quantity::parse::{NumberReading, number};

/// Most parts of one length: weeks, days, hours, minutes.
const MOST_PARTS: usize = 4;

/// A unit of time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Unit {
    Minute,
    Hour,
    Day,
    Week,
    Month,
}

impl Unit {
    fn take(cursor: &mut Cursor<'_>) -> Option<Self> {
        let unit = match cursor.word()? {
            "min" | "mins" | "minute" | "minutes" => Self::Minute,
            "h" | "hr" | "hrs" | "hour" | "hours" => Self::Hour,
            "d" | "day" | "days" => Self::Day,
            "w" | "wk" | "wks" | "week" | "weeks" => Self::Week,
            "month" | "months" => Self::Month,
            _ => return None,
        };
        cursor.skip();
        Some(unit)
    }

    /// Hours in one; `None` for a month.
    const fn in_hours(self) -> Option<f64> {
        match self {
            Self::Minute => Some(1.0 / 60.0),
            Self::Hour => Some(1.0),
            Self::Day => Some(24.0),
            Self::Week => Some(168.0),
            Self::Month => None,
        }
    }
}

/// A length of time in the calendar's parts: whole days and months keep the time of day, seconds do not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(in crate::command) struct Span {
    /// Months, kept on the calendar.
    pub(super) months: u32,
    /// Days, kept on the calendar.
    pub(super) days: i64,
    /// Seconds, as time that passes.
    pub(super) seconds: i64,
}

/// Passes a length of time.
pub(super) fn span(cursor: &mut Cursor<'_>) -> Option<Span> {
    let mut found = Span::default();
    for (amount, unit) in parts(cursor)? {
        let whole = amount.fract() == 0.0;
        match unit {
            Unit::Month if whole => found.months = found.months.checked_add(amount as u32)?,
            Unit::Month => return None,
            Unit::Day if whole => found.days = found.days.checked_add(amount as i64)?,
            Unit::Week if whole => found.days = found.days.checked_add((amount * 7.0) as i64)?,
            other => {
                let seconds = (amount * other.in_hours()? * 3600.0).round() as i64;
                found.seconds = found.seconds.checked_add(seconds)?;
            }
        }
    }
    Some(found)
}

/// Passes a length of time and gives it in hours; a day is 24 of them.
pub(in crate::command) fn span_hours(cursor: &mut Cursor<'_>) -> Option<f64> {
    let start = *cursor;
    let mut hours = 0.0;
    for (amount, unit) in parts(cursor)? {
        let Some(one) = unit.in_hours() else {
            *cursor = start;
            return None;
        };
        hours += amount * one;
    }
    Some(hours)
}

fn parts(cursor: &mut Cursor<'_>) -> Option<Vec<(f64, Unit)>> {
    let mut found: Vec<(f64, Unit)> = Vec::new();
    while found.len() < MOST_PARTS {
        let mut ahead = *cursor;
        let Some(amount) = amount(&mut ahead) else { break };
        let after_hours = matches!(found.last(), Some((_, Unit::Hour)));
        let unit = match Unit::take(&mut ahead) {
            Some(unit) => unit,
            // `1h30`: the minutes stand right behind the hour.
            None if after_hours && cursor.is_glued() => Unit::Minute,
            None => break,
        };
        found.push((amount, unit));
        *cursor = ahead;
    }
    (!found.is_empty()).then_some(found)
}

fn amount(cursor: &mut Cursor<'_>) -> Option<f64> {
    if cursor.take(&["half"]) {
        cursor.take(&["a", "an"]);
        return Some(0.5);
    }
    if cursor.take(&["a", "an", "one"]) {
        return Some(if cursor.take(&["half"]) { 0.5 } else { 1.0 });
    }
    if !matches!(cursor.kind(), Some(Kind::Number)) {
        return None;
    }
    let Ok(NumberReading::Certain(value)) = number(cursor.text()) else {
        return None;
    };
    cursor.skip();
    Some(value)
}
