//! One entry of the file: what it is about, when, by whom, and what happened, as a stable word with its values.

use super::parts::{Appraisal, BufferPoint, Calibration, Dose, Photo, PieceHung, Plan, SaltPoint, Storage};
use super::values::{Degrees, Grams, HumidityPercent, PhNumber};
use crate::record::event::ObservationKind;
use crate::record::{BatchStage, Instrument, PieceFate};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

/// One entry. Entries are never altered: what was wrong is undone or changed by a later one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Its number, also its place among entries of one time.
    pub id: i64,
    /// What it speaks of.
    pub about: About,
    /// When it happened.
    pub at: DateTime<Utc>,
    /// When it was written down.
    pub recorded_at: DateTime<Utc>,
    /// The time zone it was written in, e.g. `Europe/Rome`.
    pub zone: String,
    /// Who wrote it.
    pub by: By,
    /// What happened.
    pub what: What,
    /// The words it was read from; empty where somebody else typed them.
    pub typed: String,
}

/// Who wrote an entry. Of others it is not said who they are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum By {
    /// Whose file this is.
    Owner,
    /// Somebody else, or somebody who erased themselves.
    Another,
}

/// What an entry speaks of: exactly one thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum About {
    /// A batch as a whole, by its number.
    Batch(i64),
    /// One piece of a batch.
    Piece {
        /// The batch's number.
        batch: i64,
        /// The piece's number.
        number: u32,
    },
    /// The small packet fermented beside a batch, by the batch's number.
    Sample(i64),
    /// A chamber, by its number.
    Chamber(i64),
    /// A pH meter, by its number.
    Meter(i64),
}

/// What happened: a word, and the values that go with it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", content = "values", rename_all = "snake_case", deny_unknown_fields)]
pub enum What {
    /// A batch was started.
    BatchStarted(Plan),
    /// A batch reached a stage.
    Stage {
        /// The stage.
        stage: BatchStage,
    },
    /// A batch got its cure.
    Cure(Dose),
    /// Pieces were hung and weighed.
    PiecesHung {
        /// The pieces.
        pieces: Vec<PieceHung>,
    },
    /// The tare of every piece.
    Tare {
        /// Of one piece.
        tare_g: Grams,
    },
    /// A weighing, of a piece or of the whole batch.
    Weight {
        /// What the scale showed, tare included.
        gross_g: Grams,
    },
    /// A pH reading.
    Ph {
        /// The value.
        ph: PhNumber,
        /// Strip or meter.
        instrument: Instrument,
        /// Temperature of the sample.
        #[serde(skip_serializing_if = "Option::is_none")]
        sample_temperature: Option<Degrees>,
        /// The meter's last check.
        #[serde(skip_serializing_if = "Option::is_none")]
        calibration: Option<Calibration>,
    },
    /// The air of a chamber was read.
    RoomReading {
        /// Temperature.
        #[serde(skip_serializing_if = "Option::is_none")]
        temperature: Option<Degrees>,
        /// Relative humidity.
        #[serde(skip_serializing_if = "Option::is_none")]
        humidity_percent: Option<HumidityPercent>,
    },
    /// A chamber was set; it holds until the next setting.
    RoomSetting {
        /// Set point.
        #[serde(skip_serializing_if = "Option::is_none")]
        temperature: Option<Degrees>,
        /// Humidity set point.
        #[serde(skip_serializing_if = "Option::is_none")]
        humidity_percent: Option<HumidityPercent>,
        /// How far above the set point the controller lets it drift, in °C.
        hysteresis_c: f64,
    },
    /// A min/max thermometer was read.
    RoomExtremes {
        /// Since when it remembers.
        since: DateTime<Utc>,
        /// Warmest.
        max: Degrees,
        /// Coldest.
        #[serde(skip_serializing_if = "Option::is_none")]
        min: Option<Degrees>,
    },
    /// The chamber was without power until the entry's time.
    PowerOut {
        /// From when.
        since: DateTime<Utc>,
        /// The warmest it is known to have been.
        #[serde(skip_serializing_if = "Option::is_none")]
        reached: Option<Degrees>,
    },
    /// A data logger's file was kept; its rows stand in `logged_air`. The entry's own time is that of the last row.
    AirLogged {
        /// What the file is called.
        file: String,
        /// The time of its first row.
        first: DateTime<Utc>,
        /// How many rows were kept.
        rows: u32,
    },
    /// A pH meter was checked in buffers.
    MeterCheck {
        /// Temperature of the buffers.
        temperature: Degrees,
        /// What it showed in each.
        points: Vec<BufferPoint>,
        /// The slope the meter itself says it found, in percent.
        #[serde(skip_serializing_if = "Option::is_none")]
        said_slope_percent: Option<f64>,
    },
    /// A chamber's hygrometer was checked over salt jars.
    HygrometerCheck {
        /// Which one, where it was named.
        #[serde(skip_serializing_if = "Option::is_none")]
        name: Option<String>,
        /// The jars.
        points: Vec<SaltPoint>,
    },
    /// A batch was moved to another chamber.
    Moved {
        /// Which one.
        chamber: i64,
    },
    /// Something was seen, smelled or felt.
    Observation {
        /// What sort of thing.
        of: ObservationKind,
        /// In words.
        text: String,
    },
    /// A batch was put away.
    Stored(Storage),
    /// A batch was finished and judged.
    Appraisal(Appraisal),
    /// Photos came with a message; the file says where each stands, never what it shows.
    Picture {
        /// Each of them.
        pictures: Vec<Photo>,
    },
    /// A private note.
    Note {
        /// In words.
        text: String,
    },
    /// A piece left the batch.
    PieceLeft {
        /// How.
        fate: PieceFate,
        /// Why, in words.
        reason: String,
    },
    /// The batch was thrown away.
    Discarded {
        /// Why.
        reason: String,
    },
    /// An earlier entry does not count.
    Undone {
        /// Which.
        of: i64,
    },
    /// An earlier entry counts with another content.
    Changed {
        /// Which.
        of: i64,
        /// What it should have said.
        to: Box<What>,
    },
}

impl What {
    /// Every word that `kind` may be, so that one of a later version is refused by name.
    pub const WORDS: [&'static str; 24] = [
        "batch_started",
        "stage",
        "cure",
        "pieces_hung",
        "tare",
        "weight",
        "ph",
        "room_reading",
        "room_setting",
        "room_extremes",
        "power_out",
        "air_logged",
        "meter_check",
        "hygrometer_check",
        "moved",
        "observation",
        "stored",
        "appraisal",
        "picture",
        "note",
        "piece_left",
        "discarded",
        "undone",
        "changed",
    ];
}
