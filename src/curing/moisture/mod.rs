//! The mass balance of a batter that dries: only water leaves. From it moisture, protein, fat and salt after a loss, the
//! moisture-to-protein ratio, and the salt in the water.

use crate::curing::composition::Parts;
use crate::quantity::format::number;
use crate::quantity::{Fraction, Mass};
use std::ops::RangeInclusive;

/// How much of back fat is fat (USDA SR28, NDB 10004): what is not fat tissue counts as lean.
const FAT_IN_BACK_FAT: f64 = 0.886_9;

/// Half of the width in which eight of ten moisture-to-protein ratios of real cuts lie, at 25 to 40 % loss (worked out by
/// drawing compositions around a table's: water ± 2 points, protein ± 0.6).
pub const RATIO_HALF_WIDTH: f64 = 0.2;

/// A batter by its ingredients.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Recipe {
    /// Meats with their composition.
    pub meats: Vec<(Mass, Parts)>,
    /// Salt, the cure's own counted in.
    pub salt: Option<Mass>,
    /// Sugar.
    pub sugar: Option<Mass>,
    /// Water, ice or wine that was added, as water.
    pub added_water: Option<Mass>,
    /// Everything else, dry.
    pub other_dry: Option<Mass>,
}

/// What a batter is made of, in grams.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// Everything.
    pub total_g: f64,
    /// Water.
    pub water_g: f64,
    /// Protein.
    pub protein_g: f64,
    /// Fat.
    pub fat_g: f64,
    /// Salt.
    pub salt_g: f64,
    /// Sugar.
    pub sugar_g: f64,
    /// Meat without its fat tissue.
    pub lean_g: f64,
}

/// A batter after a loss of weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dried {
    /// What is left of each.
    pub balance: Balance,
    /// The part of the green weight that was lost.
    pub loss: Fraction,
}

/// Why a loss cannot be.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum BalanceError {
    /// There is no meat in it.
    #[error("there is no meat in it")]
    NoMeat,
    /// More than the water it holds.
    #[error("it cannot lose {} %: it holds {} % water", number(*.lost, 1), number(*.water, 1))]
    MoreThanWater {
        /// The loss, in percent.
        lost: f64,
        /// Its water, in percent.
        water: f64,
    },
}

impl Recipe {
    /// What it is made of.
    ///
    /// # Errors
    /// [`BalanceError::NoMeat`].
    pub fn balance(&self) -> Result<Balance, BalanceError> {
        let of = |part: fn(&Parts) -> Fraction| -> f64 {
            self.meats.iter().map(|(mass, parts)| mass.as_grams() * part(parts).as_one()).sum()
        };
        let added = |mass: Option<Mass>| mass.map_or(0.0, Mass::as_grams);
        let meat_g: f64 = self.meats.iter().map(|(mass, _)| mass.as_grams()).sum();
        if meat_g.is_nan() || meat_g <= 0.0 {
            return Err(BalanceError::NoMeat);
        }
        let (salt_g, sugar_g) = (added(self.salt), added(self.sugar));
        let (added_water_g, fat_g) = (added(self.added_water), of(|parts| parts.fat));
        Ok(Balance {
            total_g: meat_g + salt_g + sugar_g + added_water_g + added(self.other_dry),
            water_g: of(|parts| parts.water) + added_water_g,
            protein_g: of(|parts| parts.protein),
            fat_g,
            salt_g,
            sugar_g,
            lean_g: (meat_g - fat_g / FAT_IN_BACK_FAT).max(0.0),
        })
    }
}

impl Balance {
    /// After a loss of weight, which is a loss of water.
    ///
    /// # Errors
    /// [`BalanceError::MoreThanWater`].
    pub fn after(self, loss: Fraction) -> Result<Dried, BalanceError> {
        let lost_g = loss.as_one() * self.total_g;
        let possible: RangeInclusive<f64> = 0.0..=self.water_g;
        if !possible.contains(&lost_g) {
            let water = 100.0 * self.water_g / self.total_g;
            return Err(BalanceError::MoreThanWater { lost: loss.as_percent(), water });
        }
        let balance = Self { total_g: self.total_g - lost_g, water_g: self.water_g - lost_g, ..self };
        Ok(Dried { balance, loss })
    }

    /// A part of everything.
    pub fn part(&self, grams: f64) -> Fraction {
        Fraction::of_one(grams / self.total_g)
    }

    /// Grams of water with each gram of protein; `None` without protein.
    pub fn moisture_to_protein(&self) -> Option<f64> {
        (self.protein_g > 0.0).then(|| self.water_g / self.protein_g)
    }

    /// Salt in the water: salt ÷ (salt + water). `None` without either.
    pub fn salt_in_water(&self) -> Option<Fraction> {
        let brine = self.salt_g + self.water_g;
        (brine > 0.0).then(|| Fraction::of_one(self.salt_g / brine))
    }

    /// The loss at which the ratio is reached; `None` where it is reached already, or never.
    pub fn loss_for_ratio(&self, ratio: f64) -> Option<Fraction> {
        let lost_g = self.water_g - ratio * self.protein_g;
        (lost_g > 0.0 && lost_g <= self.water_g).then(|| self.part(lost_g))
    }
}
