//! Water activity: of brine exactly, of a drying sausage as an estimate with its honest width.
//!
//! Sodium chloride after Pitzer and Mayorga (1973) at 25 °C; what else is dissolved after Ross (1975): the product of the
//! activities of each solute alone in all the water. A measured value always stands before an estimate.

mod estimate;

pub use estimate::{
    Estimate, HALF_WIDTH, LACTIC_ACID, LOSS_PERCENT, NotEstimated, Solutes, estimate, is_compared,
};

use crate::quantity::WaterActivity;

/// Kilograms in a mole of water.
const MOLAR_MASS_WATER_KG: f64 = 0.018_015_3;
/// Grams in a mole of sodium chloride.
const MOLAR_MASS_SALT: f64 = 58.443;
/// Saturation at 25 °C, in mol in a kilogram of water.
pub const SATURATED_MOLALITY: f64 = 6.14;

/// Pitzer's constants of sodium chloride at 25 °C (Pitzer and Mayorga 1973, from memory; checked against a library of
/// solution chemistry).
const DEBYE_HUECKEL: f64 = 0.391_5;
const BETA_0: f64 = 0.076_5;
const BETA_1: f64 = 0.266_4;
const C_PHI: f64 = 0.001_27;

/// The osmotic coefficient of sodium chloride.
fn osmotic_coefficient(molality: f64) -> f64 {
    let root = molality.sqrt();
    1.0 - DEBYE_HUECKEL * root / (1.0 + 1.2 * root)
        + molality * (BETA_0 + BETA_1 * (-2.0 * root).exp())
        + molality * molality * C_PHI
}

/// The water activity of sodium chloride alone in water, at 25 °C; between 5 and 25 °C it changes by 0.003 at the most.
/// `None` below nothing, and above saturation.
pub fn of_salt(molality: f64) -> Option<WaterActivity> {
    let in_range = (0.0..=SATURATED_MOLALITY).contains(&molality);
    in_range.then(|| {
        let logarithm = -MOLAR_MASS_WATER_KG * 2.0 * molality * osmotic_coefficient(molality);
        WaterActivity::new(logarithm.exp())
    })
}

/// Moles of salt in a kilogram of water, from the masses of both in one unit.
pub fn molality(salt: f64, water: f64) -> f64 {
    salt / MOLAR_MASS_SALT / water * 1000.0
}
