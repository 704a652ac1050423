//! What a piece's last weight says by itself: it grew, it is there, it was not weighed.

use super::series::{Point, Series};
use super::view::View;
use super::{Alarm, What};
use crate::curing::rule::Limit;
use crate::curing::rulebook;
use crate::quantity::{Mass, compare};
use crate::record::hours_between;

/// Who weighs a day late is not told of it. Common practice, no source.
const GRACE_DAYS: f64 = 1.0;

pub(super) fn alarms(view: &View<'_>) -> Vec<Alarm> {
    let gain = rulebook::by_id("drying.gain");
    let of_one = |series: &Series| {
        let at_target = at_target(view, series);
        let overdue = if at_target.is_some() { None } else { overdue(view, series) };
        [gain.and_then(|row| gained(row, series)), at_target, overdue]
    };
    view.series.iter().flat_map(of_one).flatten().collect()
}

/// Heavier than at its lowest weighing before.
fn gained(row: &'static Limit, series: &Series) -> Option<Alarm> {
    let (last, before) = series.points.split_last()?;
    let lowest: &Point =
        before.iter().min_by(|one, other| one.net.as_grams().total_cmp(&other.net.as_grams()))?;
    let gain_g = last.net.as_grams() - lowest.net.as_grams();
    let percent = 100.0 * gain_g / series.green.net().as_grams();
    let what = What::Gained { gain: Mass::grams(gain_g), since: lowest.at };
    let is_over = compare::with_tolerance(percent, row.value?).is_gt();
    is_over.then(|| Alarm::of(series.piece, what).marked(row, percent))
}

fn at_target(view: &View<'_>, series: &Series) -> Option<Alarm> {
    let since = series.reached_at(view.state.plan.target_loss?)?;
    Some(Alarm::of(series.piece, What::AtTarget { since }))
}

fn overdue(view: &View<'_>, series: &Series) -> Option<Alarm> {
    let planned_days = view.weigh_every_days?;
    let weighed = view.state.total_weighings.iter().map(|weighing| weighing.at).max();
    let last = series.last().at.max(view.began);
    let last = weighed.map_or(last, |weighed| weighed.max(last));
    let days = hours_between(last, view.now) / 24.0;
    let is_late = compare::with_tolerance(days, f64::from(planned_days) + GRACE_DAYS).is_gt();
    is_late.then(|| Alarm::of(series.piece, What::Overdue { days, planned_days }))
}
