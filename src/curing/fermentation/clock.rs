//! The fermentation of one batch at one moment: when the clock started, where it stands, what it counted.

use super::acidity::{Acidity, Phase};
use super::course::{Course, Stretch};
use super::degree_hours::{ClockState, DegreeHourReport};
use super::evidence::Grade;
use super::history::{Stay, Window};
use super::segment::warm_before;
use super::stall::{Stall, stall};
use super::system::{Rules, Systems};
use crate::curing::finding::Finding;
use crate::quantity::Temperature;
use crate::quantity::compare;
use crate::record::batch::{BatchKind, BatchStage};
use crate::record::climate::Climate;
use crate::record::ids::ChamberId;
use crate::record::reading::PhReading;
use crate::record::state::BatchState;
use chrono::{DateTime, Utc};
use std::collections::BTreeMap;

/// A room at or below the base for so long, without an ending pH, has stopped the fermentation. This project's
/// choice, no source.
const COLD_HOURS: f64 = 12.0;

/// The fermentation of a batch.
#[derive(Debug, Clone, PartialEq)]
pub struct Fermentation {
    /// When the clock started: with the fermentation, or with the warm spell that a cased batch was in by then.
    pub started: DateTime<Utc>,
    /// How warm it was from then until the moment it is looked at, whether the clock still runs or not.
    pub rooms: Course,
    /// Degree-hours of the systems asked for, and where the clock stands.
    pub degree_hours: DegreeHourReport,
    /// The pH readings since the start.
    pub acidity: Acidity,
    /// What they say of the end point; `None` only when the rulebook cannot be read.
    pub end_point: Option<Finding>,
}

impl Fermentation {
    /// Whether a moment is on the clock.
    pub fn counts(&self, at: DateTime<Utc>) -> bool {
        let is_before_the_end = match self.degree_hours.state {
            ClockState::Running | ClockState::Stated => true,
            ClockState::Ended { at: end, .. } | ClockState::NeverReached { at: end } => at < end,
        };
        self.started <= at && is_before_the_end
    }

    /// A pH that does not move while the clock runs.
    pub fn stall(&self) -> Option<Stall> {
        let is_running = self.degree_hours.state == ClockState::Running;
        let found = || stall(self.started, &self.degree_hours.course, &self.acidity);
        is_running.then(found).flatten()
    }

    /// Every rule that was looked at: the systems asked for, then the end point.
    pub fn findings(&self) -> impl Iterator<Item = &Finding> {
        self.degree_hours.findings().chain(&self.end_point)
    }
}

/// Looks at the fermentation of a batch as it stood at `now`.
///
/// `climates` holds the air of every chamber the batch stayed in; a chamber that is missing counts as one of
/// which nothing is known. `None`: degree-hours do not apply (a dried sausage, a whole muscle), or the batch has
/// not begun to ferment.
pub fn assess(
    batch: &BatchState,
    climates: &BTreeMap<ChamberId, Climate>,
    now: DateTime<Utc>,
    systems: Systems,
) -> Option<Fermentation> {
    if batch.plan.kind != BatchKind::FermentedSausage {
        return None;
    }
    let fermenting = batch.reached(BatchStage::Fermenting).filter(|start| *start <= now)?;
    let readings: Vec<PhReading> =
        batch.ph.iter().filter(|reading| fermenting <= reading.at && reading.at <= now).copied().collect();
    let acidity = Acidity::of(&readings, batch.plan.thickness);
    let stays = Stay::of_batch(batch, climates);
    let started = begins(batch, &stays, now).unwrap_or(fermenting);
    let rooms = Rooms {
        stays,
        rules: systems.members().iter().filter_map(|system| Rules::of(*system)).collect(),
        started,
        now,
    };
    let ended = acidity.end.map(|end| end.at);
    let stopped = if ended.is_none() { rooms.stopped(left(batch, now)) } else { None };
    let state = match (acidity.end, stopped) {
        (Some(end), _) => ClockState::Ended { at: end.at, ph: end.ph, provisional: end.provisional },
        (None, Some(at)) => ClockState::NeverReached { at },
        (None, None) => ClockState::Running,
    };
    let phase = match state {
        ClockState::NeverReached { .. } => Phase::NeverReached,
        _ => Phase::Running,
    };
    // Warm up to this moment is not over yet: the room is taken to be as warm as it was last.
    let closed = ended.or(stopped.filter(|at| *at < now));
    let course = rooms.course(started, closed);
    Some(Fermentation {
        started,
        rooms: closed.map_or_else(|| course.clone(), |_| rooms.course(started, None)),
        degree_hours: DegreeHourReport::of(course, state, systems),
        end_point: acidity.finding(phase),
        acidity,
    })
}

/// When the clock of a batch begins to count: with its first fermentation, or with the warm spell that it was in by
/// then, when it was cased already. `None`: not yet.
pub fn begins(batch: &BatchState, stays: &[Stay<'_>], now: DateTime<Utc>) -> Option<DateTime<Utc>> {
    let fermenting = batch.reached(BatchStage::Fermenting).filter(|start| *start <= now)?;
    Some(warm_before(batch, stays, fermenting, now).unwrap_or(fermenting))
}

/// When the batch left fermentation for a later stage; `None` while it ferments, be it again.
fn left(batch: &BatchState, now: DateTime<Utc>) -> Option<DateTime<Utc>> {
    let known = batch.stages.partition_point(|(_, at)| *at <= now);
    let known = batch.stages.get(..known)?;
    let last = known.iter().rposition(|(stage, _)| *stage == BatchStage::Fermenting)?;
    let later = known.iter().skip(last).find(|(stage, _)| *stage > BatchStage::Fermenting);
    later.map(|(_, at)| *at)
}

/// The rooms of a batch, and what is cold in every system asked for.
struct Rooms<'a> {
    stays: Vec<Stay<'a>>,
    rules: Vec<Rules>,
    started: DateTime<Utc>,
    now: DateTime<Utc>,
}

impl Rooms<'_> {
    fn course(&self, from: DateTime<Utc>, closed: Option<DateTime<Utc>>) -> Course {
        let now = self.now;
        Course::of_history(&self.stays, Window { from, closed, now })
    }

    /// When counting stopped without an ending pH, if it did: the batch left for a room at or below the base, or its
    /// own room went cold for good.
    fn stopped(&self, left: Option<DateTime<Utc>>) -> Option<DateTime<Utc>> {
        match left {
            Some(left) => Some(self.last_warm(left)),
            None => self.cold_since(&self.course(self.started, None)),
        }
    }

    /// The end of the last warm stretch before the batch that left was known to be cold for twelve hours; the moment
    /// it left, where it was not warm any more. A batch that "left" but stays warm, or gets warm again after a time
    /// of which nothing is known, is still counted.
    fn last_warm(&self, left: DateTime<Utc>) -> DateTime<Utc> {
        let after = self.course(left, None).stretches;
        let mut end = left;
        let mut cold_hours = 0.0;
        for stretch in &after {
            cold_hours = if self.is_known_cold(stretch) { cold_hours + stretch.hours } else { 0.0 };
            if is_long(cold_hours) {
                break;
            }
            if let Some((_, warm_until)) = stretch.span.filter(|_| self.is_warm(stretch)) {
                end = warm_until;
            }
        }
        end
    }

    /// The end of the last warm stretch, when at least twelve hours follow it and every one of them is known to have
    /// been cold.
    fn cold_since(&self, course: &Course) -> Option<DateTime<Utc>> {
        let last_warm = course.stretches.iter().rposition(|stretch| self.is_warm(stretch))?;
        let end = course.stretches.get(last_warm)?.span?.1;
        let after = || course.stretches.iter().skip(last_warm + 1);
        let hours = after().map(|stretch| stretch.hours).sum();
        (is_long(hours) && after().all(|stretch| self.is_known_cold(stretch))).then_some(end)
    }

    /// Only what somebody read, set or remembered is known: an open end that is taken to be as it was last is not.
    fn is_known_cold(&self, stretch: &Stretch) -> bool {
        let is_assumed = stretch.grade == Grade::Declared && stretch.low.is_none();
        !is_assumed && stretch.high.is_some_and(|warmth| self.is_cold(warmth))
    }

    fn is_warm(&self, stretch: &Stretch) -> bool {
        stretch.high.is_some_and(|warmth| !self.is_cold(warmth))
    }

    fn is_cold(&self, warmth: Temperature) -> bool {
        self.rules.iter().all(|rules| rules.above_base(warmth) <= 0.0)
    }
}

fn is_long(cold_hours: f64) -> bool {
    compare::with_tolerance(cold_hours, COLD_HOURS).is_ge()
}

#[cfg(test)]
mod tests;
