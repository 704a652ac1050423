//! Plain salt, pickle and salt in the meat, once the weight of cure is fixed.

use super::{CureError, Liquid, brine_salt_simple, salt_after_injection, salt_for_strength};
use crate::quantity::{Fraction, Mass};

/// What a weight of cure and a salt target make of an application.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bath {
    /// Salt to add beside the salt in the cure.
    pub plain_salt: Mass,
    /// All of the pickle, where there is one.
    pub pickle: Option<Mass>,
    /// The weight the cure is divided by.
    pub counted: Mass,
    /// Salt in the meat: on the meat's weight for mince and rub, on meat and water for an equilibrium brine,
    /// on the weight after pumping or pick-up else.
    pub salt_in_meat: Fraction,
}

impl Bath {
    pub(super) fn new(plain_salt: f64, pickle: Option<f64>, counted: f64, salt_in_meat: f64) -> Self {
        Self {
            plain_salt: Mass::grams(plain_salt),
            pickle: pickle.map(Mass::grams),
            counted: Mass::grams(counted),
            salt_in_meat: Fraction::of_one(salt_in_meat),
        }
    }
}

/// Pickle, water and plain salt of an equilibrium brine, in grams. The salt target is on meat and water
/// (the simple convention).
pub(super) fn equilibrium(
    meat: Mass,
    liquid: Liquid,
    cure: f64,
    from_cure: f64,
    salt: Option<Fraction>,
) -> Result<(f64, f64, f64), CureError> {
    let target = salt.unwrap_or(Fraction::of_one(0.0));
    match liquid {
        Liquid::Water(water) => {
            let plain = (brine_salt_simple(meat, water, target).as_grams() - from_cure).max(0.0);
            let water = water.as_grams();
            Ok((water + cure + plain, water, plain))
        }
        Liquid::Pickle(pickle) => {
            let (meat, pickle, target) = (meat.as_grams(), pickle.as_grams(), target.as_one());
            // Water is what the solutes leave: salt = t·(M + P − salt − rest of the cure), solved for salt.
            let not_salt = cure - from_cure;
            let wanted = target / (1.0 + target) * (meat + pickle - not_salt);
            let plain = (wanted - from_cure).max(0.0);
            let water = pickle - cure - plain;
            if water > 0.0 { Ok((pickle, water, plain)) } else { Err(CureError::PickleTooSmall) }
        }
    }
}

/// A pickle of which the meat takes up a part `rate` of its own weight (pumping, pick-up). The salt target is on
/// the weight after: the pickle must hold target · (1 + rate) / rate of salt.
pub(super) fn partly_taken_up(
    liquid: Liquid,
    rate: f64,
    cure: f64,
    from_cure: f64,
    salt: Option<Fraction>,
) -> Result<Bath, CureError> {
    let in_pickle = salt.map_or(0.0, |target| target.as_one() * (1.0 + rate) / rate);
    let (pickle, plain) = match liquid {
        Liquid::Pickle(pickle) => {
            let pickle = pickle.as_grams();
            (pickle, (in_pickle * pickle - from_cure).max(0.0))
        }
        Liquid::Water(water) => {
            let water = water.as_grams();
            // What is no salt, and the salt that makes its part of the whole.
            let not_salt = Mass::grams(water + cure - from_cure);
            let wanted = salt_for_strength(not_salt, Fraction::of_one(in_pickle));
            let plain = wanted.ok_or(CureError::PickleTooSmall)?.as_grams() - from_cure;
            if plain > 0.0 { (water + cure + plain, plain) } else { (water + cure, 0.0) }
        }
    };
    if !(pickle.is_finite() && cure + plain < pickle) {
        return Err(CureError::PickleTooSmall);
    }
    let salt_in_pickle = (from_cure + plain) / pickle;
    Ok(Bath::new(
        plain,
        Some(pickle),
        pickle / rate,
        salt_after_injection(Fraction::of_one(rate), Fraction::of_one(salt_in_pickle)).as_one(),
    ))
}
