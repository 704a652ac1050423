//! How long salt takes to the middle, by diffusion: information beside the customs, never a date.
//!
//! The series are the textbook's (Crank, The Mathematics of Diffusion; Carslaw and Jaeger; from memory, checked
//! against sums made with scipy). Fo is D·t/l²: l is half the thickness of a slab, the radius of a cylinder.

use crate::curing::cure::Shape;
use crate::quantity::Length;
use std::f64::consts::PI;

/// How salt is offered to the piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spread {
    /// A fixed dose on both faces of a slab, in a bag: it evens out.
    Slab,
    /// A fixed dose around a cylinder.
    Cylinder,
    /// A slab whose faces are held at one strength: a salt box, or much brine.
    SlabHeld,
}

/// Diffusivities of salt in m²/s that the range is drawn with. The faster is inside what is measured (3 to 7e-10,
/// Meat Sci. 2008;80:851, read in the abstract); the slower is this project's cautious value for 2 to 5 °C.
pub const DIFFUSIVITY: (f64, f64) = (2e-10, 5e-10);

/// The diffusivity of the lower bound that a custom is held against.
const DIFFUSIVITY_OF_LEAN: f64 = 3e-10;

/// The part of the final salt that counts as "there" in the range, and in the lower bound.
pub const ARRIVED: f64 = 0.90;
const ARRIVED_OF_LEAN: f64 = 0.80;

/// However slow diffusion seems, no more than this many times the custom is recommended.
const MOST_TIMES_CUSTOM: f64 = 2.0;

const SECONDS_PER_DAY: f64 = 86_400.0;

/// Below this Fourier number nothing measurable has come to the middle, and the series need too many terms.
const LEAST_FOURIER: f64 = 0.03;
const TERMS: u32 = 30;

/// Salt in the middle as a part of what it will be in the end (of the held surface, for a salt box).
pub fn in_the_centre(spread: Spread, fourier: f64) -> f64 {
    if !(fourier.is_finite() && fourier >= LEAST_FOURIER) {
        return 0.0;
    }
    let sum: f64 = match spread {
        Spread::Slab => {
            2.0 * (1..=TERMS)
                .map(|n| alternating(n) * (-squared(f64::from(n) * PI) * fourier).exp())
                .sum::<f64>()
                + 1.0
        }
        Spread::Cylinder => {
            1.0 + ZEROS.iter().map(|(zero, j0)| (-squared(*zero) * fourier).exp() / j0).sum::<f64>()
        }
        Spread::SlabHeld => {
            let term = |n: u32| {
                let odd = f64::from(2 * n + 1);
                alternating(n) / odd * (-squared(odd * PI) * fourier / 4.0).exp()
            };
            1.0 - 4.0 / PI * (0..TERMS).map(term).sum::<f64>()
        }
    };
    sum.clamp(0.0, 1.0)
}

/// The Fourier number at which the middle reaches a part of its final salt, 0 to 99.9 %.
pub fn fourier_at(spread: Spread, part: f64) -> f64 {
    let part = part.clamp(0.0, 0.999);
    let (mut low, mut high) = (LEAST_FOURIER, 10.0);
    for _ in 0..80 {
        let middle = f64::midpoint(low, high);
        if in_the_centre(spread, middle) < part {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// Days until the middle reaches a part of its final salt, with a diffusivity in m²/s.
pub fn days_until(part: f64, spread: Spread, thickness: Length, diffusivity: f64) -> f64 {
    let half = thickness.as_millimetres() / 2000.0;
    fourier_at(spread, part) * squared(half) / diffusivity / SECONDS_PER_DAY
}

/// The days to lean to beside a custom: not less than the custom, not less than 80 % in the middle of a slab at
/// 3e-10 m²/s, and not more than twice the custom. Rounded up.
pub fn lean_to(thickness: Length, custom_days: u32) -> u32 {
    let custom = f64::from(custom_days);
    let slab = days_until(ARRIVED_OF_LEAN, Spread::Slab, thickness, DIFFUSIVITY_OF_LEAN);
    slab.max(custom).min(custom * MOST_TIMES_CUSTOM).ceil() as u32
}

impl From<Shape> for Spread {
    fn from(shape: Shape) -> Self {
        match shape {
            Shape::Slab => Self::Slab,
            Shape::Cylinder => Self::Cylinder,
        }
    }
}

fn alternating(n: u32) -> f64 {
    if n.is_multiple_of(2) { 1.0 } else { -1.0 }
}

fn squared(value: f64) -> f64 {
    value * value
}

/// Zeros of the Bessel function J1 with J0 at each (as scipy's `jn_zeros` and `j0` give them).
const ZEROS: [(f64, f64); 8] = [
    (3.831_705_970_208, -0.402_759_395_703),
    (7.015_586_669_816, 0.300_115_752_526),
    (10.173_468_135_063, -0.249_704_877_058),
    (13.323_691_936_314, 0.218_359_407_248),
    (16.470_630_050_878, -0.196_465_371_469),
    (19.615_858_510_468, 0.180_063_375_344),
    (22.760_084_380_593, -0.167_184_600_474),
    (25.903_672_087_618, 0.156_724_986_253),
];
