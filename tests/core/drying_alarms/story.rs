//! A drying batch, told in days since it began.

use chrono::{DateTime, TimeDelta, Utc};
use tallyhook::curing::drying::alarm::{Alarm, RoomHumidity, Scene, alarms};
use tallyhook::quantity::{Fraction, Length, Mass, RelativeHumidity};
use tallyhook::record::{
    BatchId, BatchKind, BatchPlan, BatchStage, BatchState, ChamberId, Event, EventId, GroupId, Happening,
    MemberId, PieceFate, PieceHung, PieceNumber, Subject,
};

const BATCH: BatchId = BatchId(1);

/// A day since drying began, to the minute.
pub(super) fn day(days: f64) -> DateTime<Utc> {
    #[expect(clippy::cast_possible_truncation, reason = "minutes of some weeks")]
    let minutes = (days * 1440.0).round() as i64;
    DateTime::from_timestamp(1_790_000_000, 0).unwrap() + TimeDelta::minutes(minutes)
}

/// Humidities as read, unchecked, in the order of time.
pub(super) fn room(readings: &[(f64, f64)]) -> Vec<RoomHumidity> {
    let read = |(at, percent): &(f64, f64)| RoomHumidity {
        at: day(*at),
        humidity: RelativeHumidity::percent(*percent),
        is_checked: false,
        doubts: Vec::new(),
    };
    let mut room: Vec<RoomHumidity> = readings.iter().map(read).collect();
    room.sort_by_key(|read| read.at);
    room
}

/// What was told.
pub(super) struct Story {
    events: Vec<Event>,
    pub(super) readings: Vec<(f64, f64)>,
}

impl Story {
    /// One sausage of no known recipe that is to lose 38 %.
    pub(super) fn sausage(diameter_mm: f64, green_g: f64) -> Self {
        Self::of(BatchKind::DriedSausage, diameter_mm, green_g)
    }

    pub(super) fn of(kind: BatchKind, diameter_mm: f64, green_g: f64) -> Self {
        Self::pieces(kind, Some(diameter_mm), &[green_g])
    }

    pub(super) fn pieces(kind: BatchKind, diameter_mm: Option<f64>, green_g: &[f64]) -> Self {
        Self::hung(kind, 0.0, diameter_mm, green_g).begins()
    }

    /// A sausage that was hung two days before, and soured.
    pub(super) fn fermented(diameter_mm: f64, green_g: f64) -> Self {
        let stage = BatchStage::Fermenting;
        let hung = Self::hung(BatchKind::FermentedSausage, -2.0, Some(diameter_mm), &[green_g]);
        hung.happens(-2.0, Subject::Batch(BATCH), Happening::StageReached { stage }).begins()
    }

    fn begins(self) -> Self {
        let stage = BatchStage::Drying;
        self.happens(0.0, Subject::Batch(BATCH), Happening::StageReached { stage })
    }

    fn hung(kind: BatchKind, at: f64, diameter_mm: Option<f64>, green_g: &[f64]) -> Self {
        let plan = BatchPlan {
            name: "sticks".into(),
            owner: MemberId(1),
            group: GroupId(1),
            kind,
            meats: vec![tallyhook::record::Meat { species: "pork".into(), mass: Mass::grams(1000.0) }],
            thickness: diameter_mm.map(Length::millimetres),
            target_loss: Some(Fraction::percent(38.0)),
            target_ph: None,
            chamber: ChamberId(1),
        };
        let piece = |(number, grams): (u32, &f64)| PieceHung {
            number: PieceNumber(number),
            hung: Mass::grams(*grams),
            tare: Mass::grams(0.0),
            before_cure: None,
        };
        let pieces = (1..).zip(green_g).map(piece).collect();
        Self { events: Vec::new(), readings: Vec::new() }
            .happens(at, Subject::Batch(BATCH), Happening::Started { plan })
            .happens(at, Subject::Batch(BATCH), Happening::PiecesHung { pieces })
    }

    fn happens(mut self, days: f64, subject: Subject, what: Happening) -> Self {
        self.events.push(Event {
            id: EventId(self.events.last().map_or(1, |last| last.id.0 + 1)),
            subject,
            at: day(days),
            recorded_at: day(days),
            author: None,
            zone: "UTC".into(),
            what,
            typed: String::new(),
        });
        self
    }

    pub(super) fn weighed(self, days: f64, piece: u32, grams: f64) -> Self {
        let gross = Mass::grams(grams);
        self.happens(days, Subject::Piece(BATCH, PieceNumber(piece)), Happening::Weighed { gross })
    }

    pub(super) fn weighed_whole(self, days: f64, grams: f64) -> Self {
        self.happens(days, Subject::Batch(BATCH), Happening::Weighed { gross: Mass::grams(grams) })
    }

    pub(super) fn eaten(self, days: f64, piece: u32) -> Self {
        let what = Happening::PieceLeft { fate: PieceFate::Eaten, reason: String::new() };
        self.happens(days, Subject::Piece(BATCH, PieceNumber(piece)), what)
    }

    pub(super) fn read(mut self, days: f64, percent: f64) -> Self {
        self.readings.push((days, percent));
        self
    }

    /// The last humidity in time; of two at one moment the one that was told later.
    pub(super) fn last_reading(&self) -> Option<(f64, f64)> {
        self.readings.iter().copied().max_by(|one, other| one.0.total_cmp(&other.0))
    }

    pub(super) fn state(&self) -> BatchState {
        BatchState::rebuild(&self.events).unwrap()
    }

    /// What stands on a day; every 7 days a weighing is planned.
    pub(super) fn alarms(&self, days: f64) -> Vec<Alarm> {
        self.after_file(days, None)
    }

    /// What stands on a day, where only so many of the readings, by time, were known before the last entry.
    pub(super) fn after_file(&self, days: f64, known: Option<usize>) -> Vec<Alarm> {
        let (state, room) = (self.state(), room(&self.readings));
        let (now, room_before) = (day(days), known.map(|known| &room[..known]));
        alarms(&Scene { state: &state, room: &room, now, weigh_every_days: Some(7), room_before })
    }
}
