//! Where an axis is marked: round numbers, and the dates of a calendar.

use super::dates::DateNames;
use crate::quantity::format;
use chrono::{
    DateTime, Datelike, Days, Months, NaiveDate, NaiveDateTime, NaiveTime, TimeDelta, TimeZone, Utc,
};
use chrono_tz::Tz;

/// A mark on an axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Tick {
    /// The value.
    pub value: f64,
    /// What stands at it.
    pub text: String,
}

/// Marks at round numbers (1, 2 or 5 times a power of ten) between two values: as many as there may be at `most`.
pub fn numbers(low: f64, high: f64, most: usize) -> Vec<Tick> {
    let span = high - low;
    if !(span > 0.0 && span.is_finite()) {
        return Vec::new();
    }
    let power = (span / most.max(1) as f64).log10().floor();
    let steps = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0].map(|times| times * 10_f64.powf(power));
    // A hair of tolerance, so that an end that is a round number itself is marked.
    let ends = |step: f64| ((low / step - 1e-9).ceil(), (high / step + 1e-9).floor());
    let few = |step: &f64| {
        let (first, last) = ends(*step);
        last - first < most.max(1) as f64
    };
    let Some(step) = steps.into_iter().find(few) else { return Vec::new() };
    let decimals = (-step.log10().floor()).clamp(0.0, 6.0) as usize;
    let (first, last) = ends(step);
    let count = (last - first).max(-1.0) as i32 + 1;
    let tick = |number: i32| {
        let value = (first + f64::from(number)) * step;
        Tick { value, text: format::number(value, decimals) }
    };
    (0..count).map(tick).collect()
}

/// How far apart dates are marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Every {
    Hours(u32),
    Days(u32),
    /// Weeks, on their Mondays.
    Weeks(u32),
    Months(u32),
}

const STEPS: [Every; 14] = [
    Every::Hours(1),
    Every::Hours(3),
    Every::Hours(6),
    Every::Hours(12),
    Every::Days(1),
    Every::Days(2),
    Every::Weeks(1),
    Every::Weeks(2),
    Every::Weeks(4),
    Every::Months(1),
    Every::Months(2),
    Every::Months(3),
    Every::Months(6),
    Every::Months(12),
];

/// Marks at dates and times of a zone, between two moments given in days since `origin`; the finest that `fits`.
pub fn calendar(
    (origin, zone): (DateTime<Utc>, Tz),
    names: &DateNames,
    (low, high): (f64, f64),
    fits: impl Fn(&[Tick]) -> bool,
) -> Vec<Tick> {
    let from = moment(origin, low);
    let to = moment(origin, high);
    let mut ticks = Vec::new();
    for every in STEPS {
        ticks = marks(every, (from, to), zone, names)
            .into_iter()
            .map(|(at, text)| Tick { value: (at - origin).as_seconds_f64() / 86_400.0, text })
            .filter(|tick| (low..=high).contains(&tick.value))
            .collect();
        if !ticks.is_empty() && fits(&ticks) {
            return ticks;
        }
    }
    ticks.truncate(1);
    ticks
}

/// A moment given in days since another.
fn moment(origin: DateTime<Utc>, days: f64) -> DateTime<Utc> {
    const MOST_SECONDS: f64 = 1e10;
    let seconds = (days * 86_400.0).clamp(-MOST_SECONDS, MOST_SECONDS) as i64;
    origin.checked_add_signed(TimeDelta::seconds(seconds)).unwrap_or(origin)
}

/// Marks of one step, at most so many.
const MOST: usize = 200;

fn marks(
    every: Every,
    (from, to): (DateTime<Utc>, DateTime<Utc>),
    zone: Tz,
    names: &DateNames,
) -> Vec<(DateTime<Utc>, String)> {
    let mut local = first(every, from.with_timezone(&zone).naive_local());
    let mut found = Vec::new();
    for _ in 0..MOST {
        // A clock time that is skipped in spring has no mark.
        if let Some(at) = zone.from_local_datetime(&local).earliest().map(|at| at.to_utc()) {
            if at > to {
                return found;
            }
            if at >= from {
                found.push((at, text(every, local, names)));
            }
        }
        let Some(next) = next(every, local) else { return found };
        local = next;
    }
    // Too many to be looked at.
    Vec::new()
}

/// The last mark at or before a local time.
fn first(every: Every, local: NaiveDateTime) -> NaiveDateTime {
    let day = local.date();
    let month = |months: u32| {
        let number = day.month0() / months * months + 1;
        NaiveDate::from_ymd_opt(day.year(), number, 1).unwrap_or(day)
    };
    let monday = || {
        let back = Days::new(u64::from(day.weekday().num_days_from_monday()));
        day.checked_sub_days(back).unwrap_or(day)
    };
    let day = match every {
        Every::Hours(_) | Every::Days(_) => day,
        Every::Weeks(_) => monday(),
        Every::Months(months) => month(months),
    };
    day.and_time(NaiveTime::MIN)
}

fn next(every: Every, local: NaiveDateTime) -> Option<NaiveDateTime> {
    match every {
        Every::Hours(hours) => local.checked_add_signed(TimeDelta::hours(i64::from(hours))),
        Every::Days(days) => local.checked_add_days(Days::new(u64::from(days))),
        Every::Weeks(weeks) => local.checked_add_days(Days::new(u64::from(weeks) * 7)),
        Every::Months(months) => local.checked_add_months(Months::new(months)),
    }
}

fn text(every: Every, local: NaiveDateTime, names: &DateNames) -> String {
    match every {
        Every::Hours(_) if local.time() != NaiveTime::MIN => local.format("%H:%M").to_string(),
        Every::Hours(_) => names.weekday_of(local),
        Every::Days(_) | Every::Weeks(_) => names.day_of(local),
        Every::Months(12) => local.format("%Y").to_string(),
        Every::Months(_) => names.month_of(local),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn texts(ticks: &[Tick]) -> Vec<&str> {
        ticks.iter().map(|tick| tick.text.as_str()).collect()
    }

    #[test]
    fn numbers_are_round() {
        assert_eq!(texts(&numbers(0.0, 41.0, 5)), ["0", "10", "20", "30", "40"]);
        assert_eq!(texts(&numbers(4.72, 5.71, 5)), ["4.8", "5.0", "5.2", "5.4", "5.6"]);
        assert_eq!(texts(&numbers(-3.0, 4.0, 3)), ["0"]);
        assert_eq!(texts(&numbers(-3.0, 4.0, 4)), ["-2", "0", "2", "4"]);
        assert_eq!(texts(&numbers(12.1, 24.0, 3)), ["15", "20"]);
        assert_eq!(texts(&numbers(0.0, 0.003, 4)), ["0.000", "0.001", "0.002", "0.003"]);
        assert!(numbers(1.0, 1.0, 4).is_empty());
    }

    proptest! {
        #[test]
        fn numbers_stay_inside_and_are_few(low in -1e4_f64..1e4, span in 1e-3_f64..1e4, wanted in 2_usize..8) {
            let ticks = numbers(low, low + span, wanted);
            prop_assert!((1..=wanted).contains(&ticks.len()), "{} marks", ticks.len());
            for tick in &ticks {
                prop_assert!(tick.value >= low - span * 1e-6 && tick.value <= low + span * (1.0 + 1e-6));
            }
        }
    }

    // In Rome the clocks went from 3 back to 2 on 25 October 2026 and go from 2 to 3 on 28 March 2027: by the rule of
    // Directive 2000/84/EC, last Sundays of March and October, 01:00 UTC.
    #[test]
    fn dates_follow_the_zone_through_the_change_of_clocks() {
        let origin: DateTime<Utc> = "2026-10-23T22:00:00Z".parse().unwrap();
        let ticks = calendar((origin, chrono_tz::Europe::Rome), &DateNames::default(), (0.0, 4.2), |ticks| {
            ticks.len() <= 5
        });
        assert_eq!(texts(&ticks), ["24 Oct", "25 Oct", "26 Oct", "27 Oct", "28 Oct"]);
        let values: Vec<f64> = ticks.iter().map(|tick| (tick.value * 24.0).round()).collect();
        assert_eq!(values, [0.0, 24.0, 49.0, 73.0, 97.0]);
        let origin: DateTime<Utc> = "2027-03-27T23:00:00Z".parse().unwrap();
        let hours = calendar((origin, chrono_tz::Europe::Rome), &DateNames::default(), (0.0, 0.2), |ticks| {
            ticks.len() <= 6
        });
        assert_eq!(texts(&hours), ["Sun 28", "01:00", "03:00", "04:00", "05:00"]);
    }

    #[test]
    fn long_stretches_are_marked_by_weeks_months_and_years() {
        let origin: DateTime<Utc> = "2026-11-03T10:00:00Z".parse().unwrap();
        let few = |ticks: &[Tick]| ticks.len() <= 6;
        assert_eq!(
            texts(&calendar((origin, Tz::UTC), &DateNames::default(), (0.0, 35.0), few)),
            ["9 Nov", "16 Nov", "23 Nov", "30 Nov", "7 Dec"]
        );
        assert_eq!(
            texts(&calendar((origin, Tz::UTC), &DateNames::default(), (0.0, 150.0), few)),
            ["30 Nov", "28 Dec", "25 Jan", "22 Feb", "22 Mar"]
        );
        assert_eq!(
            texts(&calendar((origin, Tz::UTC), &DateNames::default(), (0.0, 900.0), few)),
            ["Jan 2027", "Jul 2027", "Jan 2028", "Jul 2028", "Jan 2029"]
        );
        assert!(calendar((origin, Tz::UTC), &DateNames::default(), (0.0, 0.001), few).len() <= 1);
    }
}
