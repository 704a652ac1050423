//! The grammar of a day: `yesterday`, `last tuesday`, `this morning`, `12 nov`, `2026-11-02`.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::token::Kind;
use crate::command::time::clock::clock;
use crate::command::time::error::{TimeError, echo};
use crate::command::time::names::{month, weekday};
use crate::command::time::phrase::Direction;
use chrono::{Datelike, NaiveDate, NaiveTime, Timelike, Weekday};

/// A day in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::command) enum Day {
    /// So many days from today.
    FromToday(i64),
    /// The nearest such weekday; "last" and "next" give the direction and leave today out.
    Weekday {
        /// Which.
        weekday: Weekday,
        /// "last" or "next".
        said: Option<Direction>,
    },
    /// A date; the nearest year in the direction when none was said.
    Date {
        /// Year.
        year: Option<i32>,
        /// Month, 1 to 12.
        month: u32,
        /// Day of the month.
        day: u32,
    },
}

/// A part of a day, which stands for a time of day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::command) enum Part {
    /// 08:00.
    Morning,
    /// 15:00.
    Afternoon,
    /// 19:00.
    Evening,
    /// 21:00.
    Night,
}

impl Part {
    /// "yesterday evening 8:00" is 20:00.
    pub(super) fn of_clock(self, time: NaiveTime) -> NaiveTime {
        let (first, last) = match self {
            Self::Morning => return time,
            Self::Afternoon | Self::Evening => (1, 11),
            Self::Night => (6, 11),
        };
        let is_later = (first..=last).contains(&time.hour());
        if is_later { time.with_hour(time.hour() + 12).unwrap_or(time) } else { time }
    }
}

/// A day, and the part of it where one was named.
pub(super) fn day(cursor: &mut Cursor<'_>) -> Result<Option<(Day, Option<Part>)>, TimeError> {
    let mut ahead = *cursor;
    if let Some(found) = relative_day(&mut ahead) {
        *cursor = ahead;
        return Ok(Some(found));
    }
    ahead = *cursor;
    ahead.take(&["on"]);
    let named = match named_day(&mut ahead) {
        Some(day) => Some(day),
        None => date(&mut ahead)?,
    };
    Ok(named.map(|day| {
        let part = part_of_day(&mut ahead);
        *cursor = ahead;
        (day, part)
    }))
}

fn relative_day(cursor: &mut Cursor<'_>) -> Option<(Day, Option<Part>)> {
    if cursor.take(&["tonight"]) {
        return Some((Day::FromToday(0), Some(Part::Night)));
    }
    let mut ahead = *cursor;
    if ahead.take(&["last"]) && ahead.take(&["night"]) {
        *cursor = ahead;
        return Some((Day::FromToday(-1), Some(Part::Night)));
    }
    ahead = *cursor;
    if ahead.take(&["this"])
        && let Some(part) = part_of_day(&mut ahead)
    {
        *cursor = ahead;
        return Some((Day::FromToday(0), Some(part)));
    }
    ahead = *cursor;
    ahead.take(&["the"]);
    let days = if ahead.take(&["day"]) {
        match (ahead.take(&["before"]), ahead.take(&["after"])) {
            (true, false) if ahead.take(&["yesterday"]) => -2,
            (false, true) if ahead.take(&["tomorrow"]) => 2,
            _ => return None,
        }
    } else {
        ahead = *cursor;
        match ahead.word()? {
            "today" => 0,
            "yesterday" => -1,
            "ereyesterday" => -2,
            "tomorrow" => 1,
            "overmorrow" => 2,
            _ => return None,
        }
    };
    if ahead.at() == cursor.at() {
        ahead.skip();
    }
    *cursor = ahead;
    Some((Day::FromToday(days), part_of_day(cursor)))
}

fn named_day(cursor: &mut Cursor<'_>) -> Option<Day> {
    let mut ahead = *cursor;
    let said = if ahead.take(&["last"]) {
        Some(Direction::Past)
    } else if ahead.take(&["next"]) {
        Some(Direction::Future)
    } else {
        ahead.take(&["this"]);
        None
    };
    let weekday = weekday(ahead.word()?)?;
    ahead.skip();
    *cursor = ahead;
    Some(Day::Weekday { weekday, said })
}

pub(super) fn part_of_day(cursor: &mut Cursor<'_>) -> Option<Part> {
    let part = match cursor.word()? {
        "morning" => Part::Morning,
        "afternoon" => Part::Afternoon,
        "evening" => Part::Evening,
        "night" => Part::Night,
        _ => return None,
    };
    cursor.skip();
    Some(part)
}

/// `2026-11-02`, `12 nov`, `12th of november 2026`, `nov 12`.
fn date(cursor: &mut Cursor<'_>) -> Result<Option<Day>, TimeError> {
    if let Some(Kind::Date(date)) = cursor.kind() {
        let date = date.ok_or_else(|| TimeError::NoSuchTime { text: echo(cursor.text()) })?;
        cursor.skip();
        return Ok(Some(Day::Date { year: Some(date.year()), month: date.month(), day: date.day() }));
    }
    let mut ahead = *cursor;
    let Some((day, month)) = day_month(&mut ahead) else {
        return Ok(None);
    };
    let year = year(&mut ahead);
    // 2000 is a leap year: whether 29 February exists in the year that is meant is seen later.
    if NaiveDate::from_ymd_opt(year.unwrap_or(2000), month, day).is_none() {
        return Err(TimeError::NoSuchTime { text: echo(ahead.text_since(cursor)) });
    }
    *cursor = ahead;
    Ok(Some(Day::Date { year, month, day }))
}

fn day_month(cursor: &mut Cursor<'_>) -> Option<(u32, u32)> {
    let mut ahead = *cursor;
    if let Some(day) = day_of_month(&mut ahead) {
        ahead.take(&["of"]);
        let month = month(ahead.word()?)?;
        ahead.skip();
        *cursor = ahead;
        return Some((day, month));
    }
    let month = month(ahead.word()?)?;
    ahead.skip();
    let day = day_of_month(&mut ahead)?;
    *cursor = ahead;
    Some((day, month))
}

fn day_of_month(cursor: &mut Cursor<'_>) -> Option<u32> {
    if !matches!(cursor.kind(), Some(Kind::Number)) || cursor.text().len() > 2 {
        return None;
    }
    let day = cursor.text().parse().ok()?;
    cursor.skip();
    if cursor.is_glued() {
        cursor.take(&["st", "nd", "rd", "th"]);
        cursor.take_sign(&['.']);
    }
    Some(day)
}

/// Four digits behind a month, unless a unit follows: "12 nov 2026 g" is a weight.
fn year(cursor: &mut Cursor<'_>) -> Option<i32> {
    let year = cursor.text().parse().ok().filter(|year| (2000..2100).contains(year))?;
    let behind = cursor.after_one();
    let stands_alone = behind.is_at_end()
        || behind.sees_sign(&[',', ';'])
        || !matches!(clock(&mut behind.clone()), Ok(None));
    if !stands_alone {
        return None;
    }
    *cursor = behind;
    Some(year)
}
