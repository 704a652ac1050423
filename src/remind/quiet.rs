//! The quiet hours: nothing the assistant thought of itself goes out between 22 and 7 on the member's clock.

use crate::wall;
use chrono::{DateTime, Days, NaiveTime, Timelike, Utc};
use chrono_tz::Tz;

/// The hour at which the quiet begins.
const FROM_HOUR: u32 = 22;
/// The hour at which it ends.
const UNTIL_HOUR: u32 = 7;
/// Where something goes that must be heard before the night; a quarter of an hour to act on it.
const LAST_CALL: NaiveTime = match NaiveTime::from_hms_opt(21, 45, 0) {
    Some(time) => time,
    None => NaiveTime::MIN,
};

/// Whether a moment lies in the quiet hours of a zone. 22:00 does, 7:00 does not.
pub fn is_quiet(moment: DateTime<Utc>, zone: Tz) -> bool {
    let hour = wall::shown(moment, zone).hour();
    !(UNTIL_HOUR..FROM_HOUR).contains(&hour)
}

/// The moment itself, or, in the quiet hours, 7:00 when they end.
pub fn later(moment: DateTime<Utc>, zone: Tz) -> DateTime<Utc> {
    if !is_quiet(moment, zone) {
        return moment;
    }
    let local = wall::shown(moment, zone);
    let evening = local.hour() >= FROM_HOUR;
    let day = local.date().checked_add_days(Days::new(u64::from(evening)));
    day.and_then(|day| wall::instant(zone, day, wall::hour(UNTIL_HOUR))).unwrap_or(moment)
}

/// The moment itself, or, in the quiet hours, 21:45 before they began.
pub fn earlier(moment: DateTime<Utc>, zone: Tz) -> DateTime<Utc> {
    if !is_quiet(moment, zone) {
        return moment;
    }
    let local = wall::shown(moment, zone);
    let after_midnight = local.hour() < UNTIL_HOUR;
    let day = local.date().checked_sub_days(Days::new(u64::from(after_midnight)));
    day.and_then(|day| wall::instant(zone, day, LAST_CALL)).unwrap_or(moment)
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::TimeDelta;
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

    #[test]
    fn the_edges() {
        let zone = Tz::Europe__Rome;
        assert!(!is_quiet(utc("2026-01-10T20:59:59Z"), zone));
        assert!(is_quiet(utc("2026-01-10T21:00:00Z"), zone));
        assert!(is_quiet(utc("2026-01-11T05:59:59Z"), zone));
        assert!(!is_quiet(utc("2026-01-11T06:00:00Z"), zone));
    }

    #[test]
    fn the_night_of_a_change_of_the_clocks() {
        // Europe/Rome goes forward on 29 March 2026: 7:00 is an hour earlier in UTC than the day before.
        let late = utc("2026-03-28T22:30:00Z");
        assert_eq!(later(late, Tz::Europe__Rome), utc("2026-03-29T05:00:00Z"));
        assert_eq!(earlier(utc("2026-03-29T03:00:00Z"), Tz::Europe__Rome), utc("2026-03-28T20:45:00Z"));
    }

    proptest! {
        #[test]
        fn moved_times_are_never_quiet_and_never_far(
            seconds in 1_577_836_800_i64..2_208_988_800,
            zone in proptest::sample::select(ZONES.to_vec()),
        ) {
            let moment = DateTime::from_timestamp(seconds, 0).expect("a moment");
            let (late, early) = (later(moment, zone), earlier(moment, zone));
            prop_assert!(!is_quiet(late, zone) && !is_quiet(early, zone));
            prop_assert!(early <= moment && moment <= late);
            // Nine hours of quiet, one more where the clocks go back, a quarter before it.
            prop_assert!(late - moment <= TimeDelta::hours(10));
            prop_assert!(moment - early <= TimeDelta::minutes(10 * 60 + 15));
            if !is_quiet(moment, zone) {
                prop_assert!(late == moment && early == moment);
            }
        }
    }
}
