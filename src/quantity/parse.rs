//! Text to quantity. (to be written)
use super::*;
use thiserror::Error;

/// Why a text is not the quantity it should be.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum QuantityError {
    /// Nothing was typed.
    #[error("nothing was given")]
    Empty,
    /// No number where one belongs.
    #[error("\"{text}\" is not a number")]
    NotANumber {
        /// What was typed, cut to a printable length.
        text: String,
    },
    /// A number without the unit it needs.
    #[error("\"{text}\" needs a unit: {accepted}")]
    UnitMissing {
        /// What was typed.
        text: String,
        /// The units that are read here.
        accepted: &'static str,
    },
    /// A unit that is not on the list.
    #[error("\"{unit}\" is not a unit I know here; I read {accepted}")]
    UnitUnknown {
        /// The unit as typed.
        unit: String,
        /// The units that are read here.
        accepted: &'static str,
    },
    /// A percentage without its sign.
    #[error("\"{text}\" needs its percent sign: {text} %")]
    PercentSignNeeded {
        /// What was typed.
        text: String,
    },
    /// Two readings are possible and neither is absurd.
    #[error("\"{text}\" can be read as {low} or as {high}")]
    NumberAmbiguous {
        /// What was typed.
        text: String,
        /// The smaller reading, printed with unit.
        low: String,
        /// The larger reading, printed with unit.
        high: String,
    },
    /// A number outside what the quantity can be.
    #[error("{text} is outside {range}")]
    OutOfRange {
        /// What was typed.
        text: String,
        /// The range, printed with unit.
        range: String,
    },
}

/// A mass.
pub fn mass(_text: &str) -> Result<Mass, QuantityError> {
    Err(QuantityError::Empty)
}
