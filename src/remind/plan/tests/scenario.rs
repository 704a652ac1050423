//! A batch put together entry by entry. Invented.

use super::super::{PlanInput, plan};
use crate::quantity::{Fraction, Hours, Length, Mass, Ph, Temperature};
use crate::record::climate::Climate;
use crate::record::{
    BatchId, BatchKind, BatchPlan, BatchStage, BatchState, Calibration, ChamberId, Event, EventId, GroupId,
    Happening, Instrument, Meat, MemberId, PieceFate, PieceHung, PieceNumber, PlannedReminder, QuietHours,
    Subject,
};
use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;
use proptest::prelude::*;

pub(super) fn utc(text: &str) -> DateTime<Utc> {
    text.parse().expect("a moment")
}

/// A meter that is believed in full: checked three hours before, slope 98 %.
pub(super) fn calibrated() -> Calibration {
    Calibration {
        age: Some(Hours::new(3.0)),
        slope_percent: Some(98.0),
        offset_mv: Some(2.0),
        one_buffer_passed: false,
        buffer_missed: false,
    }
}

/// The entries of one batch and of its chamber; times in hours, for weights in days, from the beginning.
#[derive(Debug, Clone)]
pub(super) struct Scenario {
    pub(super) batch: BatchPlan,
    pub(super) events: Vec<Event>,
    begin: DateTime<Utc>,
}

impl Scenario {
    pub(super) fn new(kind: BatchKind, begin: &str) -> Self {
        let batch = BatchPlan {
            name: "Juniper stick".to_owned(),
            owner: MemberId(1),
            group: GroupId(1),
            kind,
            meats: vec![Meat { species: "pork".to_owned(), mass: Mass::grams(2400.0) }],
            thickness: Some(Length::millimetres(50.0)),
            target_loss: Some(Fraction::percent(38.0)),
            target_ph: None,
            chamber: ChamberId(1),
        };
        Self { batch, events: Vec::new(), begin: utc(begin) }
    }

    pub(super) fn fermenting(begin: &str) -> Self {
        let mut scenario = Self::new(BatchKind::FermentedSausage, begin);
        scenario.stage(BatchStage::Fermenting, 0.0);
        scenario
    }

    /// One piece of 1,000 g net, hung when drying began.
    pub(super) fn drying(begin: &str) -> Self {
        let mut scenario = Self::new(BatchKind::DriedSausage, begin);
        let piece = PieceHung {
            number: PieceNumber(1),
            hung: Mass::grams(1000.0),
            tare: Mass::grams(0.0),
            before_cure: None,
        };
        scenario.add(0.0, Happening::PiecesHung { pieces: vec![piece] });
        scenario.stage(BatchStage::Drying, 0.0);
        scenario
    }

    pub(super) fn add(&mut self, hours: f64, what: Happening) -> &mut Self {
        self.of(Subject::Batch(BatchId(3)), hours, what)
    }

    fn of(&mut self, subject: Subject, hours: f64, what: Happening) -> &mut Self {
        let at = self.begin + TimeDelta::seconds((hours * 3600.0) as i64);
        let before = self.events.last().map_or(1, |event| event.id.0);
        self.events.push(Event {
            id: EventId(before + 1),
            subject,
            at,
            recorded_at: at,
            author: Some(MemberId(1)),
            zone: "UTC".to_owned(),
            what,
            typed: String::new(),
        });
        self
    }

    pub(super) fn stage(&mut self, stage: BatchStage, hours: f64) -> &mut Self {
        self.add(hours, Happening::StageReached { stage })
    }

    pub(super) fn room(&mut self, hours: f64, celsius: f64) -> &mut Self {
        let temperature = Some(Temperature::celsius(celsius));
        self.of(Subject::Chamber(ChamberId(1)), hours, Happening::RoomRead { temperature, humidity: None })
    }

    pub(super) fn set(&mut self, hours: f64, celsius: f64) -> &mut Self {
        let what = Happening::RoomSet {
            temperature: Some(Temperature::celsius(celsius)),
            humidity: None,
            hysteresis_celsius: 0.0,
        };
        self.of(Subject::Chamber(ChamberId(1)), hours, what)
    }

    pub(super) fn ph(&mut self, hours: f64, ph: f64) -> &mut Self {
        self.ph_by(hours, ph, Instrument::Meter, None)
    }

    pub(super) fn ph_by(
        &mut self,
        hours: f64,
        ph: f64,
        instrument: Instrument,
        calibration: Option<Calibration>,
    ) -> &mut Self {
        let sample_temperature = Some(Temperature::celsius(21.0));
        self.add(hours, Happening::PhRead { ph: Ph::new(ph), instrument, sample_temperature, calibration })
    }

    pub(super) fn weigh(&mut self, piece: u32, days: f64, grams: f64) -> &mut Self {
        let subject = Subject::Piece(BatchId(3), PieceNumber(piece));
        self.of(subject, days * 24.0, Happening::Weighed { gross: Mass::grams(grams) })
    }

    pub(super) fn weigh_all(&mut self, days: f64, grams: f64) -> &mut Self {
        self.add(days * 24.0, Happening::Weighed { gross: Mass::grams(grams) })
    }

    pub(super) fn leave(&mut self, piece: u32, days: f64, fate: PieceFate) -> &mut Self {
        let subject = Subject::Piece(BatchId(3), PieceNumber(piece));
        self.of(subject, days * 24.0, Happening::PieceLeft { fate, reason: String::new() })
    }

    pub(super) fn plan(&self, zone: Tz, at_night: bool) -> Vec<PlannedReminder> {
        let start = Event {
            id: EventId(1),
            subject: Subject::Batch(BatchId(3)),
            at: self.begin - TimeDelta::hours(1),
            recorded_at: self.begin,
            author: Some(MemberId(1)),
            zone: "UTC".to_owned(),
            what: Happening::Started { plan: self.batch.clone() },
            typed: String::new(),
        };
        let (mut batch, room): (Vec<Event>, Vec<Event>) =
            self.events.iter().cloned().partition(|event| event.subject.batch().is_some());
        batch.push(start);
        let state = BatchState::rebuild(&batch).expect("a batch that was started");
        let quiet = (!at_night).then(QuietHours::default);
        plan(&PlanInput { state: &state, climate: &Climate::of(&room), zone, quiet })
    }
}

/// Any batch with any entries, sensible or not.
pub(super) fn any() -> impl Strategy<Value = Scenario> {
    let kind = proptest::sample::select(BatchKind::ALL.to_vec());
    let stage = proptest::sample::select(BatchStage::ALL.to_vec());
    let thickness = proptest::option::of(1.0..300.0_f64);
    let loss = proptest::option::of(0.1..90.0_f64);
    let entries = proptest::collection::vec((0..7_u8, 0.0..900.0_f64, 0.0..1.0_f64), 0..25);
    let begin = 0_i64..20_000;
    (kind, stage, thickness, loss, entries, begin).prop_map(
        |(kind, stage, thickness, loss, entries, begin)| {
            let mut scenario = Scenario::new(kind, "2025-11-01T00:00:00Z");
            scenario.begin += TimeDelta::minutes(begin * 15);
            scenario.batch.thickness = thickness.map(Length::millimetres);
            scenario.batch.target_loss = loss.map(Fraction::percent);
            scenario.stage(stage, 1.0);
            for (what, hours, size) in entries {
                entry(&mut scenario, what, hours, size);
            }
            scenario
        },
    )
}

fn entry(scenario: &mut Scenario, what: u8, hours: f64, size: f64) {
    match what {
        0 => scenario.room(hours, size * 45.0),
        1 => scenario.set(hours, size * 45.0),
        2 => scenario.ph(hours, 4.0 + 3.0 * size),
        3 => scenario.ph_by(hours, 4.0 + 3.0 * size, Instrument::Meter, Some(calibrated())),
        4 => {
            let piece = PieceHung {
                number: PieceNumber((size * 5.0) as u32),
                hung: Mass::grams(1000.0 * size),
                tare: Mass::grams(20.0),
                before_cure: None,
            };
            scenario.add(hours, Happening::PiecesHung { pieces: vec![piece] })
        }
        5 => scenario.weigh((size * 5.0) as u32, hours / 24.0, 1000.0 * size),
        _ => scenario.stage(BatchStage::ALL[(size * 9.0) as usize % 9], hours),
    };
}
