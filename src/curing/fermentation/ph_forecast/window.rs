//! From the sticks to a window of hours.

use super::grid::Stick;
use super::points::SourReading;

/// What remains may go faster or slower than any stick: factors `exp(SPREAD · z)` of six equal parts of a normal
/// distribution.
const SPREAD: f64 = 0.25;
const PARTS: [f64; 6] = [-1.6449, -0.8416, -0.2533, 0.2533, 0.8416, 1.6449];
/// The part of what the last reading is off its stick that stays with the stick, and the most of it, in pH.
const KEEPS: f64 = 0.5;
const KEEPS_AT_MOST: f64 = 0.25;
/// A quantile is found to this part of an hour.
const CLOSE: f64 = 1e-6;
/// Nobody ferments for longer than this, in hours: what takes longer is never.
const LONGEST_HOURS: f64 = 90.0 * 24.0;

/// When the pH that is aimed at will be there, in hours from now if the room stays as warm as it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PhWindow {
    /// One in ten is there by then; `None`: not in ninety days.
    pub p10: Option<f64>,
    /// Half are.
    pub p50: Option<f64>,
    /// Nine in ten are.
    pub p90: Option<f64>,
    /// Readings that it rests on.
    pub readings: usize,
}

/// The window at a moment `since` equivalent hours after the last reading, in a room in which an hour counts `speed`.
pub(super) fn window(
    sticks: &[Stick],
    readings: &[SourReading],
    target: f64,
    since: f64,
    speed: f64,
) -> PhWindow {
    let remaining = remaining(sticks, readings, target);
    let at = |quantile: f64| {
        let equivalent = quantile_of(&remaining, quantile).filter(|_| speed > 0.0)?;
        let hours = (equivalent - since.max(0.0)).max(0.0) / speed;
        (hours <= LONGEST_HOURS).then_some(hours)
    };
    PhWindow { p10: at(0.1), p50: at(0.5), p90: at(0.9), readings: readings.len() }
}

/// Equivalent hours that remain, the shortest first, each with the weight of all sticks that are there by then. Sorted
/// once: a factor keeps the order.
fn remaining(sticks: &[Stick], readings: &[SourReading], target: f64) -> Vec<(f64, f64)> {
    let Some(last) = readings.last() else { return Vec::new() };
    let left = |stick: &Stick| Some((left(stick, last, target)?, stick.weight));
    let mut remaining: Vec<(f64, f64)> = sticks.iter().filter_map(left).collect();
    remaining.sort_unstable_by(|one, other| one.0.total_cmp(&other.0).then(one.1.total_cmp(&other.1)));
    let mut all = 0.0;
    for (_, weight) in &mut remaining {
        all += *weight;
        *weight = all;
    }
    remaining
}

/// Equivalent hours from the last reading to the target on one stick.
fn left(stick: &Stick, last: &SourReading, target: f64) -> Option<f64> {
    // A strip is too blunt to move a stick by.
    let keeps = if last.is_sharp() { KEEPS } else { 0.0 };
    let moved = (keeps * (last.ph - stick.ph(last.hours))).clamp(-KEEPS_AT_MOST, KEEPS_AT_MOST);
    stick.reaches(target - moved).map(|hours| (hours - last.hours).max(0.0))
}

/// The hours by which a part of all sticks is there, each spread over its six factors; `None`: so many never are.
fn quantile_of(remaining: &[(f64, f64)], quantile: f64) -> Option<f64> {
    let share = |hours: f64| -> f64 {
        let by = |part: f64| share_by(remaining, hours / (SPREAD * part).exp());
        PARTS.into_iter().map(by).sum::<f64>() / PARTS.len() as f64
    };
    let (longest, all) = *remaining.last()?;
    if all < quantile {
        return None;
    }
    let slowest = (SPREAD * PARTS.into_iter().fold(0.0, f64::max)).exp();
    let (mut low, mut high) = (0.0, longest * slowest + CLOSE);
    if share(low) >= quantile {
        return Some(0.0);
    }
    while high - low > CLOSE * (1.0 + low) {
        let middle = f64::midpoint(low, high);
        if share(middle) < quantile {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(high)
}

/// The share of the sticks that are there by so many hours.
fn share_by(remaining: &[(f64, f64)], hours: f64) -> f64 {
    let count = remaining.partition_point(|(each, _)| *each <= hours);
    count.checked_sub(1).and_then(|last| remaining.get(last)).map_or(0.0, |(_, share)| *share)
}
