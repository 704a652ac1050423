//! Reminders that come again.

use crate::record::Reminder;
use crate::wall;
use chrono::{DateTime, Days, Utc};
use chrono_tz::Tz;

/// When a reminder comes again after `now`: a whole number of its steps after it came first, at the same time of day
/// on the clock of whom it goes to. What was missed meanwhile is not made up for. `None`: it does not repeat.
///
/// It counts from its first time, never from the last one and never from when it was sent. So a late one does not drag
/// the rest along, and an hour that the clocks skip moves one time and not those after it.
pub(super) fn next(reminder: &Reminder, now: DateTime<Utc>, zone: Tz) -> Option<DateTime<Utc>> {
    let every = u64::from(reminder.every_days?);
    let first = reminder.anchor.unwrap_or_else(|| wall::shown(reminder.due, zone));
    let passed = (wall::shown(now, zone).date() - first.date()).num_days();
    let full = u64::try_from(passed).unwrap_or(0).checked_div(every)?;
    // The time of day may be over or a day skipped, so the count may be one or two short.
    (full.max(1)..=full + 3).find_map(|steps| {
        let date = first.date().checked_add_days(Days::new(steps * every))?;
        wall::instant(zone, date, first.time()).filter(|moment| *moment > now)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::{MemberId, ReminderId};
    use proptest::prelude::*;

    fn utc(text: &str) -> DateTime<Utc> {
        text.parse().expect("a moment")
    }

    fn every(days: u32, first: DateTime<Utc>, zone: Tz) -> Reminder {
        Reminder {
            every_days: Some(days),
            anchor: Some(wall::shown(first, zone)),
            ..Reminder::own(ReminderId(1), MemberId(1), first, "look".to_owned())
        }
    }

    #[test]
    fn nine_stays_nine_however_late_it_was_sent() {
        // Europe/Rome goes forward on 29 March 2026 (IANA time zone database).
        let (first, zone) = (utc("2026-03-27T08:00:00Z"), Tz::Europe__Rome);
        let next = |days, now| next(&every(days, first, zone), utc(now), zone);
        assert_eq!(next(1, "2026-03-27T08:00:20Z"), Some(utc("2026-03-28T08:00:00Z")));
        assert_eq!(next(1, "2026-03-28T20:00:00Z"), Some(utc("2026-03-29T07:00:00Z")));
        assert_eq!(next(7, "2026-04-01T08:00:00Z"), Some(utc("2026-04-03T07:00:00Z")));
        assert_eq!(next(0, "2026-03-27T08:00:00Z"), None);
        assert_eq!(super::next(&Reminder { every_days: None, ..every(1, first, zone) }, first, zone), None);
    }

    #[test]
    fn one_that_was_kept_without_its_first_time_counts_from_when_it_is_due() {
        let (first, zone) = (utc("2026-03-27T08:00:00Z"), Tz::Europe__Rome);
        let old = Reminder { anchor: None, ..every(2, first, zone) };
        assert_eq!(next(&old, first, zone), Some(utc("2026-03-29T07:00:00Z")));
    }

    #[test]
    fn a_day_that_was_skipped_moves_one_week_and_not_the_next() {
        // Pacific/Apia had no 30 December 2011, a Friday (IANA time zone database).
        let zone = Tz::Pacific__Apia;
        let weekly = every(7, utc("2011-12-23T22:00:00Z"), zone);
        let skipped = next(&weekly, weekly.due, zone).expect("it repeats");
        assert_eq!(wall::shown(skipped, zone).to_string(), "2011-12-31 12:00:00");
        let moved = Reminder { due: skipped, ..weekly };
        let after = next(&moved, skipped, zone).expect("it repeats");
        assert_eq!(wall::shown(after, zone).to_string(), "2012-01-06 12:00:00");
    }

    proptest! {
        #[test]
        fn the_next_one_is_the_first_after_now(
            days in 1_u32..40,
            late in 0_i64..10_000_000,
            start in 0_i64..100_000_000,
            zone in proptest::sample::select(vec![Tz::UTC, Tz::America__New_York, Tz::Australia__Lord_Howe]),
        ) {
            let first = DateTime::from_timestamp(1_760_000_000 + start, 0).expect("a moment");
            let now = first + chrono::TimeDelta::seconds(late);
            let reminder = every(days, first, zone);
            let next = next(&reminder, now, zone).expect("it repeats");
            prop_assert!(next > now && next - now <= chrono::TimeDelta::hours(i64::from(days) * 24 + 1));
            let between = wall::shown(next, zone) - wall::shown(first, zone);
            let to_the_day = (between.num_minutes() % (i64::from(days) * 24 * 60)).abs();
            prop_assert!(to_the_day == 0 || to_the_day == 60 || to_the_day == 30, "{to_the_day} min");
        }
    }
}
