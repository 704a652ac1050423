//! The table of readings: what was weighed and measured, one a row.

use super::line::{HEADERS, Lines, said, utc};
use super::table::Cell;
use crate::quantity::{Mass, MassUnit, Temperature, TemperatureScale};
use crate::record::{
    BatchState, Event, Happening, Instrument, MemberSettings, PieceHung, PieceNumber, Subject,
};
use crate::store::Everything;
use chrono::{DateTime, Utc};

/// The headers, with the member's own units beside grams and degrees Celsius where they are others.
pub(super) fn header(settings: &MemberSettings) -> Vec<String> {
    let mut header: Vec<String> = HEADERS.map(str::to_owned).into();
    for name in ["gross_weight", "tare", "net_weight"] {
        header.push(format!("{name}_g"));
        header.extend(own_mass(settings).map(|unit| format!("{name}_{}", unit.symbol())));
    }
    header.extend(["ph", "ph_instrument"].map(str::to_owned));
    for name in ["sample_temperature", "temperature", "max_temperature", "min_temperature"] {
        header.push(format!("{name}_c"));
        header.extend(own_scale(settings).map(|_| format!("{name}_f")));
    }
    header.extend(["humidity_percent", "since_utc"].map(str::to_owned));
    header
}

/// A row for each reading; for pieces that were hung one each.
pub(super) fn rows(everything: &Everything, lines: &Lines<'_>, settings: &MemberSettings) -> Vec<Vec<Cell>> {
    let mut rows = Vec::new();
    for event in &everything.entries {
        for reading in Reading::all(event, &everything.batches) {
            let mut row = lines.of(&reading.of);
            row.extend(reading.cells(settings));
            rows.push(row);
        }
    }
    rows
}

/// What one row says.
#[derive(Debug, Clone)]
struct Reading {
    /// The entry, about the one piece where it is about several.
    of: Event,
    gross: Option<Mass>,
    tare: Option<Mass>,
    ph: Option<f64>,
    instrument: Option<Instrument>,
    sample: Option<Temperature>,
    air: Option<Temperature>,
    max: Option<Temperature>,
    min: Option<Temperature>,
    humidity_percent: Option<f64>,
    since: Option<DateTime<Utc>>,
}

impl Reading {
    /// Nothing read yet.
    fn of(event: &Event) -> Self {
        Self {
            of: event.clone(),
            gross: None,
            tare: None,
            ph: None,
            instrument: None,
            sample: None,
            air: None,
            max: None,
            min: None,
            humidity_percent: None,
            since: None,
        }
    }

    /// Every reading of an entry.
    fn all(event: &Event, batches: &[BatchState]) -> Vec<Self> {
        let mut reading = Self::of(event);
        match said(&event.what) {
            Happening::PiecesHung { pieces } => {
                return pieces.iter().map(|piece| Self::hung(event, *piece)).collect();
            }
            Happening::Weighed { gross } => {
                (reading.gross, reading.tare) = (Some(*gross), tare(event.subject, batches));
            }
            Happening::PhRead { ph, instrument, sample_temperature, .. } => {
                (reading.ph, reading.instrument) = (Some(ph.value()), Some(*instrument));
                reading.sample = *sample_temperature;
            }
            Happening::RoomRead { temperature, humidity }
            | Happening::RoomSet { temperature, humidity, .. } => {
                reading.air = *temperature;
                reading.humidity_percent = humidity.map(crate::quantity::RelativeHumidity::as_percent);
            }
            Happening::RoomExtremes { since, max, min } => {
                (reading.since, reading.max, reading.min) = (Some(*since), Some(*max), *min);
            }
            Happening::PowerOut { since, reached } => {
                (reading.since, reading.max) = (Some(*since), *reached);
            }
            _ => return Vec::new(),
        }
        vec![reading]
    }

    fn hung(event: &Event, piece: PieceHung) -> Self {
        let subject = match event.subject.batch() {
            Some(batch) => Subject::Piece(batch, piece.number),
            None => event.subject,
        };
        let of = Event { subject, ..event.clone() };
        Self { gross: Some(piece.hung), tare: Some(piece.tare), ..Self::of(&of) }
    }

    /// The cells after those of the entry, as [`header`] names them.
    fn cells(&self, settings: &MemberSettings) -> Vec<Cell> {
        let net = self.gross.zip(self.tare).map(|(gross, tare)| gross - tare);
        let mut cells = Vec::new();
        for mass in [self.gross, self.tare, net] {
            cells.push(Cell::number(mass.map(Mass::as_grams)));
            let unit = own_mass(settings);
            cells.extend(unit.map(|unit| Cell::number(mass.map(|mass| rounded(mass.in_unit(unit))))));
        }
        cells.push(Cell::number(self.ph));
        cells.push(Cell::words(self.instrument.map(|instrument| word(instrument).to_owned())));
        for read in [self.sample, self.air, self.max, self.min] {
            cells.push(Cell::number(read.map(|read| degrees(read, TemperatureScale::Celsius))));
            let scale = own_scale(settings);
            cells.extend(scale.map(|scale| Cell::number(read.map(|read| degrees(read, scale)))));
        }
        cells.push(Cell::number(self.humidity_percent));
        cells.push(Cell::words(self.since.map(utc)));
        cells
    }
}

/// The tare of a piece, as its card counts it.
fn tare(subject: Subject, batches: &[BatchState]) -> Option<Mass> {
    let Subject::Piece(batch, number) = subject else { return None };
    let state = batches.iter().find(|state| state.id == batch)?;
    let piece: PieceNumber = number;
    state.piece(piece).map(|piece| piece.hung.tare)
}

/// The member's unit of weight, where it is not the gram.
fn own_mass(settings: &MemberSettings) -> Option<MassUnit> {
    Some(settings.mass).filter(|unit| *unit != MassUnit::Gram)
}

/// The member's scale, where it is not Celsius.
pub(super) fn own_scale(settings: &MemberSettings) -> Option<TemperatureScale> {
    Some(settings.temperature).filter(|scale| *scale != TemperatureScale::Celsius)
}

/// As it was read in its own scale; in the other one to a ten-thousandth, which is finer than any thermometer.
pub(super) fn degrees(read: Temperature, scale: TemperatureScale) -> f64 {
    let degrees = read.in_scale(scale);
    if read.scale() == scale { degrees } else { rounded(degrees) }
}

/// What was worked out from another unit, to a ten-thousandth.
fn rounded(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}

const fn word(instrument: Instrument) -> &'static str {
    match instrument {
        Instrument::Meter => "meter",
        Instrument::Strip => "strip",
    }
}
