//! A mix of cuts to a fat target: what is there is used up first, what is missing is bought, and what cannot be reached
//! is said.

use crate::curing::composition::Parts;
use crate::quantity::{Fraction, Mass, compare};
use std::cmp::Ordering;

/// A cut that may go in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Offer {
    /// What it is made of.
    pub parts: Parts,
    /// How much is there; `None`: as much as is needed can be bought.
    pub there: Option<Mass>,
}

/// How much of a cut goes in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// So much.
    pub used: Mass,
    /// So much is there and stays out.
    pub left_over: Mass,
}

/// A mix.
#[derive(Debug, Clone, PartialEq)]
pub struct Blend {
    /// Of each offer, in their order.
    pub shares: Vec<Share>,
    /// The whole.
    pub total: Mass,
    /// Its composition.
    pub parts: Parts,
}

/// Why there is no mix.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BlendError {
    /// Nothing is offered, or nothing is there.
    Nothing,
    /// All that is offered is fatter than the target.
    AllFatter {
        /// The leanest, its fat.
        leanest: Fraction,
    },
    /// All that is offered is leaner than the target.
    AllLeaner {
        /// The fattest, its fat.
        fattest: Fraction,
    },
}

/// Mixes the offers to a target of fat. Everything that is there goes in if what can be bought makes up for it; else of
/// the cuts on the heavier side those nearest to the target go in first, so that most is used up.
///
/// # Errors
/// [`BlendError`] where no mix has that much fat.
pub fn blend(offers: &[Offer], fat: Fraction) -> Result<Blend, BlendError> {
    let target = fat.as_one();
    let off = |offer: &Offer| offer.parts.fat.as_one() - target;
    let there: f64 = offers.iter().filter_map(|offer| offer.there).map(Mass::as_grams).sum();
    if there.is_nan() || there <= 0.0 {
        return Err(BlendError::Nothing);
    }
    let mut used: Vec<f64> = offers.iter().map(|offer| offer.there.map_or(0.0, Mass::as_grams)).collect();
    let surplus: f64 = offers.iter().zip(&used).map(|(offer, grams)| off(offer) * grams).sum();
    let scale = there * f64::EPSILON * 8.0;
    if surplus.abs() > scale {
        match buy(offers, surplus, target) {
            Some((index, grams)) => used[index] += grams,
            None => leave_out(offers, &mut used, target)?,
        }
    }
    Ok(mixed(offers, &used))
}

/// What to buy, and how much of it: of what draws to the other side, what draws most, so that least is bought.
fn buy(offers: &[Offer], surplus: f64, target: f64) -> Option<(usize, f64)> {
    let draw = |offer: &Offer| (offer.parts.fat.as_one() - target) * -surplus.signum();
    let bought = offers.iter().enumerate().filter(|(_, offer)| offer.there.is_none() && draw(offer) > 0.0);
    let (index, offer) = bought.max_by(|(_, one), (_, other)| draw(one).total_cmp(&draw(other)))?;
    Some((index, surplus.abs() / draw(offer)))
}

/// Leaves out of the heavier side what the other side cannot make up for.
fn leave_out(offers: &[Offer], used: &mut [f64], target: f64) -> Result<(), BlendError> {
    let off: Vec<f64> = offers.iter().map(|offer| offer.parts.fat.as_one() - target).collect();
    let side = |fatter: bool| -> f64 {
        let of_side = off.iter().zip(used.iter()).filter(|(off, _)| (**off > 0.0) == fatter);
        of_side.map(|(off, grams)| off.abs() * grams).sum()
    };
    let (fatter, leaner) = (side(true), side(false));
    let on_target = off.iter().zip(used.iter()).any(|(off, grams)| *off == 0.0 && *grams > 0.0);
    let fats = || offers.iter().map(|offer| offer.parts.fat.as_one());
    if leaner <= 0.0 && !on_target {
        return Err(BlendError::AllFatter {
            leanest: Fraction::of_one(fats().fold(f64::INFINITY, f64::min)),
        });
    }
    if fatter <= 0.0 && !on_target {
        return Err(BlendError::AllLeaner { fattest: Fraction::of_one(fats().fold(0.0, f64::max)) });
    }
    let heavier_is_fatter = fatter > leaner;
    let mut room = fatter.min(leaner);
    let mut order: Vec<usize> = (0..offers.len())
        .filter(|index| off[*index] != 0.0 && (off[*index] > 0.0) == heavier_is_fatter)
        .collect();
    order.sort_by(|one, other| off[*one].abs().total_cmp(&off[*other].abs()));
    for index in order {
        let takes = off[index].abs() * used[index];
        if takes > room {
            used[index] = room / off[index].abs();
            room = 0.0;
        } else {
            room -= takes;
        }
    }
    Ok(())
}

fn mixed(offers: &[Offer], used: &[f64]) -> Blend {
    let shares = offers.iter().zip(used).map(|(offer, grams)| {
        let there = offer.there.map_or(0.0, Mass::as_grams);
        let is_all = compare::with_tolerance(*grams, there) != Ordering::Less;
        let left_over = Mass::grams(if is_all { 0.0 } else { there - grams });
        Share { used: Mass::grams(*grams), left_over }
    });
    let shares: Vec<Share> = shares.collect();
    let total: f64 = used.iter().sum();
    let mean = |part: fn(&Parts) -> Fraction| {
        let sum: f64 =
            offers.iter().zip(used).map(|(offer, grams)| part(&offer.parts).as_one() * grams).sum();
        Fraction::of_one(sum / total)
    };
    let parts = Parts {
        water: mean(|parts| parts.water),
        protein: mean(|parts| parts.protein),
        fat: mean(|parts| parts.fat),
    };
    Blend { shares, total: Mass::grams(total), parts }
}

/// The composition of a cut whose fat its owner estimates: lean shoulder and back fat in the proportion that has so much
/// fat. `None`: leaner than the one, or fatter than the other.
pub fn estimated(fat: Fraction, lean: Parts, fat_tissue: Parts) -> Option<Parts> {
    let (low, high) = (lean.fat.as_one(), fat_tissue.fat.as_one());
    if !(low..=high).contains(&fat.as_one()) {
        return None;
    }
    let tissue = (fat.as_one() - low) / (high - low);
    let mix = |one: Fraction, other: Fraction| {
        Fraction::of_one(one.as_one() * (1.0 - tissue) + other.as_one() * tissue)
    };
    Some(Parts {
        water: mix(lean.water, fat_tissue.water),
        protein: mix(lean.protein, fat_tissue.protein),
        fat,
    })
}
