//! What every alarm looks at: the pieces' weighings, the room, when drying began.

use super::own::{Batter, Own};
use super::room::RoomHumidity;
use super::series::{self, Series};
use super::{Scene, expected};
use crate::quantity::{Fraction, RelativeHumidity};
use crate::record::{BatchStage, BatchState};
use chrono::{DateTime, TimeDelta, Utc};
use std::cell::OnceCell;

/// A humidity says nothing of the room after so long. Rule of this project, no source.
const HUMIDITY_HOLDS: TimeDelta = TimeDelta::days(14);
/// The time over which the driest reading is looked for.
const WEEK: TimeDelta = TimeDelta::days(7);

#[derive(Debug)]
pub(super) struct View<'a> {
    pub(super) state: &'a BatchState,
    pub(super) now: DateTime<Utc>,
    pub(super) room: &'a [RoomHumidity],
    pub(super) weigh_every_days: Option<u32>,
    /// When it began to dry, after a fermentation.
    pub(super) began: DateTime<Utc>,
    pub(super) series: Vec<Series>,
    batter: OnceCell<Option<Batter>>,
    expected: OnceCell<Option<f64>>,
}

impl<'a> View<'a> {
    pub(super) fn of(scene: &Scene<'a>) -> Self {
        let state = scene.state;
        let began = state.reached(BatchStage::Drying).unwrap_or(state.last_at);
        Self {
            state,
            now: scene.now,
            room: scene.room,
            weigh_every_days: scene.weigh_every_days,
            began,
            series: series::of_batch(state, began),
            batter: OnceCell::new(),
            expected: OnceCell::new(),
        }
    }

    /// The humidity that was read last before a moment, where that still says something.
    pub(super) fn humidity_at(&self, moment: DateTime<Utc>) -> Option<&'a RoomHumidity> {
        let known = self.room.partition_point(|read| read.at <= moment);
        let last = self.room.get(..known)?.last()?;
        (moment - last.at <= HUMIDITY_HOLDS).then_some(last)
    }

    /// The driest reading of the week before a moment, of what was read since drying began.
    pub(super) fn driest_of_week(&self, moment: DateTime<Utc>) -> Option<RelativeHumidity> {
        let from = self.began.max(moment - WEEK);
        let read = self.room.iter().filter(|read| from <= read.at && read.at <= moment);
        read.map(|read| read.humidity).min_by(|one, other| one.as_percent().total_cmp(&other.as_percent()))
    }

    /// What is in it, where the record says so.
    pub(super) fn batter(&self) -> Option<&Batter> {
        self.batter.get_or_init(|| Batter::of(self.state)).as_ref()
    }

    /// A piece's own humidity after a loss.
    pub(super) fn own(&self, loss: Fraction) -> Option<Own> {
        Own::of(self.state.plan.kind, loss, || self.batter())
    }

    /// The loss that was expected a day, as a part of the green weight; worked out once, because it costs a forecast.
    pub(super) fn expected_a_day(&self) -> Option<f64> {
        *self.expected.get_or_init(|| expected::a_day(&self.state.plan))
    }
}
