//! Quantity to text.
//!
//! Three kinds of printing:
//! - for reading (`mass`, `temperature`, `percent`, …): rounded to what a kitchen needs;
//! - exact (`mass_exact`, …): the shortest text that [`crate::quantity::parse`] reads back as the same value;
//! - on a scale's step (`dose_mass`), after [`floor_to_step`].
//!
//! No thousands signs, a decimal point, a space before the unit, no "-0".

mod exact;
mod hours;
mod mass;
mod measures;
mod number;
mod step;

pub use exact::{
    hours_exact, length_exact, mass_exact, mg_per_kg_exact, percent_exact, ph_exact, relative_humidity_exact,
    temperature_exact, volume_exact, water_activity_exact,
};
pub use hours::{hours, hours_rounded_down_tenth};
pub use mass::{dose_mass, dose_mass_in, mass, mass_rounded_down};
pub use measures::{
    both_scales, length, mg_per_kg, percent, percent_with, ph, relative_humidity, temperature, volume,
    water_activity,
};
pub use number::{beside, number, trimmed};
pub use step::{ceil_to_step, floor_to_step};
