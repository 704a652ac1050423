//! An entry that was kept, as a reply lists it.

use super::unit;
use crate::record::{Appraisal, Happening};
use chrono::{DateTime, Utc};
use serde::Serialize;

/// One entry that was kept.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stored {
    /// The entry's number.
    pub id: i64,
    /// What sort of entry.
    pub kind: &'static str,
    /// What it speaks of: `B3`, `B3 #2`, `chamber home`.
    pub of: String,
    /// When it happened.
    pub at: DateTime<Utc>,
    /// Its number in `unit`, where it has one.
    pub value: Option<f64>,
    /// The fixed unit of `value`.
    pub unit: Option<&'static str>,
    /// The words it was read from.
    pub typed: String,
    /// The words that say it anew, where it can be changed by saying them otherwise; else empty.
    #[serde(skip)]
    pub words: String,
}

/// The one number of an entry, with its fixed unit, where it has one.
pub fn figure_of(what: &Happening) -> (Option<f64>, Option<&'static str>) {
    let figure = match what {
        Happening::Weighed { gross } => Some((gross.as_grams(), unit::GRAM)),
        Happening::TareSet { tare } => Some((tare.as_grams(), unit::GRAM)),
        Happening::PiecesHung { pieces } => {
            Some((pieces.iter().map(|piece| piece.hung.as_grams()).sum(), unit::GRAM))
        }
        Happening::Cured { dose } => Some((dose.ingoing_nitrite_mg_per_kg, unit::MG_PER_KG)),
        Happening::Appraised { appraisal: Appraisal { finished_weight: Some(weight), .. } } => {
            Some((weight.as_grams(), unit::GRAM))
        }
        Happening::PhRead { ph, .. } => Some((ph.value(), unit::ONE)),
        Happening::RoomRead { temperature: Some(read), .. }
        | Happening::RoomSet { temperature: Some(read), .. } => Some((read.as_celsius(), unit::CELSIUS)),
        Happening::RoomExtremes { max, .. } => Some((max.as_celsius(), unit::CELSIUS)),
        Happening::PowerOut { reached: Some(reached), .. } => Some((reached.as_celsius(), unit::CELSIUS)),
        Happening::RoomRead { humidity: Some(read), .. }
        | Happening::RoomSet { humidity: Some(read), .. } => Some((read.as_percent(), unit::PERCENT)),
        _ => None,
    };
    (figure.map(|(value, _)| value), figure.map(|(_, unit)| unit))
}
