//! The fermentation of one batch at one moment: when the clock started, where it stands, what it counted.

use super::acidity::{Acidity, Phase};
use super::course::{Course, Stretch};
use super::degree_hours::{ClockState, DegreeHourReport};
use super::history::{Stay, Window};
use super::system::{Rules, Systems};
use crate::curing::finding::Finding;
use crate::quantity::Temperature;
use crate::quantity::compare;
use crate::record::batch::{BatchKind, BatchStage};
use crate::record::climate::Climate;
use crate::record::hours_between;
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
    /// When the clock started.
    pub started: DateTime<Utc>,
    /// Degree-hours of the systems asked for, and where the clock stands.
    pub degree_hours: DegreeHourReport,
    /// The pH readings since the start.
    pub acidity: Acidity,
    /// What they say of the end point; `None` only when the rulebook cannot be read.
    pub end_point: Option<Finding>,
}

impl Fermentation {
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
    let started = batch.reached(BatchStage::Fermenting).filter(|start| *start <= now)?;
    let readings: Vec<PhReading> =
        batch.ph.iter().filter(|reading| started <= reading.at && reading.at <= now).copied().collect();
    let acidity = Acidity::of(&readings, batch.plan.thickness);
    let rooms = Rooms {
        stays: Stay::of_batch(batch, climates),
        rules: systems.members().iter().filter_map(|system| Rules::of(*system)).collect(),
        started,
        now,
    };
    let ended = acidity.end.map(|end| end.at);
    let stopped =
        rooms.stopped(left(batch, started, now).filter(|left| ended.is_none_or(|end| *left < end)), ended);
    let state = match (acidity.end, stopped) {
        (Some(end), _) => ClockState::Ended { at: end.at, ph: end.ph, provisional: end.provisional },
        (None, Some(at)) => ClockState::NeverReached { at },
        (None, None) => ClockState::Running,
    };
    let phase = match state {
        ClockState::NeverReached { .. } => Phase::NeverReached,
        _ => Phase::Running,
    };
    let course = rooms.course(started, stopped.or(ended));
    Some(Fermentation {
        started,
        degree_hours: DegreeHourReport::of(course, state, systems),
        end_point: acidity.finding(phase),
        acidity,
    })
}

/// When the batch left fermentation for a later stage.
fn left(batch: &BatchState, started: DateTime<Utc>, now: DateTime<Utc>) -> Option<DateTime<Utc>> {
    let later = |(stage, at): &&(BatchStage, DateTime<Utc>)| {
        *stage > BatchStage::Fermenting && started <= *at && *at <= now
    };
    batch.stages.iter().find(later).map(|(_, at)| *at)
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

    /// When counting stopped before an ending pH, if it did: the batch left for a room at or below the base, or
    /// its own room went cold for good. A batch that "left" but stays warm is still counted.
    fn stopped(&self, left: Option<DateTime<Utc>>, ended: Option<DateTime<Utc>>) -> Option<DateTime<Utc>> {
        match left {
            Some(left) => {
                let after = self.course(left, ended);
                let warm = after.stretches.iter().take_while(|stretch| self.is_warm(stretch));
                warm.last().map_or(Some(left), |stretch| stretch.span.map(|span| span.1))
            }
            None => self.cold_since(&self.course(self.started, ended)),
        }
    }

    /// The end of the last warm stretch, when at least twelve cold hours follow it.
    fn cold_since(&self, course: &Course) -> Option<DateTime<Utc>> {
        let last_warm = course.stretches.iter().rposition(|stretch| self.is_warm(stretch))?;
        let end = course.stretches.get(last_warm)?.span?.1;
        let after = course.stretches.iter().skip(last_warm + 1);
        let cold_until = after
            .take_while(|stretch| stretch.high.is_some_and(|warmth| self.is_cold(warmth)))
            .last()?
            .span?
            .1;
        compare::with_tolerance(hours_between(end, cold_until), COLD_HOURS).is_ge().then_some(end)
    }

    fn is_warm(&self, stretch: &Stretch) -> bool {
        stretch.high.is_some_and(|warmth| !self.is_cold(warmth))
    }

    fn is_cold(&self, warmth: Temperature) -> bool {
        self.rules.iter().all(|rules| rules.above_base(warmth) <= 0.0)
    }
}

#[cfg(test)]
mod tests;
