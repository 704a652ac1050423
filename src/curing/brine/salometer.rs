//! A salometer in brine that is not at the temperature of its scale.

use super::{BrineError, kilograms_per_litre};
use crate::curing::cure::{salometer_degrees, strength_at_degrees};
use crate::quantity::{Fraction, Temperature, compare};
use std::cmp::Ordering;

/// The temperature the scale is made for: 60 °F.
pub const SCALE_TEMPERATURE: Temperature = Temperature::fahrenheit(60.0);

/// Warm brine is lighter and the stem sinks deeper: 1 degree is added for every 10 °F above 60 °F (salometer
/// instructions of a maker of brine plants, read in the source).
const FAHRENHEIT_PER_DEGREE: f64 = 10.0;

/// Halvings of an interval of 100 degrees until a float holds no more of it.
const HALVINGS: u32 = 60;

/// Which rule a correction rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Correction {
    /// At the scale's own temperature.
    None,
    /// Warmer: 1 degree for every 10 °F, as printed.
    Published,
    /// Colder, of which the printed rule does not speak: the strength that is as heavy at that temperature as the
    /// reading is at 60 °F.
    ByDensity,
}

/// Degrees at 60 °F of a brine in which the salometer shows `reading` at `temperature`.
///
/// Errors: off the scale, before or after; outside 0 to 40 °C; colder and stronger than the densities go.
pub fn true_degrees(reading: f64, temperature: Temperature) -> Result<(f64, Correction), BrineError> {
    on_scale(reading)?;
    let correction = correction(temperature)?;
    let degrees = match correction {
        Correction::None => reading,
        Correction::Published => reading + above_scale(temperature),
        Correction::ByDensity => {
            let as_heavy = kilograms_per_litre(strength_at_degrees(reading), SCALE_TEMPERATURE)?;
            search(reading, |degrees| {
                Ok(kilograms_per_litre(strength_at_degrees(degrees), temperature)? < as_heavy)
            })?
        }
    };
    on_scale(degrees).map(|()| (degrees, correction))
}

/// What the salometer shows at `temperature` in a brine of this strength: the other way around.
pub fn what_it_shows(strength: Fraction, temperature: Temperature) -> Result<(f64, Correction), BrineError> {
    let degrees = salometer_degrees(strength);
    on_scale(degrees).map_err(|_| BrineError::Strength { percent: strength.as_percent() })?;
    let correction = correction(temperature)?;
    let shown = match correction {
        Correction::None => degrees,
        Correction::Published => degrees - above_scale(temperature),
        Correction::ByDensity => {
            let as_heavy = kilograms_per_litre(strength, temperature)?;
            let heaviest = salometer_degrees(super::STRONGEST_OF_TABLE);
            if kilograms_per_litre(super::STRONGEST_OF_TABLE, SCALE_TEMPERATURE)? < as_heavy {
                return Err(BrineError::BeyondDensities);
            }
            search(heaviest, |shown| {
                Ok(kilograms_per_litre(strength_at_degrees(shown), SCALE_TEMPERATURE)? < as_heavy)
            })?
        }
    };
    on_scale(shown).map(|()| (shown, correction))
}

/// Where between nothing and `most` a rising density passes the one that is looked for. Water alone may already be
/// heavier, in a brine next to nothing: then it is nothing.
fn search(most: f64, is_lighter: impl Fn(f64) -> Result<bool, BrineError>) -> Result<f64, BrineError> {
    let (mut low, mut high) = (0.0, most);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if is_lighter(middle)? {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(f64::midpoint(low, high))
}

fn above_scale(temperature: Temperature) -> f64 {
    (temperature.as_fahrenheit() - SCALE_TEMPERATURE.as_fahrenheit()) / FAHRENHEIT_PER_DEGREE
}

fn correction(temperature: Temperature) -> Result<Correction, BrineError> {
    let celsius = temperature.as_celsius();
    // The densities' range bounds the printed rule as well, which names no end of its own.
    kilograms_per_litre(Fraction::of_one(0.0), temperature)?;
    let scale = SCALE_TEMPERATURE.as_celsius();
    Ok(match compare::with_tolerance(celsius, scale) {
        Ordering::Less => Correction::ByDensity,
        Ordering::Equal => Correction::None,
        Ordering::Greater => Correction::Published,
    })
}

/// Above nothing and at most 100 degrees.
fn on_scale(degrees: f64) -> Result<(), BrineError> {
    let is_on_it = degrees > 0.0 && compare::with_tolerance(degrees, 100.0).is_le();
    if is_on_it { Ok(()) } else { Err(BrineError::Degrees { degrees }) }
}
