//! Why a brine cannot be worked out.

use crate::quantity::format::trimmed;
use thiserror::Error;

/// Why a brine cannot be worked out: one sentence in plain words.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum BrineError {
    /// No salt in it, or more than water dissolves.
    #[error(
        "{} % salt is no brine: more than 0 % and at most 26.395 %, where water is full",
        trimmed(*.percent, 2),
    )]
    Strength {
        /// What was given, in percent by mass.
        percent: f64,
    },
    /// A reading off the scale.
    #[error("{} salometer degrees are off the scale: above 0 and at most 100", trimmed(*.degrees, 1))]
    Degrees {
        /// What was read.
        degrees: f64,
    },
    /// Colder or warmer than the densities were measured.
    #[error("{} °C is outside the densities I hold: 0 °C to 40 °C", trimmed(*.celsius, 1))]
    Temperature {
        /// What was given, in °C.
        celsius: f64,
    },
    /// Stronger than the densities go.
    #[error(
        "the densities I hold end at 22.6 % salt (85 salometer degrees): weigh a brine as strong as that"
    )]
    BeyondDensities,
    /// No volume at all.
    #[error("a volume of brine or water is above 0 l")]
    Volume,
    /// More salt than the densities go to, in a volume of pickle.
    #[error(
        "that much salt makes the pickle stronger than 22.6 %, where the densities I hold end: give its weight"
    )]
    TooMuchSalt,
}
