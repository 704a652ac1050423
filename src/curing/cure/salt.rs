//! Salt targets in a brine.

use crate::quantity::{Fraction, Mass};

/// Salt for an equilibrium brine by the simple convention: target × (meat + water).
pub fn brine_salt_simple(meat: Mass, water: Mass, target: Fraction) -> Mass {
    Mass::grams(target.as_one() * (meat.as_grams() + water.as_grams()))
}

/// Salt for an equilibrium brine that makes exactly `target` of the whole, the salt itself included:
/// t·(M + W) / (1 − t). `None` for a target of 100 % or more.
pub fn brine_salt_exact(meat: Mass, water: Mass, target: Fraction) -> Option<Mass> {
    let rest = 1.0 - target.as_one();
    (rest > 0.0).then(|| Mass::grams(brine_salt_simple(meat, water, target).as_grams() / rest))
}

/// Salt in pumped meat, on the weight after pumping: pump · salt in the pickle / (1 + pump).
pub fn salt_after_injection(pump: Fraction, salt_in_pickle: Fraction) -> Fraction {
    Fraction::of_one(pump.as_one() * salt_in_pickle.as_one() / (1.0 + pump.as_one()))
}
