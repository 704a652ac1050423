//! What a line turned out to say.

use crate::quantity::{Mass, MassUnit, Ph, RelativeHumidity, Temperature, TemperatureScale};
use crate::record::event::ObservationKind;
use crate::record::{Calibration, Instrument, PieceFate, PieceNumber};
use chrono::{DateTime, Utc};
use chrono_tz::Tz;

/// What is known beside the line: the member's settings and the batch that is spoken of.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// This moment.
    pub now: DateTime<Utc>,
    /// The member's time zone.
    pub zone: Tz,
    /// Unit of a weight without one, where only a weight can stand.
    pub mass_unit: MassUnit,
    /// Scale of "13°".
    pub temperature_scale: TemperatureScale,
    /// The pieces that hang, in order, each with what the scale last showed. Empty while the batch is not known.
    pub pieces: &'a [(PieceNumber, Mass)],
    /// The last weighing of the batch as a whole.
    pub batch_total: Option<Mass>,
    /// The raw meat of the batch.
    pub meat: Option<Mass>,
}

impl Context<'_> {
    /// What the scale last showed for a piece.
    pub fn last_weight(&self, piece: PieceNumber) -> Option<Mass> {
        self.pieces.iter().find(|(number, _)| *number == piece).map(|(_, weight)| *weight)
    }

    /// What the batch as a whole weighed last, else what its pieces weigh together.
    pub fn last_total(&self) -> Option<Mass> {
        let sum = || self.pieces.iter().map(|(_, weight)| *weight).sum();
        self.batch_total.or_else(|| (!self.pieces.is_empty()).then(sum))
    }
}

/// Whose a reading is, in a batch and chamber that the caller knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whose {
    /// The batch as a whole.
    Batch,
    /// One piece.
    Piece(PieceNumber),
    /// The small packet beside the batch.
    Sample,
    /// The chamber.
    Chamber,
}

/// What was read, done or seen.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// The scale's reading, tare included.
    Weighed {
        /// What the scale showed.
        gross: Mass,
    },
    /// Pieces hung, numbered as typed or from 1.
    Hung {
        /// Each with what the scale showed.
        pieces: Vec<(PieceNumber, Mass)>,
        /// The tare of each, where it was said.
        tare: Option<Mass>,
    },
    /// The tare of every piece.
    Tare {
        /// Of one piece.
        tare: Mass,
    },
    /// A pH reading.
    Ph {
        /// The value as typed; not yet judged.
        ph: Ph,
        /// Strip or meter.
        instrument: Instrument,
        /// Temperature of the sample.
        sample_temperature: Option<Temperature>,
        /// The meter's last check, where anything of it was said.
        calibration: Option<Calibration>,
    },
    /// The air of a chamber.
    Room {
        /// Temperature.
        temperature: Option<Temperature>,
        /// Relative humidity.
        humidity: Option<RelativeHumidity>,
    },
    /// A chamber was set. What was not said stays as it was set before.
    Setting {
        /// Set point.
        temperature: Option<Temperature>,
        /// Humidity set point.
        humidity: Option<RelativeHumidity>,
        /// How far above the set point the controller lets it drift, in °C.
        hysteresis_celsius: Option<f64>,
    },
    /// What a min/max thermometer remembers.
    Extremes {
        /// Since when; `None` when it was not said: since it was last read.
        since: Option<DateTime<Utc>>,
        /// Warmest.
        max: Temperature,
        /// Coldest.
        min: Option<Temperature>,
    },
    /// The chamber was without power until the time of the reading.
    PowerOut {
        /// From when.
        since: DateTime<Utc>,
        /// The warmest it is known to have been.
        reached: Option<Temperature>,
    },
    /// Something seen, smelled or felt.
    Observed {
        /// What sort of thing.
        kind: ObservationKind,
        /// In the member's words.
        text: String,
    },
    /// A piece left.
    Left {
        /// How.
        fate: PieceFate,
        /// Why, in the member's words; may be empty.
        reason: String,
    },
}

/// One thing a line says, with the words it was read from.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Whose.
    pub whose: Whose,
    /// What.
    pub what: What,
    /// The words.
    pub typed: String,
}

/// When a line's readings were made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct When {
    /// The moment.
    pub at: DateTime<Utc>,
    /// The words.
    pub typed: String,
}

/// A line as understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Understood {
    /// The batch it names: `B3`, or a name.
    pub batch: Option<String>,
    /// The chamber it names: "chamber cellar".
    pub chamber: Option<String>,
    /// A place it mentions without "chamber": "fridge", "box". Where the member has a chamber of that name it is meant;
    /// otherwise the word says nothing.
    pub place: Option<String>,
    /// When; `None`: now.
    pub at: Option<When>,
    /// What it says, in order.
    pub items: Vec<Item>,
    /// What was not understood, in the member's words.
    pub leftover: Vec<String>,
    /// Whether what was not understood may change what was: a digit, a "not", a "target", a question mark, or a word
    /// right beside a bare figure. Then nothing is kept before the member said yes.
    pub is_doubtful: bool,
}
