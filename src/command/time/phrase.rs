//! The grammar of a time in words. What it means on the calendar is worked out in `resolve`.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::token::Kind;
use crate::command::time::error::{TimeError, echo};
use crate::command::time::names::{month, weekday};
use crate::command::time::span::{Span, span};
use chrono::{DateTime, NaiveTime, Utc, Weekday};

/// Which way a time looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::command) enum Direction {
    /// Readings.
    Past,
    /// Reminders.
    Future,
}

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
    let span = span(&mut ahead)?;
    if direction == Direction::Past && !ahead.take(&["ago"]) {
        return None;
    }
    *cursor = ahead;
    let only_days = span.months == 0 && span.seconds == 0;
    if only_days && let Ok(Some(time)) = clock(&mut ahead) {
        *cursor = ahead;
        let days = if direction == Direction::Past {
            -span.days
        } else {
            span.days
        };
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
        (_, Some(time)) => {
            ahead = behind;
            Some(TimeOfDay::Clock(time))
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

/// A day, and the part of it where one was named.
fn day(cursor: &mut Cursor<'_>) -> Result<Option<(Day, Option<Part>)>, TimeError> {
    let mut ahead = *cursor;
    let found = match relative_day(&mut ahead) {
        Some(found) => Some(found),
        None => {
            ahead = *cursor;
            ahead.take(&["on"]);
            match named_day(&mut ahead) {
                Some(day) => Some((day, part_of_day(&mut ahead))),
                None => date(&mut ahead)?.map(|day| (day, part_of_day(&mut ahead))),
            }
        }
    };
    if found.is_some() {
        *cursor = ahead;
    }
    Ok(found)
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
            "tomorrow" => 1,
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

fn part_of_day(cursor: &mut Cursor<'_>) -> Option<Part> {
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
    use chrono::Datelike;
    if let Some(Kind::Date(date)) = cursor.kind() {
        let date = date.ok_or_else(|| TimeError::NoSuchTime {
            text: echo(cursor.text()),
        })?;
        cursor.skip();
        return Ok(Some(Day::Date {
            year: Some(date.year()),
            month: date.month(),
            day: date.day(),
        }));
    }
    let mut ahead = *cursor;
    let Some((day, month)) = day_month(&mut ahead) else {
        return Ok(None);
    };
    let year = year(&mut ahead);
    // 2000 is a leap year: whether 29 February exists in the year that is meant is seen later.
    if chrono::NaiveDate::from_ymd_opt(year.unwrap_or(2000), month, day).is_none() {
        return Err(TimeError::NoSuchTime {
            text: echo(ahead.text_since(cursor)),
        });
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
    let year = cursor
        .text()
        .parse()
        .ok()
        .filter(|year| (2000..2100).contains(year))?;
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

/// `14:30`, `8pm`, `8.30 p.m.`, `noon`, with or without "at" before it.
fn clock(cursor: &mut Cursor<'_>) -> Result<Option<NaiveTime>, TimeError> {
    let mut ahead = *cursor;
    if !ahead.take(&["at", "around", "about"]) {
        ahead.take_sign(&['@']);
    }
    let start = ahead;
    let time = if ahead.take(&["noon", "midday"]) {
        NaiveTime::from_hms_opt(12, 0, 0)
    } else if ahead.take(&["midnight"]) {
        NaiveTime::from_hms_opt(0, 0, 0)
    } else if let Some(Kind::Clock(time)) = ahead.kind() {
        ahead.skip();
        let written = *time;
        match (written, meridiem(&mut ahead)) {
            (Some(time), Some(is_afternoon)) => twelve_hour(time, is_afternoon),
            (written, _) => written,
        }
    } else {
        let written = (matches!(ahead.kind(), Some(Kind::Number))).then(|| ahead.text().replace(',', "."));
        ahead.skip();
        match (written, meridiem(&mut ahead)) {
            (Some(written), Some(is_afternoon)) => {
                hours_and_minutes(&written).and_then(|time| twelve_hour(time, is_afternoon))
            }
            _ => return Ok(None),
        }
    };
    let time = time.ok_or_else(|| TimeError::NoSuchTime {
        text: echo(ahead.text_since(&start)),
    })?;
    *cursor = ahead;
    Ok(Some(time))
}

/// Passes "am", "pm", "a.m." or "p.m."; says whether it is the afternoon.
fn meridiem(cursor: &mut Cursor<'_>) -> Option<bool> {
    let mut ahead = *cursor;
    let is_afternoon = match ahead.word()? {
        "am" | "a" => false,
        "pm" | "p" => true,
        _ => return None,
    };
    let dotted = ahead.text().len() == 1;
    ahead.skip();
    if dotted {
        if !ahead.take_sign(&['.']) || !ahead.take(&["m"]) {
            return None;
        }
        ahead.take_sign(&['.']);
    }
    *cursor = ahead;
    Some(is_afternoon)
}

fn hours_and_minutes(text: &str) -> Option<NaiveTime> {
    let (hours, minutes) = text.split_once('.').unwrap_or((text, "00"));
    if minutes.len() != 2 {
        return None;
    }
    NaiveTime::from_hms_opt(hours.parse().ok()?, minutes.parse().ok()?, 0)
}

/// 12 am is midnight, 12 pm is noon.
fn twelve_hour(time: NaiveTime, is_afternoon: bool) -> Option<NaiveTime> {
    use chrono::Timelike;
    if !(1..=12).contains(&time.hour()) {
        return None;
    }
    time.with_hour(time.hour() % 12 + if is_afternoon { 12 } else { 0 })
}
