//! Reminders that come again.

use crate::wall;
use chrono::{DateTime, Utc};
use chrono_tz::Tz;

/// When a reminder that was due at `anchor` comes again after `now`: a whole number of steps of `every_days` later,
/// at the same time of day. What was missed meanwhile is not made up for. `None`: it does not repeat.
///
/// It counts from when the reminder was due, never from when it was sent, so a late one does not drag the rest along.
pub(super) fn next(
    anchor: DateTime<Utc>,
    every_days: u32,
    now: DateTime<Utc>,
    zone: Tz,
) -> Option<DateTime<Utc>> {
    let every = u64::from(every_days);
    let passed = u64::try_from((now - anchor).num_days()).unwrap_or(0);
    let full = passed.checked_div(every)?;
    // A day is not always 24 hours, so the count may be one short, and one that is too early is passed over.
    (full.max(1)..full + 3)
        .map(|steps| wall::days_later(anchor, steps * every, zone))
        .find(|moment| *moment > now)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn utc(text: &str) -> DateTime<Utc> {
        text.parse().expect("a moment")
    }

    #[test]
    fn nine_stays_nine_however_late_it_was_sent() {
        // Europe/Rome goes forward on 29 March 2026 (IANA time zone database).
        let anchor = utc("2026-03-27T08:00:00Z");
        let zone = Tz::Europe__Rome;
        assert_eq!(next(anchor, 1, utc("2026-03-27T08:00:20Z"), zone), Some(utc("2026-03-28T08:00:00Z")));
        assert_eq!(next(anchor, 1, utc("2026-03-28T20:00:00Z"), zone), Some(utc("2026-03-29T07:00:00Z")));
        assert_eq!(next(anchor, 7, utc("2026-04-01T08:00:00Z"), zone), Some(utc("2026-04-03T07:00:00Z")));
        assert_eq!(next(anchor, 0, anchor, zone), None);
    }

    proptest! {
        #[test]
        fn the_next_one_is_the_first_after_now(days in 1_u32..40, late in 0_i64..10_000_000, start in 0_i64..100_000_000) {
            let anchor = DateTime::from_timestamp(1_760_000_000 + start, 0).expect("a moment");
            let now = anchor + chrono::TimeDelta::seconds(late);
            let zone = Tz::America__New_York;
            let next = next(anchor, days, now, zone).expect("it repeats");
            prop_assert!(next > now && next - now <= chrono::TimeDelta::hours(i64::from(days) * 24 + 1));
        }
    }
}
