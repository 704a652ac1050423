//! The grammar of a time of day by the clock: `14:30`, `8pm`, `8.30 p.m.`, `20 Uhr`, `noon`.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::token::Kind;
use crate::command::time::day::part_of_day;
use crate::command::time::error::{TimeError, echo};
use chrono::{NaiveTime, Timelike};

/// `14:30`, `8pm`, `8.30 p.m.`, `noon`, with or without "at" before it.
pub(super) fn clock(cursor: &mut Cursor<'_>) -> Result<Option<NaiveTime>, TimeError> {
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
            (Some(time), None) if ahead.take(&["uhr"]) => Some(in_part(time, &mut ahead)),
            (written, _) => written,
        }
    } else {
        let written = (matches!(ahead.kind(), Some(Kind::Number))).then(|| ahead.text().replace(',', "."));
        ahead.skip();
        match (written, meridiem(&mut ahead)) {
            (Some(written), Some(is_afternoon)) => {
                hours_and_minutes(&written).and_then(|time| twelve_hour(time, is_afternoon))
            }
            (Some(written), None) if ahead.take(&["uhr"]) => {
                hours_and_minutes(&written).map(|time| in_part(time, &mut ahead))
            }
            _ => return Ok(None),
        }
    };
    let time = time.ok_or_else(|| TimeError::NoSuchTime { text: echo(ahead.text_since(&start)) })?;
    *cursor = ahead;
    Ok(Some(time))
}

/// "8 Uhr abends" is 20:00.
fn in_part(time: NaiveTime, cursor: &mut Cursor<'_>) -> NaiveTime {
    part_of_day(cursor).map_or(time, |part| part.of_clock(time))
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
    if !(1..=12).contains(&time.hour()) {
        return None;
    }
    time.with_hour(time.hour() % 12 + if is_afternoon { 12 } else { 0 })
}
