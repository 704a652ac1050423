//! Values that carry their unit and, where it matters, their basis.
//!
//! Every type keeps one canonical unit inside and is made and read through functions that name the unit.
//! A temperature also keeps the scale it was given in: a rule written in °F is judged in °F, on the number
//! that was typed, not on one that went through °C and back.
//!
//! Text goes in through [`parse`] and out through [`mod@format`]; comparisons for a rule go through [`compare`].

pub mod basis;
pub mod compare;
mod exact;
pub mod format;
mod measure;
pub mod parse;
mod temperature;

pub use basis::{AmountBasis, Cation, Concentration, Stage, WeightBasis};
pub use measure::{
    Fraction, Hours, Length, LengthUnit, Mass, MassUnit, Ph, Pressure, RelativeHumidity, Voltage, Volume,
    VolumeUnit, WaterActivity,
};
pub use parse::{MassReading, NumberReading, QuantityError};
pub use temperature::{Temperature, TemperatureScale};
