//! Brine without meat: how strong it is, how much a litre of it weighs, what a salometer shows, and the salt for a volume.
//!
//! The scale itself stands in [`crate::curing::cure`]: degrees are salt ÷ salt of saturation × 100, at 60 °F. Here
//! come temperature and volume.

mod density;
mod error;
mod recipe;
mod salometer;
mod volume;

pub use density::{DENSITY_SOURCE, STRONGEST_OF_TABLE, kilograms_per_litre};
pub use error::BrineError;
pub use recipe::by_the_gallon;
pub use salometer::{Correction, SCALE_TEMPERATURE, true_degrees, what_it_shows};
pub use volume::{Mixture, for_water, of_brine, weight_of_pickle};
