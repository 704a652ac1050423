//! Text to quantity. Closed unit lists, decimal comma and point alike, no digit dropped, no guess.
//!
//! `1.234 kg` can be read as 1.234 kg or as 1234 kg. Each quantity has a range of what is seen in a home; the
//! reading inside it is taken. Where both are inside (`1.234 g`), the text is refused with both readings, and
//! [`mass_candidates`] hands both to a caller who knows the piece's last weight.
//!
//! A text is at most 40 characters; exponents, `NaN`, `inf` and control characters are not numbers here; only
//! temperatures and voltages have a sign.

mod concentration;
mod duration;
mod error;
mod fraction;
mod length;
mod mass;
mod number;
mod pressure;
mod temperature;
mod units;
mod voltage;
mod volume;

pub use concentration::{mg_per_kg, ph};
pub use duration::duration;
pub use error::{QuantityError, echo};
pub use fraction::{percent, relative_humidity, water_activity};
pub use length::length;
pub use mass::{
    MassReading, mass, mass_candidates, mass_candidates_with_default, mass_with_default, positive_mass,
};
pub(in crate::quantity) use number::unmistakable;
pub use number::{NumberReading, number};
pub use pressure::pressure;
pub use temperature::{temperature, temperature_with_default};
pub use voltage::voltage;
pub use volume::volume;
