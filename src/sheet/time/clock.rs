//! The time of day of a cell, and the offset that may follow it.

use super::date::{digits, number};
use chrono::{FixedOffset, NaiveTime};

/// What a clock showed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::sheet) struct Clock {
    pub(in crate::sheet) time: NaiveTime,
    /// `24:00`: the midnight that ends the day.
    pub(in crate::sheet) next_day: bool,
    /// AM or PM was written.
    pub(in crate::sheet) twelve_hours: bool,
    /// `Z`, `+02:00`, `GMT+2`.
    pub(in crate::sheet) offset: Option<FixedOffset>,
}

/// The whole of a text as a time of day: `10:15`, `10:15:30.5`, `10.15`, `10h15`, `3:07:30 PM`, `101530`, each with an
/// offset behind it or without.
pub(super) fn clock(text: &str) -> Option<Clock> {
    let (hour, minute, second, nanos, rest) = hands(text)?;
    let (half, rest) = half_of_day(rest.trim_start());
    let rest = rest.trim();
    let offset = if rest.is_empty() { None } else { Some(offset(rest)?) };
    let hour = match half {
        None => hour,
        // Noon is 12 PM, midnight 12 AM (common practice, no source).
        Some(Half::Morning) if hour <= 12 => hour % 12,
        Some(Half::Afternoon) if (1..=12).contains(&hour) => hour % 12 + 12,
        Some(_) => return None,
    };
    // ISO 8601 up to 2004 had 24:00 for the midnight at the end of a day.
    let next_day = half.is_none() && hour == 24 && minute == 0 && second == 0 && nanos == 0;
    let time = NaiveTime::from_hms_nano_opt(if next_day { 0 } else { hour }, minute, second, nanos)?;
    Some(Clock { time, next_day, twelve_hours: half.is_some(), offset })
}

type Hands<'t> = (u32, u32, u32, u32, &'t str);

fn hands(text: &str) -> Option<Hands<'_>> {
    let run = text.bytes().take_while(u8::is_ascii_digit).count();
    if matches!(run, 4 | 6) {
        return without_separators(text.split_at(run));
    }
    let (hour, rest) = digits(text)?;
    let mark = rest.chars().next().filter(|mark| matches!(mark, ':' | '.' | 'h'))?;
    let (minute, rest) = digits(&rest[1..])?;
    if hour.len() > 2 || minute.len() != 2 {
        return None;
    }
    let seconds = rest.strip_prefix(if mark == '.' { '.' } else { ':' }).and_then(digits);
    let (second, nanos, rest) = match seconds {
        Some((second, rest)) if second.len() == 2 => {
            let (nanos, rest) = fraction(rest)?;
            (number(second), nanos, rest)
        }
        Some(_) => return None,
        None => (0, 0, rest),
    };
    Some((number(hour), number(minute), second, nanos, rest))
}

/// The basic form of ISO 8601: `1015`, `101530`.
fn without_separators<'t>((figures, rest): (&'t str, &'t str)) -> Option<Hands<'t>> {
    let two = |from: usize| figures.get(from..from + 2).map(number);
    let (nanos, rest) = if figures.len() == 6 { fraction(rest)? } else { (0, rest) };
    Some((two(0)?, two(2)?, two(4).unwrap_or(0), nanos, rest))
}

/// Decimals of a second, as nanoseconds; more than nine are not read.
fn fraction(text: &str) -> Option<(u32, &str)> {
    let Some(decimals) = text.strip_prefix(['.', ',']) else { return Some((0, text)) };
    let length = decimals.bytes().take_while(u8::is_ascii_digit).count();
    if !(1..=9).contains(&length) {
        return None;
    }
    let (figures, rest) = decimals.split_at(length);
    let power = u32::try_from(9 - length).ok()?;
    Some((number(figures) * 10_u32.pow(power), rest))
}

#[derive(Debug, Clone, Copy)]
enum Half {
    Morning,
    Afternoon,
}

/// `AM`, `pm`, `a.m.`, `p. m.` at the beginning of a text.
fn half_of_day(text: &str) -> (Option<Half>, &str) {
    let mut letters =
        text.char_indices().filter(|(_, letter)| !matches!(letter, '.' | ' ' | '\u{a0}' | '\u{202f}'));
    let (Some((_, first)), Some((at, 'm' | 'M'))) = (letters.next(), letters.next()) else {
        return (None, text);
    };
    let half = match first {
        'a' | 'A' => Half::Morning,
        'p' | 'P' => Half::Afternoon,
        _ => return (None, text),
    };
    (Some(half), text[at + 1..].trim_start_matches('.'))
}

/// The whole of a text as an offset from UTC: `Z`, `UTC`, `+02:00`, `+0200`, `GMT+2`, `UTC -05:00`.
pub(in crate::sheet) fn offset(text: &str) -> Option<FixedOffset> {
    let text = text.trim();
    let named =
        text.get(..3).filter(|name| name.eq_ignore_ascii_case("utc") || name.eq_ignore_ascii_case("gmt"));
    let rest = if named.is_some() { text[3..].trim_start() } else { text };
    if rest.is_empty() {
        return named.and(FixedOffset::east_opt(0));
    }
    if named.is_none() && (rest == "Z" || rest == "z") {
        return FixedOffset::east_opt(0);
    }
    let sign = rest.chars().next()?;
    let east = match sign {
        '+' => 1,
        '-' | '−' => -1,
        _ => return None,
    };
    let (hours, rest) = digits(rest[sign.len_utf8()..].trim_start())?;
    let (hours, minutes) = match (hours.len(), rest.strip_prefix(':').or_else(|| rest.strip_prefix('.'))) {
        (4, None) if rest.is_empty() => (number(&hours[..2]), number(&hours[2..])),
        (1..=2, None) if rest.is_empty() => (number(hours), 0),
        (1..=2, Some(minutes)) if minutes.len() == 2 => (number(hours), number(digits(minutes)?.0)),
        _ => return None,
    };
    // No zone is further from UTC than 14 hours (IANA time zone database).
    let seconds = hours * 3600 + minutes * 60;
    if minutes > 59 || seconds > 14 * 3600 {
        return None;
    }
    FixedOffset::east_opt(east * i32::try_from(seconds).ok()?)
}
