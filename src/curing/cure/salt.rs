//! Strength of a brine, and salt targets in it. All at 60 °F (15.6 °C), the temperature of the salometer scale.

use crate::quantity::{Fraction, Mass};

/// Salt in saturated brine, as a part of it: 26.395 % at 60 °F, the 100 of the salometer scale, whose degrees are by
/// definition salt ÷ salt of saturation × 100.
pub(super) const SATURATED_BRINE: Fraction = Fraction::of_one(0.263_95);

/// Salometer degrees of a brine of this strength, salt as a part of the brine.
pub fn salometer_degrees(strength: Fraction) -> f64 {
    strength.as_one() / SATURATED_BRINE.as_one() * 100.0
}

/// Strength of a brine that shows so many salometer degrees.
pub fn strength_at_degrees(degrees: f64) -> Fraction {
    Fraction::of_one(degrees / 100.0 * SATURATED_BRINE.as_one())
}

/// Salt to dissolve in a weight of water (or to spread over any weight) so that it is `strength` of the whole, itself
/// included: p / (1 − p) × W. `None` unless the strength lies between nothing and all of it.
pub fn salt_for_strength(water: Mass, strength: Fraction) -> Option<Mass> {
    let part = strength.as_one();
    (0.0..1.0).contains(&part).then(|| Mass::grams(part / (1.0 - part) * water.as_grams()))
}

/// Salt in the water of a piece: salt / (salt + moisture), both as parts of the piece. `None` for impossible parts.
pub fn water_phase_salt(salt: Fraction, moisture: Fraction) -> Option<Fraction> {
    let (salt, moisture) = (salt.as_one(), moisture.as_one());
    let is_possible = salt >= 0.0 && moisture > 0.0 && salt + moisture <= 1.0;
    is_possible.then(|| Fraction::of_one(salt / (salt + moisture)))
}

/// Salt for an equilibrium brine by the simple convention: target × (meat + water).
pub fn brine_salt_simple(meat: Mass, water: Mass, target: Fraction) -> Mass {
    Mass::grams(target.as_one() * (meat.as_grams() + water.as_grams()))
}

/// Salt in pumped meat, on the weight after pumping: pump · salt in the pickle / (1 + pump).
pub fn salt_after_injection(pump: Fraction, salt_in_pickle: Fraction) -> Fraction {
    Fraction::of_one(pump.as_one() * salt_in_pickle.as_one() / (1.0 + pump.as_one()))
}
