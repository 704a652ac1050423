//! A pH that does not go on as it fell before.

use super::points::SourReading;
use crate::curing::rulebook;
use crate::quantity::compare;

/// Below this part of what the fit falls an hour, the last readings say that it slows. Rule of this project, no source.
const SLOW_PART: f64 = 0.40;
/// Readings closer than this, in equivalent hours, are too close to read a slope from: two meters' errors are as large as
/// what falls in that time. Rule of this project, no source.
const SHORTEST_SLOPE: f64 = 6.0;
/// Less than this in so many equivalent hours is a standstill. Rule of this project, no source.
const STANDS_STILL: f64 = 0.05;
const STANDSTILL_HOURS: f64 = 12.0;

/// How it moved between the two readings that say so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pace {
    /// By how much the pH fell; below zero, it rose.
    pub moved: f64,
    /// Hours between them, by the clock.
    pub hours: f64,
    /// Equivalent hours between them.
    pub equivalent_hours: f64,
}

/// The last readings, when they stand still. Only what has begun to fall can stop: before, it is a slow start, and the
/// custom for those says when it is one.
pub(super) fn stalled(readings: &[SourReading]) -> Option<Pace> {
    let pace = since(readings, STANDSTILL_HOURS)?;
    is_standstill(pace.moved).then_some(pace)
}

/// Whether a pH that moved by so much in half a day or more stands still.
pub fn is_standstill(moved: f64) -> bool {
    compare::with_tolerance(moved, STANDS_STILL).is_lt()
}

/// The last readings, when they fall much more slowly than the fit does.
pub(super) fn slowing(readings: &[SourReading], rate: f64) -> Option<Pace> {
    let pace = since(readings, SHORTEST_SLOPE)?;
    (pace.moved / pace.equivalent_hours < SLOW_PART * rate).then_some(pace)
}

/// From the latest reading that is so much older than the last one, and by which it had begun to fall, to the last one.
/// Strips show no such differences.
fn since(readings: &[SourReading], hours: f64) -> Option<Pace> {
    let mut sharp = readings.iter().filter(|reading| reading.is_sharp());
    let first = sharp.clone().next()?;
    let last = sharp.next_back()?;
    let before = sharp.rfind(|reading| compare::with_tolerance(last.hours - reading.hours, hours).is_ge())?;
    let begins = rulebook::by_id("culture.movement")?.value?;
    let is_begun = compare::with_tolerance(first.ph - before.ph, begins).is_ge();
    is_begun.then_some(Pace {
        moved: before.ph - last.ph,
        hours: last.clock_hours - before.clock_hours,
        equivalent_hours: last.hours - before.hours,
    })
}
