//! Salt and water for a volume: of the water that is measured out, or of the brine that is wanted.

use super::{BrineError, STRONGEST_OF_TABLE, kilograms_per_litre};
use crate::curing::cure::{salometer_degrees, salt_for_strength};
use crate::quantity::{Fraction, Mass, Temperature, Volume, compare};

/// Halvings of the range of strengths until a float holds no more of it.
const HALVINGS: u32 = 60;

/// Salt and water that make a brine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mixture {
    /// Salt to weigh.
    pub salt: Mass,
    /// Water to weigh.
    pub water: Mass,
}

impl Mixture {
    /// Both together.
    pub fn brine(self) -> Mass {
        self.salt + self.water
    }
}

/// The salt that makes a measured volume of water a brine of this strength. Salt is part of the whole: the brine takes
/// more room than the water did.
pub fn for_water(
    volume: Volume,
    strength: Fraction,
    temperature: Temperature,
) -> Result<Mixture, BrineError> {
    check(volume, strength)?;
    let litre = kilograms_per_litre(Fraction::of_one(0.0), temperature)?;
    let water = Mass::grams(volume.as_litres() * litre * 1000.0);
    let salt =
        salt_for_strength(water, strength).ok_or(BrineError::Strength { percent: strength.as_percent() })?;
    Ok(Mixture { salt, water })
}

/// The salt and the water that make a volume of finished brine.
pub fn of_brine(volume: Volume, strength: Fraction, temperature: Temperature) -> Result<Mixture, BrineError> {
    check(volume, strength)?;
    let brine = volume.as_litres() * kilograms_per_litre(strength, temperature)? * 1000.0;
    let salt = Mass::grams(brine * strength.as_one());
    Ok(Mixture { salt, water: Mass::grams(brine) - salt })
}

/// What a volume of finished pickle weighs that holds this much salt. Other solutes make it heavier still, so it is the
/// least it weighs.
pub fn weight_of_pickle(volume: Volume, salt: Mass, temperature: Temperature) -> Result<Mass, BrineError> {
    let litres = volume.as_litres();
    if !(litres.is_finite() && litres > 0.0) {
        return Err(BrineError::Volume);
    }
    let weight = |strength: Fraction| {
        kilograms_per_litre(strength, temperature).map(|litre| Mass::grams(litre * litres * 1000.0))
    };
    let held = |strength: Fraction| weight(strength).map(|weight| weight.as_grams() * strength.as_one());
    if held(STRONGEST_OF_TABLE)? < salt.as_grams() {
        return Err(BrineError::TooMuchSalt);
    }
    let (mut low, mut high) = (0.0, STRONGEST_OF_TABLE.as_one());
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if held(Fraction::of_one(middle))? < salt.as_grams() {
            low = middle;
        } else {
            high = middle;
        }
    }
    weight(Fraction::of_one(low))
}

fn check(volume: Volume, strength: Fraction) -> Result<(), BrineError> {
    let litres = volume.as_litres();
    if !(litres.is_finite() && litres > 0.0) {
        return Err(BrineError::Volume);
    }
    let degrees = salometer_degrees(strength);
    if degrees > 0.0 && compare::with_tolerance(degrees, 100.0).is_le() {
        return Ok(());
    }
    Err(BrineError::Strength { percent: strength.as_percent() })
}
