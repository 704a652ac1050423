//! Pieces that dry in a computer: an independent check on the finish window.
//!
//! Nothing of it is shared with the forecast. A piece is a stack of shells, each with a fixed mass of dry matter, that
//! pass water to each other and shrink as they lose it; the outermost gives water to a room whose air wanders. From the
//! true curve come weighings as a member would make them: at odd days, on a scale that is a gram off.
//!
//! The figures it starts from are published diffusivities of sausage and muscle (5 to 7 · 10⁻¹¹ m²/s for pepperoni,
//! Palumbo 1977; 2.5 · 10⁻¹⁰ for lean pork), widened by judgement; the resistance of casing and air is judgement. They
//! were not fitted to the forecast.

mod piece;
mod room;
mod sorption;

pub(crate) use piece::{Course, Make, Shape};
pub(crate) use room::{Habit, Room};

use rand::Rng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, LogNormal, Normal};

/// A draw of a logarithmic normal distribution: its median and the width of its logarithm.
pub(crate) fn around(random: &mut ChaCha8Rng, median: f64, width: f64) -> f64 {
    LogNormal::new(median.ln(), width).map_or(median, |distribution| distribution.sample(random))
}

/// A draw of a normal distribution.
pub(crate) fn about(random: &mut ChaCha8Rng, middle: f64, width: f64) -> f64 {
    Normal::new(middle, width).map_or(middle, |distribution| distribution.sample(random))
}

/// Weighings as a member makes them: every few days, a gram off, in whole grams.
pub(crate) fn weighings(random: &mut ChaCha8Rng, course: &Course) -> Vec<(f64, f64)> {
    let mut weighings = Vec::new();
    let mut day = random.random_range(1.0..7.0);
    while day < course.days() {
        let seen = about(random, course.weight_g(day), 1.0).round();
        weighings.push((day, seen));
        day += random.random_range(1.0..7.0);
    }
    weighings
}
