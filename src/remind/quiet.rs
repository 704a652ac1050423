//! The quiet hours: nothing the assistant thought of itself goes out in them, on the member's clock. Where no hours are
//! given, the member wants reminders at night too.

use crate::record::QuietHours;
use crate::wall;
use chrono::{DateTime, Days, TimeDelta, Timelike, Utc};
use chrono_tz::Tz;

/// So long before the quiet hours goes what must be heard before them; time to act on it.
const LAST_CALL: TimeDelta = TimeDelta::minutes(15);

/// Whether a moment lies in the quiet hours of a zone. Their first minute does, the hour at which they end does not.
pub fn is_quiet(moment: DateTime<Utc>, zone: Tz, hours: Option<QuietHours>) -> bool {
    let Some(QuietHours { from, until }) = hours else { return false };
    let hour = wall::shown(moment, zone).hour();
    if from < until { (from..until).contains(&hour) } else { !(until..from).contains(&hour) }
}

/// The moment itself, or, in the quiet hours, the one at which they end.
pub fn later(moment: DateTime<Utc>, zone: Tz, hours: Option<QuietHours>) -> DateTime<Utc> {
    let Some(quiet) = hours.filter(|_| is_quiet(moment, zone, hours)) else { return moment };
    let local = wall::shown(moment, zone);
    let before_midnight = local.hour() >= quiet.until;
    let day = local.date().checked_add_days(Days::new(u64::from(before_midnight)));
    day.and_then(|day| wall::instant(zone, day, wall::hour(quiet.until))).unwrap_or(moment)
}

/// The moment itself, or, in the quiet hours, a quarter of an hour before they began.
pub fn earlier(moment: DateTime<Utc>, zone: Tz, hours: Option<QuietHours>) -> DateTime<Utc> {
    let Some(quiet) = hours.filter(|_| is_quiet(moment, zone, hours)) else { return moment };
    let local = wall::shown(moment, zone);
    let after_midnight = local.hour() < quiet.from;
    let day = local.date().checked_sub_days(Days::new(u64::from(after_midnight)));
    let began = day.and_then(|day| wall::instant(zone, day, wall::hour(quiet.from)));
    began.map_or(moment, |began| began - LAST_CALL)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Zones with and without a change of the clocks, at midnight, by half an hour, and far from Greenwich.
    const ZONES: [Tz; 9] = [
        Tz::UTC,
        Tz::Europe__Rome,
        Tz::America__New_York,
        Tz::America__Santiago,
        Tz::Australia__Lord_Howe,
        Tz::Asia__Kolkata,
        Tz::Asia__Beirut,
        Tz::Pacific__Kiritimati,
        Tz::America__St_Johns,
    ];

    fn utc(text: &str) -> DateTime<Utc> {
        text.parse().expect("a moment")
    }

    const USUAL: Option<QuietHours> = Some(QuietHours { from: 22, until: 7 });

    #[test]
    fn the_edges() {
        let zone = Tz::Europe__Rome;
        assert!(!is_quiet(utc("2026-01-10T20:59:59Z"), zone, USUAL));
        assert!(is_quiet(utc("2026-01-10T21:00:00Z"), zone, USUAL));
        assert!(is_quiet(utc("2026-01-11T05:59:59Z"), zone, USUAL));
        assert!(!is_quiet(utc("2026-01-11T06:00:00Z"), zone, USUAL));
    }

    #[test]
    fn the_night_of_a_change_of_the_clocks() {
        // Europe/Rome goes forward on 29 March 2026: 7:00 is an hour earlier in UTC than the day before.
        let late = utc("2026-03-28T22:30:00Z");
        assert_eq!(later(late, Tz::Europe__Rome, USUAL), utc("2026-03-29T05:00:00Z"));
        assert_eq!(
            earlier(utc("2026-03-29T03:00:00Z"), Tz::Europe__Rome, USUAL),
            utc("2026-03-28T20:45:00Z")
        );
    }

    #[test]
    fn hours_of_ones_own() {
        let noon = Some(QuietHours { from: 12, until: 14 });
        let moment = utc("2026-01-10T12:30:00Z");
        assert_eq!(later(moment, Tz::UTC, noon), utc("2026-01-10T14:00:00Z"));
        assert_eq!(earlier(moment, Tz::UTC, noon), utc("2026-01-10T11:45:00Z"));
        let from_midnight = Some(QuietHours { from: 0, until: 6 });
        assert!(!is_quiet(utc("2026-01-10T23:59:00Z"), Tz::UTC, from_midnight));
        assert_eq!(earlier(utc("2026-01-10T00:30:00Z"), Tz::UTC, from_midnight), utc("2026-01-09T23:45:00Z"));
        assert!(!is_quiet(moment, Tz::UTC, None));
        assert_eq!((later(moment, Tz::UTC, None), earlier(moment, Tz::UTC, None)), (moment, moment));
    }

    proptest! {
        #[test]
        fn moved_times_are_never_quiet_and_never_far(
            seconds in 1_577_836_800_i64..2_208_988_800,
            zone in proptest::sample::select(ZONES.to_vec()),
            from in 0_u32..24,
            length in 1_u32..15,
        ) {
            let quiet = QuietHours { from, until: (from + length) % 24 };
            prop_assert_eq!(quiet.length(), length);
            let hours = Some(quiet);
            let moment = DateTime::from_timestamp(seconds, 0).expect("a moment");
            let (late, early) = (later(moment, zone, hours), earlier(moment, zone, hours));
            // Clocks that go back show an hour twice, so a quarter before the quiet may show as in it.
            let shows_twice = wall::shown(late, zone) - wall::shown(early, zone) != late - early;
            prop_assert!(!is_quiet(late, zone, hours), "{late}");
            prop_assert!(!is_quiet(early, zone, hours) || shows_twice, "{early}");
            prop_assert!(early <= moment && moment <= late);
            // So long, one more where the clocks go back, a quarter before it.
            prop_assert!(late - moment <= TimeDelta::hours(i64::from(length) + 1));
            prop_assert!(moment - early <= TimeDelta::minutes((i64::from(length) + 1) * 60 + 15));
            if !is_quiet(moment, zone, hours) {
                prop_assert!(late == moment && early == moment);
            }
        }
    }
}
