//! How much casing a mix needs, and how much a casing holds: a round sausage of a diameter and a density.

use crate::quantity::{Fraction, Length, Mass, format};
use serde::Deserialize;
use std::f64::consts::FRAC_PI_4;
use std::sync::LazyLock;

const TEXT: &str = include_str!("casings.toml");

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

/// A kind of casing; its diameters are held from memory.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Kind {
    /// Its word.
    pub name: String,
    /// Stuffed to this at least, in millimetres.
    pub low_mm: f64,
    /// Stuffed to this at most, in millimetres.
    pub high_mm: f64,
    /// How it is soaked: a word of the wording.
    pub soak: String,
    /// It does not follow the meat, or lets no water out.
    #[serde(default)]
    pub not_for_drying: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    kind: Vec<Kind>,
}

static KINDS: LazyLock<Vec<Kind>> =
    LazyLock::new(|| toml::from_str::<File>(TEXT).map_or_else(|_| Vec::new(), |file| file.kind));

/// A kind by its word.
pub fn kind(name: &str) -> Option<&'static Kind> {
    KINDS.iter().find(|kind| kind.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_is_whole() {
        let file: File = toml::from_str(TEXT).unwrap();
        assert_eq!(file.kind.len(), 12);
        assert!(file.kind.iter().all(|kind| kind.low_mm < kind.high_mm));
    }
}
