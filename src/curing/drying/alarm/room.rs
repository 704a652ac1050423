//! The room's humidity, and what it means for what hangs in it.

use super::ends_at;
use super::own::Own;
use super::view::View;
use super::{Alarm, What};
use crate::curing::hygrometer::{Correction, HumidityDoubt};
use crate::curing::rule::Limit;
use crate::curing::rulebook;
use crate::quantity::{Fraction, RelativeHumidity, compare};
use crate::record::ChamberId;
use crate::record::climate::Climate;
use crate::record::hours_between;
use chrono::{DateTime, Utc};
use std::collections::BTreeMap;

/// The first days, in which a dry room is told of: the row's scope.
const FIRST_DAYS: f64 = 7.0;

/// A humidity as it is believed.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomHumidity {
    /// When it was read.
    pub at: DateTime<Utc>,
    /// Corrected by the hygrometer's check; as shown where there is none, or no jar was near enough.
    pub humidity: RelativeHumidity,
    /// Whether the hygrometer had been checked over salt by then.
    pub is_checked: bool,
    /// What takes trust from it.
    pub doubts: Vec<HumidityDoubt>,
}

/// The humidity a batch hung in: of each chamber only while the batch was there; what was known of the first chamber
/// before still counts.
pub fn humidities(
    stays: &[(ChamberId, DateTime<Utc>)],
    climates: &BTreeMap<ChamberId, Climate>,
) -> Vec<RoomHumidity> {
    let ends = stays.iter().skip(1).map(|(_, next)| Some(*next)).chain([None]);
    let mut found = Vec::new();
    for (count, ((chamber, from), to)) in stays.iter().zip(ends).enumerate() {
        let Some(air) = climates.get(chamber) else { continue };
        let holds = |at: DateTime<Utc>| (count == 0 || *from <= at) && to.is_none_or(|to| at < to);
        let held = air.humidity.iter().filter(|(at, _)| holds(*at));
        found.extend(held.map(|(at, raw)| corrected(air, *at, *raw)));
    }
    found.sort_by_key(|read| read.at);
    found
}

fn corrected(air: &Climate, at: DateTime<Utc>, raw: RelativeHumidity) -> RoomHumidity {
    match Correction::in_force(&air.hygrometer, at).map(|correction| correction.apply(raw, at)) {
        Some(means) => RoomHumidity { at, humidity: means.corrected, is_checked: true, doubts: means.doubts },
        None => RoomHumidity { at, humidity: raw, is_checked: false, doubts: Vec::new() },
    }
}

/// Of a room nothing hangs in there is nothing to say.
pub(super) fn alarms(view: &View<'_>) -> Vec<Alarm> {
    let Some(now) = view.humidity_at(view.now).filter(|_| !view.series.is_empty()) else {
        return Vec::new();
    };
    if let Some(moist) = moist(view, now) {
        return vec![moist];
    }
    dry(view).into_iter().chain(out_of_reach(view, now)).collect()
}

/// The losses of the piece that lost least and of the one that lost most, by a moment.
fn losses(view: &View<'_>, moment: DateTime<Utc>) -> (Fraction, Fraction) {
    let of_one = view.series.iter().map(|series| series.loss_at(moment).as_one());
    let (least, most) =
        of_one.fold((1.0, 0.0), |(least, most): (f64, f64), loss| (least.min(loss), most.max(loss)));
    (Fraction::of_one(least), Fraction::of_one(most))
}

/// As moist as the driest piece. Where no piece's own humidity is known, moister than any meat.
fn moist(view: &View<'_>, now: &RoomHumidity) -> Option<Alarm> {
    let (_, most) = losses(view, view.now);
    let (row, measured) = match view.own(most) {
        Some(own) => (rulebook::by_id("drying.room.moist")?, own.points_above(now.humidity)),
        None => (rulebook::by_id("drying.room.moist_any")?, now.humidity.as_percent()),
    };
    let against = compare::with_tolerance(measured, row.value?);
    let is_moist = if row.id == "drying.room.moist" { against.is_le() } else { against.is_ge() };
    is_moist.then(|| Alarm::of(None, What::NoDrying { room: now.humidity }).marked(row, measured))
}

/// A dry room is told of once: it stands while what first showed it came with the last entry.
fn dry(view: &View<'_>) -> Option<Alarm> {
    let first = |room| view.since_began(room).iter().find_map(|read| how_dry(view, read));
    let (what, row, measured) = first(view.room)?;
    first(view.room_before).is_none().then(|| Alarm::of(None, what).marked(row, measured))
}

fn how_dry(view: &View<'_>, read: &RoomHumidity) -> Option<(What, &'static Limit, f64)> {
    let days = hours_between(view.began, read.at) / 24.0;
    let percent = read.humidity.as_percent();
    let floor = rulebook::by_id("drying.room.dry")?;
    if compare::with_tolerance(days, FIRST_DAYS).is_le()
        && compare::with_tolerance(percent, floor.value?).is_lt()
    {
        return Some((What::DryRoom, floor, percent));
    }
    let (least, _) = losses(view, read.at);
    let row = rulebook::by_id("drying.room.below_piece")?;
    let points = view.own(least).map(|own: Own| own.points_above(read.humidity))?;
    let what = What::DryForPiece { room: read.humidity };
    compare::with_tolerance(points, row.value?).is_gt().then_some((what, row, points))
}

/// A loss aimed at that is beyond nine tenths of where such a piece ends, even in the driest air of the last week; told of
/// at the first reading that shows it. In the first days a moist room is wanted, and will be drier.
fn out_of_reach(view: &View<'_>, now: &RoomHumidity) -> Option<Alarm> {
    let target = view.state.plan.target_loss?;
    let hangs_on = |series: &super::series::Series| series.reached_at(target).is_none();
    let is_past_first_days = |read: &RoomHumidity| hours_between(view.began, read.at) / 24.0 >= FIRST_DAYS;
    let beyond = |driest: RelativeHumidity| {
        let row = ends_at::row(view, driest)?;
        compare::with_tolerance(target.as_percent(), row.value?).is_gt().then_some(row)
    };
    let driest = view.driest_of_week(now.at).filter(|_| is_past_first_days(now))?;
    let row = beyond(driest).filter(|_| view.series.iter().any(hangs_on))?;
    let column = RelativeHumidity::percent(row.above?);
    let what = What::OutOfReach { driest, column, ends_at_percent: row.band_high? };
    let is_old = view
        .before_with_driest_of_week()
        .any(|(read, driest)| is_past_first_days(read) && beyond(driest).is_some());
    Some(Alarm { is_old, ..Alarm::of(None, what).marked(row, target.as_percent()) })
}
