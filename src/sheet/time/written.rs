//! A cell, or two of them, as a moment whose date may still be open.

use super::clock::{Clock, clock};
use super::date::{Date, calendar, leading, number};
use chrono::{DateTime, Utc};

/// Seconds since 1970 that are taken for a time without asking: 2001-09-09 to 2065, ten figures all of them.
const EPOCH_SECONDS: std::ops::RangeInclusive<i64> = 1_000_000_000..=3_000_000_000;

/// A moment as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::sheet) enum Written {
    /// Seconds or milliseconds since 1970.
    Instant(DateTime<Utc>),
    /// What calendar and clock showed.
    Shown(Date, Option<Clock>),
}

/// One cell that holds date and time, or a date alone.
pub(in crate::sheet) fn moment(text: &str) -> Option<Written> {
    if text.len() >= 8 && text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.') && !is_dotted(text) {
        return figures_only(text);
    }
    if let Some(basic) = basic_form(text) {
        return Some(basic);
    }
    let (date, rest) = leading(text)?;
    if rest.is_empty() {
        return Some(Written::Shown(date, None));
    }
    let time = rest.strip_prefix(['T', 't', ',']).unwrap_or(rest).trim_start();
    // A blank, a T or a comma stands between date and time.
    if time.len() == rest.len() {
        return None;
    }
    Some(Written::Shown(date, Some(clock(time)?)))
}

/// A cell with a date beside a cell with a time. A date that a spreadsheet wrote with midnight is a date.
pub(in crate::sheet) fn date_and_time(date: &str, time: &str) -> Option<Written> {
    let Written::Shown(date, midnight) = moment(date)? else { return None };
    let bare = midnight.is_none_or(|clock| clock.time == chrono::NaiveTime::MIN && clock.offset.is_none());
    if !bare {
        return None;
    }
    Some(Written::Shown(date, Some(clock(time)?)))
}

/// Whether a cell is a time of day and nothing else.
pub(in crate::sheet) fn is_time_of_day(text: &str) -> bool {
    clock(text).is_some()
}

/// Points between groups of figures: a date, not decimals of a second.
fn is_dotted(text: &str) -> bool {
    text.bytes().filter(|byte| *byte == b'.').count() > 1
}

fn figures_only(text: &str) -> Option<Written> {
    let (whole, decimals) = text.split_once('.').unwrap_or((text, ""));
    match (whole.len(), decimals.is_empty()) {
        (8, true) => Some(Written::Shown(compact_date(whole)?, None)),
        (12 | 14, true) => Some(Written::Shown(compact_date(&whole[..8])?, Some(clock(&whole[8..])?))),
        (10, _) => since_1970(whole.parse::<i64>().ok()?.checked_mul(1000)?.checked_add(millis(decimals)?)?),
        (13, true) => since_1970(whole.parse().ok()?),
        _ => None,
    }
}

/// Decimals of a second as milliseconds, cut after the third.
fn millis(decimals: &str) -> Option<i64> {
    decimals.bytes().all(|byte| byte.is_ascii_digit()).then_some(())?;
    let three: String = decimals.chars().chain("000".chars()).take(3).collect();
    three.parse().ok()
}

fn since_1970(millis: i64) -> Option<Written> {
    let instant = DateTime::from_timestamp_millis(millis)?;
    EPOCH_SECONDS.contains(&(millis / 1000)).then_some(Written::Instant(instant))
}

/// The basic form of ISO 8601: `20260301T101530Z`.
fn basic_form(text: &str) -> Option<Written> {
    let (date, time) = (text.get(..8)?, text.get(8..)?.strip_prefix(['T', 't'])?);
    date.bytes().all(|byte| byte.is_ascii_digit()).then_some(())?;
    Some(Written::Shown(compact_date(date)?, Some(clock(time)?)))
}

fn compact_date(figures: &str) -> Option<Date> {
    let part = |from: usize, to: usize| figures.get(from..to).map(number);
    calendar(part(0, 4)?, part(4, 6)?, part(6, 8)?).map(Date::Known)
}

#[cfg(test)]
mod tests {
    use super::super::super::understood::DateOrder;
    use super::*;

    fn shown(text: &str, order: DateOrder) -> Option<String> {
        match moment(text)? {
            Written::Instant(at) => Some(at.format("%Y-%m-%dT%H:%M:%S%.fZ").to_string()),
            Written::Shown(date, clock) => {
                let date = date.under(order)?;
                let Some(clock) = clock else { return Some(date.to_string()) };
                let offset = clock.offset.map_or(String::new(), |offset| offset.to_string());
                let next = if clock.next_day { " next" } else { "" };
                Some(format!("{date}T{}{offset}{next}", clock.time))
            }
        }
    }

    #[test]
    fn iso_8601() {
        // ISO 8601: extended and basic form, T or blank, fraction after point or comma, Z and offsets.
        for (text, expected) in [
            ("2026-03-01", "2026-03-01"),
            ("2026-03-01T10:15", "2026-03-01T10:15:00"),
            ("2026-03-01 10:15:30", "2026-03-01T10:15:30"),
            ("2026-03-01T10:15:30Z", "2026-03-01T10:15:30+00:00"),
            ("2026-03-01T10:15:30.250+02:00", "2026-03-01T10:15:30.250+02:00"),
            ("2026-03-01T10:15:30,5-0500", "2026-03-01T10:15:30.500-05:00"),
            ("2026-03-01 10:15:30 +01", "2026-03-01T10:15:30+01:00"),
            ("20260301T101530Z", "2026-03-01T10:15:30+00:00"),
            ("20260301101530", "2026-03-01T10:15:30"),
            ("2026-03-01 24:00", "2026-03-01T00:00:00 next"),
            ("2026/3/1 9:05", "2026-03-01T09:05:00"),
        ] {
            assert_eq!(shown(text, DateOrder::DayFirst).as_deref(), Some(expected), "{text}");
        }
    }

    #[test]
    fn national_custom() {
        for (text, order, expected) in [
            ("01.03.2026 10:15", DateOrder::DayFirst, "2026-03-01T10:15:00"),
            ("1.3.26 10.15", DateOrder::DayFirst, "2026-03-01T10:15:00"),
            ("01/03/2026 10h15", DateOrder::DayFirst, "2026-03-01T10:15:00"),
            ("03/01/2026 12:05:00 AM", DateOrder::MonthFirst, "2026-03-01T00:05:00"),
            ("03/01/2026 12:05:00 PM", DateOrder::MonthFirst, "2026-03-01T12:05:00"),
            ("3/1/26 1:05 p.m.", DateOrder::MonthFirst, "2026-03-01T13:05:00"),
            ("01-Mar-2026 10:15", DateOrder::MonthFirst, "2026-03-01T10:15:00"),
            ("1 mars 2026 10:15", DateOrder::MonthFirst, "2026-03-01T10:15:00"),
            ("1. März 2026 10:15", DateOrder::MonthFirst, "2026-03-01T10:15:00"),
            ("Mar 1, 2026 10:15", DateOrder::DayFirst, "2026-03-01T10:15:00"),
            ("26/03/01", DateOrder::YearFirst, "2026-03-01"),
        ] {
            assert_eq!(shown(text, order).as_deref(), Some(expected), "{text}");
        }
    }

    #[test]
    fn seconds_since_1970() {
        // 1772360130 s are 2026-03-01 10:15:30 UTC: 20,513 days of 86,400 s and 36,930 s. By hand: 56 years from 1970
        // with 14 leap days are 20,454 days, January and February 59 more.
        assert_eq!(20_513 * 86_400 + 36_930, 1_772_360_130);
        for text in ["1772360130", "1772360130000", "1772360130.000"] {
            assert_eq!(shown(text, DateOrder::DayFirst).as_deref(), Some("2026-03-01T10:15:30Z"), "{text}");
        }
        assert_eq!(shown("1772360130.5", DateOrder::DayFirst).as_deref(), Some("2026-03-01T10:15:30.500Z"));
    }

    #[test]
    fn what_is_no_moment() {
        for text in [
            "",
            "23.4",
            "812",
            "46082.4271",
            "10:15",
            "2026-13-01",
            "2026-02-30",
            "01/03/2026 25:00",
            "12",
            "---",
            "01/03/2026 13:05 PM",
            "01/03/2026 10:60",
            "1/3",
            "2026-03-01 10:15 about",
            "1970-01-01 00:00",
            "01.03/2026",
            "=1+1",
            "2026-03-01T",
            "01.03.2026 10:15;23",
        ] {
            assert_eq!(shown(text, DateOrder::DayFirst), None, "{text}");
        }
    }
}
