//! Days as the piece felt them: in a damp week less dries than in a dry one.
//!
//! What pulls the water out of a piece is the difference of vapour pressure between its surface and the room. Days are
//! counted longer where that pull was stronger than in the last week, and shorter where it was weaker, so that a change
//! of the room explains a change of pace and the forecast goes on with the room as it is now. Only the ratio to the last
//! week counts: a hygrometer that is always some points off changes next to nothing.

use crate::curing::air::Air;
use crate::quantity::WaterActivity;

/// The air of the room at a day since the piece was hung.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirAt {
    /// Days since hanging; may lie before it.
    pub day: f64,
    /// Temperature and humidity as read, corrected where the hygrometer was checked.
    pub air: Air,
}

/// The activity at the surface of a piece that has begun to dry; drier later, but that is what the curve is for.
const SURFACE: f64 = 0.95;
/// Water has to come from inside too: the pull counts with its root. Half of what a wet surface alone would do; the middle
/// of what measured best on simulated pieces (see DEVELOPERS.md).
const POWER: f64 = 0.5;
/// The pull of air that is nearly as damp as the surface is not told from none, in pascals.
const LEAST_PULL_PA: f64 = 40.0;
/// A reading holds until the next one, for at most so many days.
const HOLDS_DAYS: f64 = 4.0;
/// "Now" is the mean of so many days.
const NOW_DAYS: f64 = 7.0;
/// Of the days up to the last weighing at least so much must be known.
const KNOWN_PART: f64 = 0.7;
/// Days are felt in steps of this.
const STEP_DAYS: f64 = 0.25;

/// How a piece felt its days up to the last weighing, in days like those of the last week.
#[derive(Debug)]
pub(super) struct FeltDays {
    /// Felt days at the end of each step.
    felt: Vec<f64>,
}

impl FeltDays {
    /// From readings in any order, up to a day; `None` where too little is known.
    pub(super) fn of(readings: &[AirAt], until_day: f64) -> Option<Self> {
        let mut readings: Vec<&AirAt> = readings.iter().filter(|reading| reading.day.is_finite()).collect();
        readings.sort_by(|one, other| one.day.total_cmp(&other.day));
        let steps = (until_day / STEP_DAYS).ceil() as usize;
        let paces: Vec<Option<f64>> =
            (0..steps).map(|step| pace(&readings, (step as f64 + 0.5) * STEP_DAYS)).collect();
        let known = |paces: &[Option<f64>]| {
            let known: Vec<f64> = paces.iter().copied().flatten().collect();
            let enough = known.len() as f64 >= KNOWN_PART * paces.len() as f64 && !known.is_empty();
            enough.then(|| known.iter().sum::<f64>() / known.len() as f64)
        };
        let all = known(&paces)?;
        let recent = paces.len().saturating_sub((NOW_DAYS / STEP_DAYS) as usize);
        let now = known(paces.get(recent..)?)?;
        let mut sum = 0.0;
        let felt = paces.iter().map(|pace| {
            sum += pace.unwrap_or(all) / now * STEP_DAYS;
            sum
        });
        Some(Self { felt: felt.collect() })
    }

    /// A day as it was felt.
    pub(super) fn at(&self, day: f64) -> f64 {
        let place = (day / STEP_DAYS).max(0.0);
        let end = |step: usize| {
            if step == 0 { 0.0 } else { self.felt.get(step - 1).or(self.felt.last()).copied().unwrap_or(0.0) }
        };
        let step = place.floor() as usize;
        end(step) + (end(step + 1) - end(step)) * place.fract()
    }
}

fn pace(readings: &[&AirAt], day: f64) -> Option<f64> {
    let next = readings.partition_point(|reading| reading.day <= day);
    let reading = readings.get(next.checked_sub(1)?)?;
    (day - reading.day <= HOLDS_DAYS).then(|| {
        let pull = reading.air.drive(reading.air.temperature(), WaterActivity::new(SURFACE));
        pull.as_pascals().max(LEAST_PULL_PA).powf(POWER)
    })
}
