//! The whole grammar, line by line: what the tests share.

mod chamber;
mod doubts;
mod german;
mod lines;
mod pieces;

use super::*;
use crate::quantity::QuantityError;
use crate::quantity::{Mass, MassUnit, Ph, RelativeHumidity, Temperature, TemperatureScale};
use crate::record::event::ObservationKind;
use crate::record::{Calibration, Instrument, PieceFate, PieceNumber};
use chrono::{DateTime, Utc};
use chrono_tz::Tz;

/// Tuesday 10 November 2026, 15:00 in Berlin.
const NOW: &str = "2026-11-10T14:00:00Z";

fn at(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

fn pieces(weights: &[f64]) -> Vec<(PieceNumber, Mass)> {
    (1..).zip(weights).map(|(number, weight)| (PieceNumber(number), Mass::grams(*weight))).collect()
}

/// Six sticks that hang.
fn six() -> Vec<(PieceNumber, Mass)> {
    pieces(&[650.0, 665.0, 655.0, 640.0, 670.0, 648.0])
}

fn with(pieces: &[(PieceNumber, Mass)]) -> Context<'_> {
    Context {
        now: at(NOW),
        zone: Tz::Europe__Berlin,
        mass_unit: MassUnit::Gram,
        temperature_scale: TemperatureScale::Celsius,
        pieces,
        batch_total: None,
        meat: None,
    }
}

fn understood(line: &str, pieces: &[(PieceNumber, Mass)]) -> Understood {
    match read(line, &with(pieces)) {
        Ok(Some(found)) => found,
        other => panic!("{line:?} gave {other:?}"),
    }
}

/// Reads a line of which nothing may be left over.
fn said(line: &str, pieces: &[(PieceNumber, Mass)]) -> Vec<(Whose, What)> {
    let found = understood(line, pieces);
    assert_eq!(found.leftover, Vec::<String>::new(), "{line:?}");
    assert!(!found.is_doubtful, "{line:?}");
    found.items.into_iter().map(|item| (item.whose, item.what)).collect()
}

fn error(line: &str, pieces: &[(PieceNumber, Mass)]) -> IntakeError {
    match read(line, &with(pieces)) {
        Err(error) => error,
        other => panic!("{line:?} gave {other:?}"),
    }
}

fn weighed(whose: Whose, grams: f64) -> (Whose, What) {
    (whose, What::Weighed { gross: Mass::grams(grams) })
}

fn piece(number: u32, grams: f64) -> (Whose, What) {
    weighed(Whose::Piece(PieceNumber(number)), grams)
}

fn ph(value: f64) -> (Whose, What) {
    ph_of(Whose::Batch, value, Instrument::Meter, None, None)
}

fn ph_of(
    whose: Whose,
    value: f64,
    instrument: Instrument,
    sample_temperature: Option<Temperature>,
    calibration: Option<Calibration>,
) -> (Whose, What) {
    (whose, What::Ph { ph: Ph::new(value), instrument, sample_temperature, calibration })
}

fn room(celsius: Option<f64>, humidity: Option<f64>) -> (Whose, What) {
    (
        Whose::Chamber,
        What::Room {
            temperature: celsius.map(Temperature::celsius),
            humidity: humidity.map(RelativeHumidity::percent),
        },
    )
}

fn set(celsius: Option<f64>, humidity: Option<f64>, hysteresis_celsius: Option<f64>) -> (Whose, What) {
    (
        Whose::Chamber,
        What::Setting {
            temperature: celsius.map(Temperature::celsius),
            humidity: humidity.map(RelativeHumidity::percent),
            hysteresis_celsius,
        },
    )
}

fn seen(whose: Whose, kind: ObservationKind, text: &str) -> (Whose, What) {
    (whose, What::Observed { kind, text: text.to_owned() })
}

fn left(number: u32, fate: PieceFate, reason: &str) -> (Whose, What) {
    (Whose::Piece(PieceNumber(number)), What::Left { fate, reason: reason.to_owned() })
}
