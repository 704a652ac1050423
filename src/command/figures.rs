//! Figures in the member's own units, from the ids of the door for scripts.

use super::asking::Asking;
use crate::quantity::format;
use crate::quantity::{Fraction, Mass, Pressure, Temperature};
use crate::reply::{Figure, say, unit};

fn label(id: &str) -> String {
    say(&format!("label.{id}"), &[])
}

/// A weight of meat or of a piece.
pub fn meat(id: &'static str, mass: Mass, asking: &Asking) -> Figure {
    let shown = format::mass(mass, asking.member.settings.mass);
    Figure::number(id, label(id), mass.as_grams(), unit::GRAM, shown)
}

/// A weight to dry to: what is shown is rounded down, so that it is not reached a gram early.
pub fn target(id: &'static str, mass: Mass, asking: &Asking) -> Figure {
    let shown = format::mass_rounded_down(mass, asking.member.settings.mass);
    Figure::number(id, label(id), mass.as_grams(), unit::GRAM, shown)
}

/// A weight of cure or salt, shown to the step of the member's scale.
pub fn cure(id: &'static str, mass: Mass, scale_step: Mass) -> Figure {
    Figure::number(id, label(id), mass.as_grams(), unit::GRAM, format::dose_mass(mass, scale_step))
}

/// A concentration.
pub fn mg_per_kg(id: &'static str, value: f64) -> Figure {
    let shown = format::mg_per_kg(value);
    Figure::number(id, label(id), value, unit::MG_PER_KG, shown)
}

/// A percentage, shown to one decimal.
pub fn percent(id: &'static str, fraction: Fraction) -> Figure {
    Figure::number(id, label(id), fraction.as_percent(), unit::PERCENT, format::percent_with(fraction, 1))
}

/// A temperature in the member's scale.
pub fn temperature(id: &'static str, temperature: Temperature, asking: &Asking) -> Figure {
    let shown = format::temperature(temperature, asking.member.settings.temperature);
    Figure::number(id, label(id), temperature.as_celsius(), unit::CELSIUS, shown)
}

/// A number of hours, shown as days and hours when it is long.
pub fn hours(id: &'static str, hours: f64) -> Figure {
    Figure::number(id, label(id), hours, unit::HOUR, format::hours(crate::quantity::Hours::new(hours)))
}

/// A pressure of air or vapour.
pub fn pressure(id: &'static str, pressure: Pressure) -> Figure {
    with_unit(id, pressure.as_pascals(), 0, unit::PASCAL)
}

/// A number that is shown with its unit as it stands.
pub fn with_unit(id: &'static str, value: f64, decimals: usize, unit: &'static str) -> Figure {
    Figure::number(id, label(id), value, unit, format!("{} {unit}", format::number(value, decimals)))
}

/// A bare number: pH.
pub fn number(id: &'static str, value: f64, decimals: usize) -> Figure {
    Figure::number(id, label(id), value, unit::ONE, format::number(value, decimals))
}

/// A word, such as a stage.
pub fn word(id: &'static str, word: &str) -> Figure {
    Figure::word(id, label(id), word.to_owned())
}
