//! A batch as its record tells it, for the tests of the clock and of what is off it. Hours count from its fermentation.

use super::clock::{Fermentation, assess};
use super::off_clock::worst_spell;
use super::system::Systems;
use super::warm_spell::WarmSpell;
use crate::quantity::{Hours, Length, Ph, Temperature};
use crate::record::batch::{BatchKind, BatchPlan, BatchStage};
use crate::record::climate::{Climate, RoomExtremes, RoomReading, RoomSetting};
use crate::record::event::{Event, Happening, Subject};
use crate::record::ids::{BatchId, ChamberId, EventId, GroupId, MemberId};
use crate::record::reading::{Calibration, Instrument};
use crate::record::state::BatchState;
use chrono::{DateTime, TimeDelta, Utc};
use std::collections::BTreeMap;

pub(super) const WARM: ChamberId = ChamberId(1);
pub(super) const COOL: ChamberId = ChamberId(2);

pub(super) fn at(hours: i64) -> DateTime<Utc> {
    DateTime::UNIX_EPOCH + TimeDelta::hours(hours)
}

pub(super) struct Story {
    pub(super) events: Vec<Event>,
    pub(super) climates: BTreeMap<ChamberId, Climate>,
}

impl Story {
    /// Fermenting in the warm chamber from hour 0.
    pub(super) fn begin(kind: BatchKind) -> Self {
        Self::planned(kind, -1).stage(0, BatchStage::Fermenting)
    }

    /// Written down at an hour, in the warm chamber, and nothing done yet.
    pub(super) fn planned(kind: BatchKind, hour: i64) -> Self {
        let plan = BatchPlan {
            name: "sticks".into(),
            owner: MemberId(1),
            group: GroupId(1),
            kind,
            meats: Vec::new(),
            thickness: Some(Length::millimetres(50.0)),
            target_loss: None,
            target_ph: None,
            chamber: WARM,
        };
        let story = Self { events: Vec::new(), climates: BTreeMap::new() };
        story.happens(hour, Happening::Started { plan })
    }

    pub(super) fn happens(mut self, hour: i64, what: Happening) -> Self {
        self.events.push(Event {
            id: EventId(self.events.last().map_or(1, |last| last.id.0 + 1)),
            subject: Subject::Batch(BatchId(1)),
            at: at(hour),
            recorded_at: at(hour),
            author: None,
            zone: "UTC".into(),
            what,
            typed: String::new(),
        });
        self
    }

    /// A reading every hour from the first to the last.
    pub(super) fn room(
        mut self,
        chamber: ChamberId,
        hours: std::ops::RangeInclusive<i64>,
        celsius: f64,
    ) -> Self {
        let readings =
            hours.map(|hour| RoomReading { at: at(hour), temperature: Temperature::celsius(celsius) });
        self.climates.entry(chamber).or_default().readings.extend(readings);
        self
    }

    /// What a min/max thermometer remembered between two hours.
    pub(super) fn remembered(mut self, chamber: ChamberId, (since, until): (i64, i64), max: f64) -> Self {
        let max = Temperature::celsius(max);
        let extremes = RoomExtremes { since: at(since), at: at(until), max, min: None };
        self.climates.entry(chamber).or_default().extremes.push(extremes);
        self
    }

    /// What the controller was set to.
    pub(super) fn set(mut self, chamber: ChamberId, hour: i64, celsius: f64) -> Self {
        let temperature = Temperature::celsius(celsius);
        let setting = RoomSetting { at: at(hour), temperature, hysteresis_celsius: 0.0 };
        self.climates.entry(chamber).or_default().settings.push(setting);
        self
    }

    pub(super) fn ph(self, hour: i64, ph: f64) -> Self {
        let calibration =
            Calibration { age: Some(Hours::new(3.0)), slope_percent: Some(98.0), ..Calibration::default() };
        let what = Happening::PhRead {
            ph: Ph::new(ph),
            instrument: Instrument::Meter,
            sample_temperature: Some(Temperature::celsius(21.0)),
            calibration: Some(calibration),
        };
        self.happens(hour, what)
    }

    pub(super) fn stage(self, hour: i64, stage: BatchStage) -> Self {
        self.happens(hour, Happening::StageReached { stage })
    }

    pub(super) fn moved(self, hour: i64, chamber: ChamberId) -> Self {
        self.happens(hour, Happening::Moved { chamber })
    }

    fn batch(&self, now: i64) -> BatchState {
        BatchState::rebuild_as_of(&self.events, at(now)).unwrap()
    }

    /// Its fermentation as it stood at an hour.
    pub(super) fn at_hour(&self, now: i64) -> Option<Fermentation> {
        assess(&self.batch(now), &self.climates, at(now), Systems::Strict)
    }

    /// The worst warm spell off its clock, as it stood at an hour.
    pub(super) fn spell(&self, now: i64) -> Option<WarmSpell> {
        worst_spell(&self.batch(now), &self.climates, self.at_hour(now).as_ref(), at(now))
    }
}
