//! What every alarm looks at: the pieces' weighings, the room, when drying began.

use super::own::{Batter, Own};
use super::room::RoomHumidity;
use super::series::{self, Series};
use super::{Scene, expected};
use crate::quantity::{Fraction, RelativeHumidity};
use crate::record::{BatchStage, BatchState};
use chrono::{DateTime, TimeDelta, Utc};
use std::cell::OnceCell;
use std::cmp::Ordering;
use std::collections::VecDeque;

/// A humidity says nothing of the room after so long. Rule of this project, no source.
const HUMIDITY_HOLDS: TimeDelta = TimeDelta::days(14);
/// The time over which the driest reading is looked for.
const WEEK: TimeDelta = TimeDelta::days(7);

fn drier(one: RelativeHumidity, other: RelativeHumidity) -> Ordering {
    one.as_percent().total_cmp(&other.as_percent())
}

#[derive(Debug)]
pub(super) struct View<'a> {
    pub(super) state: &'a BatchState,
    pub(super) now: DateTime<Utc>,
    pub(super) room: &'a [RoomHumidity],
    pub(super) weigh_every_days: Option<u32>,
    /// The part of it that was known before the last entry.
    pub(super) room_before: &'a [RoomHumidity],
    /// When it began to dry, after a fermentation.
    pub(super) began: DateTime<Utc>,
    pub(super) series: Vec<Series>,
    batter: OnceCell<Option<Batter>>,
    expected: OnceCell<Option<f64>>,
}

impl<'a> View<'a> {
    pub(super) fn of(scene: &Scene<'a>) -> Self {
        let state = scene.state;
        let room =
            scene.room.get(..scene.room.partition_point(|read| read.at <= scene.now)).unwrap_or_default();
        // Said again at the same moment it is still the last one.
        let said_last = room.iter().rev().take_while(|read| room.last() == Some(*read)).count();
        let all_but_last = room.get(..room.len() - said_last).unwrap_or_default();
        let began = state.reached(BatchStage::Drying).unwrap_or(state.last_at);
        Self {
            state,
            now: scene.now,
            room,
            weigh_every_days: scene.weigh_every_days,
            room_before: scene.room_before.unwrap_or(all_but_last),
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
        let from = self.room.partition_point(|read| read.at < from);
        let to = self.room.partition_point(|read| read.at <= moment);
        self.room.get(from..to)?.iter().map(|read| read.humidity).min_by(|one, other| drier(*one, *other))
    }

    /// Every reading that was known before and since drying began, with the driest of the week before it, in one pass: a
    /// logger brings a hundred thousand.
    pub(super) fn before_with_driest_of_week(
        &self,
    ) -> impl Iterator<Item = (&'a RoomHumidity, RelativeHumidity)> {
        let since = self.since_began(self.room_before);
        let mut coming = since.iter().peekable();
        // What may still be the driest: by time, each moister than the one before it.
        let mut window: VecDeque<&RoomHumidity> = VecDeque::new();
        since.iter().filter_map(move |read| {
            while let Some(next) = coming.next_if(|next| next.at <= read.at) {
                while window.pop_back_if(|kept| drier(next.humidity, kept.humidity).is_le()).is_some() {}
                window.push_back(next);
            }
            while window.pop_front_if(|kept| kept.at < read.at - WEEK).is_some() {}
            window.front().map(|driest| (read, driest.humidity))
        })
    }

    /// The readings since drying began.
    pub(super) fn since_began(&self, room: &'a [RoomHumidity]) -> &'a [RoomHumidity] {
        room.get(room.partition_point(|read| read.at < self.began)..).unwrap_or_default()
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
