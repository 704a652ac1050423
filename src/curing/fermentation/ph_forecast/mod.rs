//! When a fermenting batch will be at the pH its maker aims at: a window of hours from a few readings.
//!
//! The pH stays, bends and then falls: a broken stick with a soft bend, on hours that count by their warmth (`warmth`).
//! Every stick of a grid is weighed by what is expected of a starter and by how well it goes through the readings
//! (`grid`); what remains is read from each of them (`window`). A batch that does not go on as it fell before gets no
//! window but the word for it (`pace`).
//!
//! A forecast, and nothing else: no rule, limit or reminder looks at it. Rules see readings and the clock.

mod grid;
mod pace;
mod points;
mod warmth;
mod window;

pub use pace::{Pace, is_standstill};
pub use points::SourReading;
pub use warmth::{EquivalentHours, speed};
pub use window::PhWindow;

use super::acidity::{Acidity, JudgedReading};
use super::course::Course;
use crate::quantity::{Ph, compare};
use crate::record::hours_between;
use chrono::{DateTime, Utc};

/// When the pH that is aimed at will be there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PhForecast {
    /// Some hours more.
    Window(PhWindow),
    /// It falls much more slowly than it did: no forecast is made.
    Slowing(Pace),
    /// It fell, and stands still above the pH that is aimed at: no forecast is made.
    Stalled(Pace),
    /// The last reading that is believed is there.
    Reached,
    /// Fewer than two readings that can be used, or all of one time.
    TooFewReadings,
    /// Too little is known of how warm it was.
    TemperatureUnknown,
}

/// Two readings closer than this, in equivalent hours, are of one time.
const LEAST_SPAN: f64 = 1.0;

/// The forecast of a fermentation as its readings and its rooms stand at `now`.
///
/// `course` is how warm it was from the beginning of the fermentation to `now`. Only readings that may be believed are
/// used, and paper strips with the width that strips have.
pub fn forecast(acidity: &Acidity, course: &Course, target: Ph, now: DateTime<Utc>) -> PhForecast {
    let is_there = |ph: Ph| compare::with_tolerance(ph.value(), target.value()).is_le();
    if acidity.last_believed().is_some_and(|last| is_there(last.reading.ph)) {
        return PhForecast::Reached;
    }
    let readings = points::usable(acidity, now);
    if readings.len() < 2 || !target.value().is_finite() {
        return PhForecast::TooFewReadings;
    }
    let Some(hours) = EquivalentHours::of(course) else {
        return PhForecast::TemperatureUnknown;
    };
    let first = readings.first().map_or(now, |judged| judged.reading.at);
    let sour = |judged: &&JudgedReading| {
        let at = judged.reading.at;
        SourReading::of(judged, hours.at(at), hours_between(first, at))
    };
    let sour: Vec<SourReading> = readings.iter().map(sour).collect();
    of_readings(&sour, target, hours.at(now), hours.speed_now())
}

/// The forecast from readings on equivalent hours, at a moment and at a speed (both of [`speed`]'s scale).
pub fn of_readings(readings: &[SourReading], target: Ph, now: f64, speed: f64) -> PhForecast {
    let target = target.value();
    let mut sorted: Vec<SourReading> = readings.iter().copied().filter(SourReading::is_possible).collect();
    sorted.sort_by(|one, other| {
        one.hours
            .total_cmp(&other.hours)
            .then(other.ph.total_cmp(&one.ph))
            .then(one.width.total_cmp(&other.width))
    });
    let (Some(first), Some(last)) = (sorted.first(), sorted.last()) else {
        return PhForecast::TooFewReadings;
    };
    let is_number = [target, now, speed].into_iter().all(f64::is_finite);
    if last.hours - first.hours < LEAST_SPAN || !is_number {
        return PhForecast::TooFewReadings;
    }
    if let Some(pace) = pace::stalled(&sorted) {
        return PhForecast::Stalled(pace);
    }
    let sticks = grid::weigh(&sorted);
    if let Some(pace) = pace::slowing(&sorted, grid::expected_rate(&sticks)) {
        return PhForecast::Slowing(pace);
    }
    PhForecast::Window(window::window(&sticks, &sorted, target, now - last.hours, speed))
}
