//! One entry of the record.

use super::appraisal::Appraisal;
use super::batch::{BatchPlan, BatchStage, Dose, PieceFate, PieceHung};
use super::ids::{BatchId, ChamberId, EventId, MemberId, MeterId, PieceNumber};
use super::meter::{HygrometerCheck, MeterCheck};
use super::reading::{Calibration, Instrument};
use super::storage::Storage;
use crate::quantity::{Mass, Ph, RelativeHumidity, Temperature};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

/// What an event speaks of: exactly one thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Subject {
    /// A batch as a whole.
    Batch(BatchId),
    /// One piece of a batch.
    Piece(BatchId, PieceNumber),
    /// The small packet fermented beside a batch.
    Sample(BatchId),
    /// A chamber; it counts for every batch in it at that time.
    Chamber(ChamberId),
    /// A pH meter.
    Meter(MeterId),
}

impl Subject {
    /// The batch it belongs to, where it is not a chamber or a meter.
    pub const fn batch(self) -> Option<BatchId> {
        match self {
            Self::Batch(batch) | Self::Piece(batch, _) | Self::Sample(batch) => Some(batch),
            Self::Chamber(_) | Self::Meter(_) => None,
        }
    }

    /// The meter, where it is one.
    pub const fn meter(self) -> Option<MeterId> {
        match self {
            Self::Meter(meter) => Some(meter),
            _ => None,
        }
    }

    /// The chamber, where it is one.
    pub const fn chamber(self) -> Option<ChamberId> {
        match self {
            Self::Chamber(chamber) => Some(chamber),
            _ => None,
        }
    }
}

/// What is seen on a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ObservationKind {
    /// Mould, of any colour.
    Mould,
    /// A smell.
    Smell,
    /// A slimy or sticky surface.
    Slime,
    /// A hard, dry rim.
    HardRim,
}

/// What happened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "happening", rename_all = "snake_case")]
pub enum Happening {
    /// A batch was started.
    Started {
        /// As planned.
        plan: BatchPlan,
    },
    /// A batch reached a stage.
    StageReached {
        /// The stage.
        stage: BatchStage,
    },
    /// A batch got its cure.
    Cured {
        /// The dose.
        dose: Dose,
    },
    /// Pieces were hung and weighed; a number that exists already is weighed anew.
    PiecesHung {
        /// The pieces.
        pieces: Vec<PieceHung>,
    },
    /// The tare of every piece.
    TareSet {
        /// Of one piece.
        tare: Mass,
    },
    /// The scale's reading, tare included; of a piece, or of the whole batch.
    Weighed {
        /// What the scale showed.
        gross: Mass,
    },
    /// A pH reading.
    PhRead {
        /// The value.
        ph: Ph,
        /// Strip or meter.
        instrument: Instrument,
        /// Temperature of the sample.
        sample_temperature: Option<Temperature>,
        /// The meter's last check.
        calibration: Option<Calibration>,
    },
    /// The air of a chamber was read.
    RoomRead {
        /// Temperature.
        temperature: Option<Temperature>,
        /// Relative humidity.
        humidity: Option<RelativeHumidity>,
    },
    /// A chamber was set; it holds until the next setting.
    RoomSet {
        /// Set point.
        temperature: Option<Temperature>,
        /// Humidity set point.
        humidity: Option<RelativeHumidity>,
        /// How far above the set point the controller lets it drift, in °C.
        hysteresis_celsius: f64,
    },
    /// A min/max thermometer was read.
    RoomExtremes {
        /// Since when it remembers.
        since: DateTime<Utc>,
        /// Warmest.
        max: Temperature,
        /// Coldest.
        min: Option<Temperature>,
    },
    /// The chamber was without power.
    PowerOut {
        /// From when; the event's own time is when it was over.
        since: DateTime<Utc>,
        /// The warmest it is known to have been.
        reached: Option<Temperature>,
    },
    /// A data logger's file was kept; the event's own time is that of its last row.
    AirLogged {
        /// What the file is called.
        file: String,
        /// The time of its first row.
        first: DateTime<Utc>,
        /// How many rows were kept.
        rows: u32,
    },
    /// A pH meter was checked in buffers; readings made after it lean on it.
    MeterChecked {
        /// What was read.
        check: MeterCheck,
    },
    /// A chamber's hygrometer was checked over salt jars; readings made after it are corrected by it.
    HygrometerChecked {
        /// Which one, where the member named it.
        name: Option<String>,
        /// What was read.
        check: HygrometerCheck,
    },
    /// A batch was moved to another chamber.
    Moved {
        /// Which one.
        chamber: ChamberId,
    },
    /// Something was seen, smelled or felt.
    Observed {
        /// What sort of thing.
        kind: ObservationKind,
        /// In the member's words.
        text: String,
    },
    /// It was put away.
    Stored {
        /// How, and what was measured.
        storage: Storage,
    },
    /// It was finished and judged: what it weighs, how it turned out.
    Appraised {
        /// What was said of it.
        appraisal: Appraisal,
    },
    /// A private note.
    Noted {
        /// In the member's words.
        text: String,
    },
    /// A piece left the batch.
    PieceLeft {
        /// How.
        fate: PieceFate,
        /// Why, in the member's words.
        reason: String,
    },
    /// The batch was thrown away.
    Discarded {
        /// Why.
        reason: String,
    },
    /// An earlier event does not count.
    Undone {
        /// Which.
        of: EventId,
    },
    /// An earlier event counts with another content.
    Changed {
        /// Which.
        of: EventId,
        /// What it should have said.
        to: Box<Happening>,
    },
}

impl Happening {
    /// A stable word for the kind of entry, as scripts see it.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Started { .. } => "batch_started",
            Self::StageReached { .. } => "stage",
            Self::Cured { .. } => "cure",
            Self::PiecesHung { .. } => "pieces_hung",
            Self::TareSet { .. } => "tare",
            Self::Weighed { .. } => "weight",
            Self::PhRead { .. } => "ph",
            Self::RoomRead { .. } => "room_reading",
            Self::RoomSet { .. } => "room_setting",
            Self::RoomExtremes { .. } => "room_extremes",
            Self::PowerOut { .. } => "power_out",
            Self::AirLogged { .. } => "air_logged",
            Self::MeterChecked { .. } => "meter_check",
            Self::HygrometerChecked { .. } => "hygrometer_check",
            Self::Moved { .. } => "moved",
            Self::Observed { .. } => "observation",
            Self::Stored { .. } => "stored",
            Self::Appraised { .. } => "appraisal",
            Self::Noted { .. } => "note",
            Self::PieceLeft { .. } => "piece_left",
            Self::Discarded { .. } => "discarded",
            Self::Undone { .. } => "undone",
            Self::Changed { .. } => "changed",
        }
    }
}

/// One entry of the record. Never altered once kept.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Event {
    /// Its number, also its place among entries of one time.
    pub id: EventId,
    /// What it speaks of.
    pub subject: Subject,
    /// When it happened.
    pub at: DateTime<Utc>,
    /// When it was written down.
    pub recorded_at: DateTime<Utc>,
    /// Who wrote it; nobody once they erased themselves.
    pub author: Option<MemberId>,
    /// The time zone it was written in, e.g. `Europe/Rome`.
    pub zone: String,
    /// What happened.
    pub what: Happening,
    /// The words it was read from.
    pub typed: String,
}
