//! Too fast for class, diameter and age.

use super::room::RoomHumidity;
use super::series::{Series, Step};
use super::view::View;
use super::{Alarm, What};
use crate::curing::rule::Limit;
use crate::curing::rulebook;
use crate::quantity::{Length, compare};
use crate::record::{BatchKind, BatchPlan};
use chrono::{DateTime, Utc};
use std::ops::RangeInclusive;

/// Thinner than this a sausage has its own mark in its first days, in mm.
const THIN_MM: f64 = 45.0;
/// The days of that mark.
const THIN_DAYS: f64 = 3.0;
/// The first week, in days.
const WEEK: f64 = 7.0;

/// The rates above which pieces of a batch dry fast, by age.
#[derive(Debug)]
enum Guide {
    Sausage { columns: Vec<&'static Limit>, thin: Option<&'static Limit> },
    Muscle(&'static Limit),
}

impl Guide {
    /// `None` where there is no mark: a sausage of no known diameter, or outside the table.
    fn of(plan: &BatchPlan) -> Option<Self> {
        if plan.kind == BatchKind::WholeMuscle {
            return rulebook::by_id("drying.fast.muscle").map(Self::Muscle);
        }
        let diameter = plan.thickness.map(Length::as_millimetres)?;
        let columns = rulebook::bands(band(diameter)?).collect();
        let is_thin = compare::with_tolerance(diameter, THIN_MM).is_lt();
        let thin = rulebook::by_id("drying.fast.thin").filter(|_| is_thin);
        Some(Self::Sausage { columns, thin })
    }

    /// The mark for a step. The last column before the step begins: every day of the step is at or after it, and rates
    /// fall with age, so no day of it would be let through by the table. A step that begins on the first day and reaches
    /// a whole one has the first column's. Past the last column there is none.
    fn row(&self, step: &Step) -> Option<&'static Limit> {
        let (columns, thin) = match self {
            Self::Muscle(row) => {
                return Some(*row).filter(|_| compare::with_tolerance(step.to, WEEK).is_le());
            }
            Self::Sausage { columns, thin } => (columns, thin),
        };
        if step.to <= 0.0 {
            return None;
        }
        if let Some(row) = thin.filter(|_| step.from < THIN_DAYS) {
            return Some(row);
        }
        let day = |row: &Limit| row.above.unwrap_or_default();
        let first = columns.first().filter(|first| step.from < day(first) && step.to >= day(first));
        let past = columns.last().is_none_or(|last| compare::with_tolerance(step.from, day(last)).is_gt());
        let held = |row: &&&'static Limit| compare::with_tolerance(day(row), step.from).is_le();
        first.or_else(|| columns.iter().rfind(held).filter(|_| !past)).copied()
    }

    /// The mark that a step is above.
    fn over(&self, step: &Step) -> Option<&'static Limit> {
        let is_over = |row: &&'static Limit| {
            row.value.is_some_and(|most| compare::with_tolerance(step.percent_a_day(), most).is_gt())
        };
        self.row(step).filter(is_over)
    }
}

/// The table's row of a diameter in mm; at an edge the thinner one, whose rates are higher.
fn band(diameter: f64) -> Option<&'static str> {
    const THINNEST: f64 = 28.0;
    let up_to = |most: f64| compare::with_tolerance(diameter, most).is_le();
    if compare::with_tolerance(diameter, THINNEST).is_lt() {
        return None;
    }
    let bands = [
        (40.0, "drying.fast.28_40"),
        (55.0, "drying.fast.40_55"),
        (70.0, "drying.fast.55_70"),
        (100.0, "drying.fast.70_100"),
    ];
    bands.into_iter().find(|(most, _)| up_to(*most)).map(|(_, id)| id)
}

pub(super) fn alarms(view: &View<'_>) -> Vec<Alarm> {
    let Some(guide) = Guide::of(&view.state.plan) else { return Vec::new() };
    view.series.iter().filter_map(|series| alarm(view, &guide, series)).collect()
}

fn alarm(view: &View<'_>, guide: &Guide, series: &Series) -> Option<Alarm> {
    if let Guide::Muscle(_) = guide {
        let last = series.steps().last()?;
        let row = guide.over(&last)?;
        return Some(Alarm::of(series.piece, What::FastMuscle).marked(row, last.percent_a_day()));
    }
    let [before, last] = series.last_two()?;
    let row = guide.over(&before).and(guide.over(&last))?;
    let what = in_room(view, series, view.humidity_at(view.now))?;
    Some(Alarm::of(series.piece, what).marked(row, last.percent_a_day()))
}

/// What a fast piece is told of its room; `None` where the room is not dry.
fn in_room(view: &View<'_>, series: &Series, room: Option<&RoomHumidity>) -> Option<What> {
    let Some(room) = room else { return Some(What::FastInUnknownRoom) };
    let most = rulebook::by_id("drying.fast.dry_air")?.value?;
    let Some(own) = view.own(series.loss()) else {
        // No meat is moister than the row of any meat, so in air that is within so many points of that nothing is.
        let any = rulebook::by_id("drying.room.moist_any")?.value?;
        let may_be_dry = compare::with_tolerance(any - room.humidity.as_percent(), most).is_gt();
        return may_be_dry.then_some(What::FastOfUnknownRecipe);
    };
    let points = own.points_above(room.humidity);
    let is_dry = compare::with_tolerance(points, most).is_gt();
    is_dry.then(|| What::RimRisk { points, at_least: own.less(most) })
}

/// Whether a piece was ever at risk of a rim: two fast steps running, in a room that was dry then.
pub(super) fn was_at_risk(view: &View<'_>, series: &Series) -> bool {
    let Some(guide @ Guide::Sausage { .. }) = Guide::of(&view.state.plan) else { return false };
    let steps: Vec<Step> = series.steps().collect();
    steps.windows(2).any(|pair| {
        let [before, last] = pair else { return false };
        let is_fast = guide.over(before).and(guide.over(last)).is_some();
        is_fast && was_dry(view, series, before.since..=last.until)
    })
}

/// Whether the room was read dry for the piece while it dried so.
fn was_dry(view: &View<'_>, series: &Series, time: RangeInclusive<DateTime<Utc>>) -> bool {
    let Some(most) = rulebook::by_id("drying.fast.dry_air").and_then(|row| row.value) else { return false };
    let is_dry = |read: &RoomHumidity| {
        let own = view.own(series.loss_at(read.at));
        own.is_some_and(|own| compare::with_tolerance(own.points_above(read.humidity), most).is_gt())
    };
    view.room.iter().filter(|read| time.contains(&read.at)).any(is_dry)
}
