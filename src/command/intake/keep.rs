//! From an item to what the record keeps.

use crate::command::intake::item::{Item, What};
use crate::quantity::{Mass, RelativeHumidity, Temperature};
use crate::record::{Happening, PieceHung, PieceNumber};
use chrono::{DateTime, Utc};

/// What stands in for the parts of an item that a line did not say: the caller knows the record.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unsaid {
    /// The tare of pieces hung without one.
    pub tare: Mass,
    /// The chamber's set point before.
    pub set_temperature: Option<Temperature>,
    /// The chamber's humidity set point before.
    pub set_humidity: Option<RelativeHumidity>,
    /// The controller's hysteresis before, in °C.
    pub hysteresis_celsius: f64,
    /// When the min/max thermometer was last read.
    pub extremes_since: DateTime<Utc>,
}

impl Item {
    /// As the record keeps it; `unsaid` stands in for what the line left out.
    pub fn happening(&self, unsaid: Unsaid) -> Happening {
        match self.what.clone() {
            What::Weighed { gross } => Happening::Weighed { gross },
            What::Hung { pieces, tare } => hung(&pieces, tare.unwrap_or(unsaid.tare)),
            What::Tare { tare } => Happening::TareSet { tare },
            What::Ph { ph, instrument, sample_temperature, calibration } => {
                Happening::PhRead { ph, instrument, sample_temperature, calibration }
            }
            What::Room { temperature, humidity } => Happening::RoomRead { temperature, humidity },
            What::Setting { temperature, humidity, hysteresis_celsius } => Happening::RoomSet {
                temperature: temperature.or(unsaid.set_temperature),
                humidity: humidity.or(unsaid.set_humidity),
                hysteresis_celsius: hysteresis_celsius.unwrap_or(unsaid.hysteresis_celsius),
            },
            What::Extremes { since, max, min } => {
                Happening::RoomExtremes { since: since.unwrap_or(unsaid.extremes_since), max, min }
            }
            What::PowerOut { since, reached } => Happening::PowerOut { since, reached },
            What::Observed { kind, text } => Happening::Observed { kind, text },
            What::Left { fate, reason } => Happening::PieceLeft { fate, reason },
        }
    }
}

fn hung(pieces: &[(PieceNumber, Mass)], tare: Mass) -> Happening {
    let one = |(number, hung): &(PieceNumber, Mass)| PieceHung {
        number: *number,
        hung: *hung,
        tare,
        before_cure: None,
    };
    Happening::PiecesHung { pieces: pieces.iter().map(one).collect() }
}
