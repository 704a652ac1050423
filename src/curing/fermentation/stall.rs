//! A pH that does not move: a slow start, or a stall. Common practice, no source; it never ends or stops the clock.

use super::acidity::{Acidity, JudgedReading};
use super::course::Course;
use super::trust::Trust;
use crate::curing::rule::Limit;
use crate::curing::rulebook;
use crate::quantity::{Temperature, compare};
use crate::record::hours_between;
use chrono::{DateTime, TimeDelta, Utc};

/// A pH that should have moved further.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stall {
    /// By how much it fell between two readings; below zero, it rose.
    pub moved: f64,
    /// Hours between them.
    pub hours: f64,
    /// The lag that the custom allows in a room this warm.
    pub lag: &'static Limit,
    /// By how much the custom says it moves in that time.
    pub movement: &'static Limit,
}

/// Holds the last reading of a running fermentation against one that is older by the custom's lag, or against the first
/// one of a fermentation that has run for so long. `None`: it moved, or two readings and the room's temperature do not
/// say enough.
pub fn stall(started: DateTime<Utc>, course: &Course, acidity: &Acidity) -> Option<Stall> {
    let lag = lag(course)?;
    let lag_time = TimeDelta::seconds((lag.value? * 3600.0).round() as i64);
    let movement = rulebook::by_id("culture.movement")?;
    let mut usable: Vec<&JudgedReading> =
        acidity.readings.iter().filter(|judged| is_usable(judged)).collect();
    let last = usable.pop()?;
    let is_alike = |judged: &&JudgedReading| judged.reading.from_sample == last.reading.from_sample;
    let alike: Vec<&JudgedReading> = usable.into_iter().filter(is_alike).collect();
    let is_old_enough = |judged: &&&JudgedReading| last.reading.at - judged.reading.at >= lag_time;
    let older = alike.iter().rev().find(is_old_enough);
    let first = alike
        .first()
        .filter(|first| last.reading.at - started >= lag_time && last.reading.at > first.reading.at);
    let before = older.or(first)?;
    let moved = before.reading.ph.value() - last.reading.ph.value();
    let is_short = compare::with_tolerance(moved, movement.value?).is_lt();
    let hours = hours_between(before.reading.at, last.reading.at);
    is_short.then_some(Stall { moved, hours, lag, movement })
}

/// A strip shows no tenths, and what was refused says nothing. A meter that nobody checked still shows a difference.
const fn is_usable(judged: &JudgedReading) -> bool {
    !matches!(judged.trust, Trust::Strip | Trust::Rejected)
}

/// The lag of the coldest that the room was: nothing is taken between two rows, the longer time counts. Colder than the
/// first row, or not known all the time, the custom says nothing.
fn lag(course: &Course) -> Option<&'static Limit> {
    let coldest: Option<Vec<f64>> =
        course.stretches.iter().map(|stretch| stretch.low.map(Temperature::as_celsius)).collect();
    let coldest = coldest?.into_iter().reduce(f64::min)?;
    let reached = rulebook::bands("culture.lag")
        .filter(|row| row.above.is_some_and(|edge| compare::with_tolerance(coldest, edge).is_ge()));
    reached.min_by(|one, other| one.value.unwrap_or(0.0).total_cmp(&other.value.unwrap_or(0.0)))
}

#[cfg(test)]
mod tests {
    use crate::curing::fermentation::story::{Story, WARM};
    use crate::record::batch::BatchKind;

    /// By how much it moved, and in how many hours, where that is too little.
    fn stalled(story: &Story, now: i64) -> Option<(f64, f64)> {
        let stall = story.at_hour(now).unwrap().stall()?;
        Some(((stall.moved * 100.0).round() / 100.0, stall.hours))
    }

    fn at(celsius: f64) -> Story {
        Story::begin(BatchKind::FermentedSausage).room(WARM, 0..=60, celsius)
    }

    #[test]
    fn a_start_is_slow_after_a_day_at_twenty_degrees_and_half_a_day_at_thirty() {
        let cool = |hour| stalled(&at(22.0).ph(1, 5.8).ph(hour, 5.7), hour);
        assert_eq!(cool(23), None);
        assert_eq!(cool(24), Some((0.1, 23.0)));
        let warm = |hour| stalled(&at(30.0).ph(1, 5.8).ph(hour, 5.7), hour);
        assert_eq!(warm(11), None);
        assert_eq!(warm(12), Some((0.1, 11.0)));
        // Between the two rows the longer lag counts; under the first there is no row.
        assert_eq!(stalled(&at(27.0).ph(1, 5.8).ph(20, 5.7), 20), None);
        assert_eq!(stalled(&at(18.0).ph(1, 5.8).ph(48, 5.8), 48), None);
    }

    #[test]
    fn two_tenths_are_enough() {
        assert_eq!(stalled(&at(22.0).ph(1, 5.8).ph(24, 5.6), 24), None);
        assert_eq!(stalled(&at(22.0).ph(1, 5.8).ph(24, 5.61), 24), Some((0.19, 23.0)));
    }

    #[test]
    fn what_moved_and_then_stands_still_is_stalled() {
        let story = at(24.0).ph(2, 5.9).ph(20, 5.5).ph(44, 5.45);
        assert_eq!(stalled(&story, 30), None);
        assert_eq!(stalled(&story, 44), Some((0.05, 24.0)));
        // A pH that rose moved the wrong way.
        assert_eq!(stalled(&at(24.0).ph(2, 5.5).ph(30, 5.6), 30), Some((-0.1, 28.0)));
    }

    #[test]
    fn an_ended_clock_and_a_room_nobody_read_are_no_stall() {
        assert_eq!(stalled(&at(24.0).ph(2, 5.25).ph(30, 5.2), 30), None);
        let unread = Story::begin(BatchKind::FermentedSausage).ph(1, 5.8).ph(30, 5.8);
        assert_eq!(stalled(&unread, 30), None);
    }
}
