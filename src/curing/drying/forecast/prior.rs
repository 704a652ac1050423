//! What is expected of a piece before it was weighed: where its drying ends, the bend of its curve, and its pace.
//!
//! Fitted by others to simulated and published dryings and set between published end points by judgement; a weak guide by
//! itself (35 mm to 35 % in 30 days, 55 mm to 35 % in 60, 80 mm to 30 % in 75 all lie inside it, the middle a quarter
//! early).

use super::experience::Expectation;
use crate::quantity::Length;
use crate::record::BatchKind;

/// What dries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Class {
    /// A sausage.
    Sausage,
    /// A whole muscle.
    WholeMuscle,
}

impl Class {
    /// Of a kind of batch.
    pub const fn of(kind: BatchKind) -> Self {
        match kind {
            BatchKind::FermentedSausage | BatchKind::DriedSausage => Self::Sausage,
            BatchKind::WholeMuscle => Self::WholeMuscle,
        }
    }
}

/// Middle and width of a figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Normal {
    pub(super) middle: f64,
    pub(super) width: f64,
}

impl Normal {
    /// The logarithm of its density, constants left out.
    pub(super) fn logarithm(self, value: f64) -> f64 {
        let off = (value - self.middle) / self.width;
        -0.5 * off * off
    }
}

/// What is expected of a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Prior {
    /// The loss at which it ends.
    pub(super) end: Normal,
    /// The bend of its curve.
    pub(super) bend: Normal,
    /// The natural logarithm of the days to half of that end.
    pub(super) pace: Normal,
}

/// The diameter, in millimetres, at which the class's own pace holds.
const REFERENCE_MM: f64 = 60.0;
/// How the days go with the diameter.
const POWER_OF_DIAMETER: f64 = 1.4;
/// Published end points lie a little later than what was simulated.
const LATER: f64 = 1.15;
/// Width of the pace where the diameter is known, and where it is not.
const KNOWN: f64 = 0.60;
const UNKNOWN: f64 = 0.95;

impl Prior {
    /// Width of the logarithm of the pace where the diameter is known.
    pub(super) const KNOWN_DIAMETER: f64 = KNOWN;

    /// Of a class and a diameter or thickness.
    pub(super) fn of(class: Class, diameter: Option<Length>) -> Self {
        let (end, bend, days) = match class {
            Class::Sausage => (0.66, Normal { middle: 1.10, width: 0.20 }, 38.0_f64),
            Class::WholeMuscle => (0.72, Normal { middle: 1.40, width: 0.25 }, 65.0_f64),
        };
        let thicker = diameter
            .map_or(0.0, |diameter| POWER_OF_DIAMETER * (diameter.as_millimetres() / REFERENCE_MM).ln());
        let pace = Normal {
            middle: days.ln() + LATER.ln() + thicker,
            width: if diameter.is_some() { KNOWN } else { UNKNOWN },
        };
        Self { end: Normal { middle: end, width: 0.10 }, bend, pace }
    }

    /// The same with what finished batches let expect.
    pub(super) fn expecting(class: Class, diameter: Option<Length>, expected: &Expectation) -> Self {
        let of_class = Self::of(class, diameter);
        // What an unknown diameter leaves open no batch can close.
        let known = Normal { width: KNOWN, ..of_class.pace };
        let of_diameter = of_class.pace.width.powi(2) - KNOWN.powi(2);
        let mut pace = expected.pace.of(known);
        pace.width = pace.width.hypot(of_diameter.sqrt());
        Self { pace, bend: expected.bend.of(of_class.bend), ..of_class }
    }

    /// Days to a loss on the curve of all the middles; `None`: it ends before.
    pub(super) fn days_of_middle(&self, loss: f64) -> Option<f64> {
        Some((self.rise(loss)? / self.bend.middle + self.pace.middle).exp())
    }

    /// The logarithm of `(days / pace)^bend` at a loss, on a curve that ends at the middle; `None`: it ends before.
    pub(super) fn rise(&self, loss: f64) -> Option<f64> {
        let part = loss / self.end.middle;
        (part > 0.0 && part < 1.0).then(|| (part / (1.0 - part)).ln())
    }
}
