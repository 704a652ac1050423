//! Wall-clock time: a local date and time of day in a zone, as an instant, and back.

use chrono::{DateTime, Days, NaiveDate, NaiveDateTime, NaiveTime, Offset, TimeDelta, TimeZone, Utc};
use chrono_tz::Tz;

/// The time of day at which whatever has no better time comes.
pub const MORNING: NaiveTime = hour(9);

/// A full hour of the day; hours past 23 are midnight.
pub(crate) const fn hour(hour: u32) -> NaiveTime {
    match NaiveTime::from_hms_opt(hour, 0, 0) {
        Some(time) => time,
        None => NaiveTime::MIN,
    }
}

/// The instant at which a zone's clocks show a date and time of day; `None` only beyond the calendar.
///
/// A time that the clocks show twice is the first of the two. A time that they skip is as far past the skip as it
/// was past its beginning: 02:30, where the clocks go from 02:00 to 03:00, is 03:30.
pub fn instant(zone: Tz, date: NaiveDate, time: NaiveTime) -> Option<DateTime<Utc>> {
    let shown = date.and_time(time);
    match zone.from_local_datetime(&shown).earliest() {
        Some(moment) => Some(moment.to_utc()),
        None => skipped(zone, shown),
    }
}

/// A skipped time read with the offset that held before the skip. No zone ever skipped more than a day.
fn skipped(zone: Tz, shown: NaiveDateTime) -> Option<DateTime<Utc>> {
    let day_before = shown.checked_sub_signed(TimeDelta::days(1))?;
    let before = zone.offset_from_utc_datetime(&day_before).fix();
    shown.checked_sub_offset(before).map(|moment| moment.and_utc())
}

/// What a zone's clocks show at a moment.
pub fn shown(moment: DateTime<Utc>, zone: Tz) -> NaiveDateTime {
    moment.with_timezone(&zone).naive_local()
}

/// So many days later at the same time of day; a time past the end of the calendar stays where it is.
pub fn days_later(moment: DateTime<Utc>, days: u64, zone: Tz) -> DateTime<Utc> {
    let local = shown(moment, zone);
    let date = local.date().checked_add_days(Days::new(days));
    date.and_then(|date| instant(zone, date, local.time())).unwrap_or(moment)
}

/// The morning of the day so many days after the local day of a moment.
pub fn morning_after(moment: DateTime<Utc>, days: u64, zone: Tz) -> DateTime<Utc> {
    let date = shown(moment, zone).date().checked_add_days(Days::new(days));
    date.and_then(|date| instant(zone, date, MORNING)).unwrap_or(moment)
}

/// The first morning that is not before a moment.
pub fn next_morning(moment: DateTime<Utc>, zone: Tz) -> DateTime<Utc> {
    let today = morning_after(moment, 0, zone);
    if today >= moment { today } else { morning_after(moment, 1, zone) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn utc(text: &str) -> DateTime<Utc> {
        text.parse().expect("a moment")
    }

    #[test]
    fn nine_stays_nine_over_a_change_of_the_clocks() {
        // Europe/Rome 2026: clocks go forward on 29 March (IANA time zone database).
        let before = utc("2026-03-28T08:00:00Z");
        assert_eq!(days_later(before, 1, Tz::Europe__Rome), utc("2026-03-29T07:00:00Z"));
    }

    #[test]
    fn a_skipped_time_is_as_far_past_the_skip() {
        // America/New_York 2026: 02:00 to 03:00 on 8 March (IANA time zone database).
        let date = NaiveDate::from_ymd_opt(2026, 3, 8).expect("a date");
        let half_past_two = NaiveTime::from_hms_opt(2, 30, 0).expect("a time");
        assert_eq!(instant(Tz::America__New_York, date, half_past_two), Some(utc("2026-03-08T07:30:00Z")));
    }

    #[test]
    fn a_time_shown_twice_is_the_first() {
        // America/New_York 2026: 02:00 back to 01:00 on 1 November (IANA time zone database).
        let date = NaiveDate::from_ymd_opt(2026, 11, 1).expect("a date");
        let half_past_one = NaiveTime::from_hms_opt(1, 30, 0).expect("a time");
        assert_eq!(instant(Tz::America__New_York, date, half_past_one), Some(utc("2026-11-01T05:30:00Z")));
    }

    #[test]
    fn a_time_of_a_skipped_day_is_on_the_next() {
        // Pacific/Apia had no 30 December 2011 (IANA time zone database): noon is noon of the 31st, UTC+14.
        let date = NaiveDate::from_ymd_opt(2011, 12, 30).expect("a date");
        let noon = instant(Tz::Pacific__Apia, date, hour(12));
        assert_eq!(noon, Some(utc("2011-12-30T22:00:00Z")));
    }

    #[test]
    fn there_is_no_time_beyond_the_calendar() {
        assert_eq!(instant(Tz::America__New_York, NaiveDate::MAX, hour(23)), None);
    }

    #[test]
    fn the_next_morning_is_never_before() {
        let zone = Tz::Europe__Rome;
        assert_eq!(next_morning(utc("2026-01-10T08:00:00Z"), zone), utc("2026-01-10T08:00:00Z"));
        assert_eq!(next_morning(utc("2026-01-10T08:00:01Z"), zone), utc("2026-01-11T08:00:00Z"));
    }
}
