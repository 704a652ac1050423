//! A piece that hardly loses weight any more, and why that may be.

use super::series::Series;
use super::view::View;
use super::{Alarm, StallReason, What, ends_at, fast};
use crate::curing::rule::Limit;
use crate::curing::rulebook;
use crate::quantity::{Mass, compare};

/// The rows of a stall.
struct Marks {
    speed: &'static Limit,
    least_days: f64,
    change_g: f64,
    change_part: f64,
    room_limit_points: f64,
}

impl Marks {
    fn load() -> Option<Self> {
        let value = |id: &str| rulebook::by_id(id)?.value;
        Some(Self {
            speed: rulebook::by_id("drying.stall.speed")?,
            least_days: value("drying.stall.days")?,
            change_g: value("drying.stall.change_g")?,
            change_part: value("drying.stall.change_part")? / 100.0,
            room_limit_points: value("drying.stall.room_limit")?,
        })
    }
}

pub(super) fn alarms(view: &View<'_>) -> Vec<Alarm> {
    let Some(marks) = Marks::load() else { return Vec::new() };
    view.series.iter().filter_map(|series| alarm(view, &marks, series)).collect()
}

/// Cheap questions first: only what hardly changed is held against a forecast.
fn alarm(view: &View<'_>, marks: &Marks, series: &Series) -> Option<Alarm> {
    let steps = series.last_two()?;
    let before = series.before_last(marks.least_days)?;
    let change_g = before.net.as_grams() - series.last().net.as_grams();
    let most = marks.change_g.max(marks.change_part * series.green.net().as_grams());
    if change_g < 0.0 || !compare::with_tolerance(change_g, most).is_lt() {
        return None;
    }
    let target = view.state.plan.target_loss?;
    if series.reached_at(target).is_some() {
        return None;
    }
    let expected = view.expected_a_day()?;
    let of_expected = steps.map(|step| step.percent_a_day() / expected);
    let slow = |percent: &f64| {
        marks.speed.value.is_some_and(|least| compare::with_tolerance(*percent, least).is_lt())
    };
    if !of_expected.iter().all(slow) {
        return None;
    }
    let quickest = of_expected.into_iter().fold(0.0, f64::max);
    let days = series.last().day - before.day;
    let what = What::Stalled { reason: reason(view, marks, series), change: Mass::grams(change_g), days };
    Some(Alarm::of(series.piece, what).marked(marks.speed, quickest))
}

fn reason(view: &View<'_>, marks: &Marks, series: &Series) -> StallReason {
    let ends_at = view
        .driest_of_week(view.now)
        .and_then(|driest| ends_at::row(view, driest))
        .and_then(|row| row.band_high);
    let short_of = |end: f64| end - series.loss().as_percent();
    if let Some(end) =
        ends_at.filter(|end| compare::with_tolerance(short_of(*end), marks.room_limit_points).is_le())
    {
        return StallReason::RoomLimit { ends_at_percent: end };
    }
    if fast::was_at_risk(view, series) { StallReason::Rim } else { StallReason::Unknown }
}
