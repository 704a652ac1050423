//! The text of a data logger's file, or of a table of weighings, as typed rows and an account of what was understood.
//!
//! Delimited text as RFC 4180 has it and as loggers really write it: lines about the device before the heads, decimal
//! commas, dates in three orders, clocks that are put back. What the file leaves open is never guessed: it is refused
//! by name, so that the member can be asked, and the answer comes in [`Asked`].
//!
//! Nothing here is kept, worded, or asks for the time. Lines and columns count from 1, as people do; texts in a
//! [`Fault`] or [`Refused`] are harmless to repeat.

mod air;
mod cell;
mod decimals;
mod faults;
mod find;
mod heads;
mod layout;
mod reading;
mod refused;
mod rows;
mod split;
mod text;
mod time;
mod timeline;
mod understood;
mod weights;

pub use refused::{Binary, Fault, Place, Refused, What};
pub use understood::{
    Column, DateOrder, DecidedBy, DecimalSign, Delimiter, DoubledHour, Encoding, Ignored, LineEnds, Meaning,
    Understood, ZoneFrom,
};

use crate::quantity::{Mass, MassUnit, RelativeHumidity, Temperature, TemperatureScale};
use chrono::{DateTime, NaiveTime, Utc};
use std::ops::RangeInclusive;

/// Faults that are kept with their line; the others are counted.
pub const MOST_FAULTS: usize = 1000;
/// How far a logger's clock may be ahead.
pub const FUTURE_GRACE_MINUTES: i64 = 5;
/// Rows under the heads that are looked at to know what a column holds.
const SAMPLED: usize = 50;

/// What a file holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Temperature, humidity or both.
    Air,
    /// Weights.
    Weights,
}

/// The largest file that is read, 10 MiB, where nothing else is asked for.
pub const MOST_BYTES: usize = 10 * 1024 * 1024;

/// What the member or the command says where the file does not.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The zone whose clocks the times show, unless the file says an offset.
    pub zone: chrono_tz::Tz,
    /// Now: nothing was logged later.
    pub now: DateTime<Utc>,
    /// Most bytes that are read.
    pub most_bytes: usize,
    /// The time of day of a row that says only a day.
    pub time_of_day: NaiveTime,
    /// What the file should hold; `None` leaves it to the heads.
    pub kind: Option<Kind>,
    /// What the air can be, in °C; a row outside is a fault.
    pub air_celsius: RangeInclusive<f64>,
    /// The scale of temperatures without a unit.
    pub temperature: Option<TemperatureScale>,
    /// The unit of weights without one.
    pub mass: Option<MassUnit>,
    /// The order of dates that could have two.
    pub date_order: Option<DateOrder>,
    /// The decimal sign where every number could have thousands instead.
    pub decimal_sign: Option<DecimalSign>,
    /// The column of the temperature, the first is 1, where the file has several.
    pub temperature_column: Option<u32>,
    /// The column of the humidity, the first is 1, where the file has several.
    pub humidity_column: Option<u32>,
}

impl Asked {
    /// Nothing but zone and time; up to [`MOST_BYTES`], days at nine in the morning, air wider than any sensor of the
    /// trade measures (judgement).
    pub const fn new(zone: chrono_tz::Tz, now: DateTime<Utc>) -> Self {
        let nine = match NaiveTime::from_hms_opt(9, 0, 0) {
            Some(nine) => nine,
            None => NaiveTime::MIN,
        };
        Self {
            zone,
            now,
            most_bytes: MOST_BYTES,
            air_celsius: -60.0..=120.0,
            time_of_day: nine,
            kind: None,
            temperature: None,
            mass: None,
            date_order: None,
            decimal_sign: None,
            temperature_column: None,
            humidity_column: None,
        }
    }
}

/// The air at a moment; at least one of the two.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Its temperature, in the scale of the file.
    pub temperature: Option<Temperature>,
    /// Its relative humidity.
    pub humidity: Option<RelativeHumidity>,
}

/// A weight of a column.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighed {
    /// The column, whose head is in [`Understood::columns`].
    pub column: u32,
    /// The weight, above zero.
    pub mass: Mass,
}

/// A row of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Row<V> {
    /// The line it begins in.
    pub line: u32,
    /// When.
    pub at: DateTime<Utc>,
    /// What.
    pub values: V,
}

/// The rows of a file by time, no two at the same instant.
#[derive(Debug, Clone, PartialEq)]
pub enum Rows {
    /// Temperatures and humidities.
    Air(Vec<Row<Air>>),
    /// Weights, at least one in a row, by column.
    Weights(Vec<Row<Vec<Weighed>>>),
}

/// What was read of a file: at least one row.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// How it was understood.
    pub understood: Understood,
    /// The rows.
    pub rows: Rows,
    /// The lines that are not among them, by line, up to [`MOST_FAULTS`].
    pub faults: Vec<Fault>,
}

/// Reads a file.
///
/// # Errors
/// [`Refused`] where no row can be taken, or where something has to be asked first.
pub fn read(bytes: &[u8], asked: &Asked) -> Result<Sheet, Refused> {
    if bytes.len() > asked.most_bytes {
        return Err(Refused::TooBig { bytes: bytes.len(), most: asked.most_bytes });
    }
    reading::sheet(&text::letters(bytes)?, asked)
}
