//! How much casing a mix needs, and how much a casing holds: a round sausage of a diameter and a density.

use crate::quantity::{Fraction, Length, Mass, format};
use std::f64::consts::FRAC_PI_4;

/// Density of a stuffed mix in kg/L: common practice, no source.
pub const DENSITY_KG_PER_L: f64 = 1.05;
/// Added for ends and bursts: the longer end of 10 to 15 %, common practice, no source.
pub const ALLOWANCE: Fraction = Fraction::percent(15.0);

/// Grams in a metre of stuffed sausage.
pub fn grams_per_metre(diameter: Length, density_kg_per_l: f64) -> f64 {
    let millimetres = diameter.as_millimetres();
    // mm² × 1 m × kg/L: a square millimetre by a metre is a millilitre.
    FRAC_PI_4 * millimetres * millimetres * density_kg_per_l
}

/// Metres of casing to have for a mix, the allowance counted in.
pub fn metres_for(mix: Mass, diameter: Length, density_kg_per_l: f64, allowance: Fraction) -> f64 {
    mix.as_grams() / grams_per_metre(diameter, density_kg_per_l) * (1.0 + allowance.as_one())
}

/// The mix that a casing holds, the allowance taken off.
pub fn mass_in(casing: Length, diameter: Length, density_kg_per_l: f64, allowance: Fraction) -> Mass {
    let metres = casing.as_millimetres() / 1000.0 / (1.0 + allowance.as_one());
    Mass::grams(metres * grams_per_metre(diameter, density_kg_per_l))
}

/// Whole pieces of a length that a mix fills, and what is left of it.
pub fn pieces(mix: Mass, piece: Length, diameter: Length, density_kg_per_l: f64) -> (i64, Mass) {
    let each = piece.as_millimetres() / 1000.0 * grams_per_metre(diameter, density_kg_per_l);
    let (count, whole) = format::floor_to_step(mix.as_grams() / each, 1.0);
    (count, Mass::grams((mix.as_grams() - whole * each).max(0.0)))
}
