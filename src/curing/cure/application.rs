//! What the cure is spread over, and how: the formulas from grams of cure to mg/kg.

use super::error::positive;
use super::{CureError, CureLabel, Ingoing, Method};
use crate::quantity::{Fraction, Mass, WeightBasis};

/// The part of a skin-on belly that counts: skin is taken as a tenth of the weight and takes up no cure.
/// Source: calculations handbook, FSIS Directive 7620.3 (1995), pp. 27–31, second-hand.
const COUNTED_OF_SKIN_ON: f64 = 0.90;

/// Rounds of finding dose and pickle weight together before giving up; each round shrinks the error by the
/// cure's share of the pickle, so a pickle that holds its salt is exact to the last digit long before.
const MOST_ROUNDS: usize = 200;

/// Raw meat as weighed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GreenWeight {
    /// The weight on the scale.
    pub weight: Mass,
    /// Whether it is a belly with its skin on, of which only 90 % counts.
    pub skin_on: bool,
}

impl GreenWeight {
    /// Meat without skin.
    pub const fn of(weight: Mass) -> Self {
        Self {
            weight,
            skin_on: false,
        }
    }

    /// The weight that counts for nitrite.
    pub fn counted(self) -> Mass {
        if self.skin_on {
            Mass::grams(self.weight.as_grams() * COUNTED_OF_SKIN_ON)
        } else {
            self.weight
        }
    }
}

/// A brine, by what the member knows of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Liquid {
    /// The water alone; salt and cure come on top.
    Water(Mass),
    /// The whole pickle: water, salt, sugar, cure and all else in it.
    Pickle(Mass),
}

/// How the cure is applied, with the weights that decide its mg/kg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Application {
    /// Mixed into minced meat.
    Comminuted {
        /// The raw meat and fat.
        meat: GreenWeight,
    },
    /// Rubbed on whole meat.
    Dry {
        /// The raw meat.
        meat: GreenWeight,
    },
    /// Laid in a brine until meat and brine are in balance.
    Equilibrium {
        /// The raw meat.
        meat: GreenWeight,
        /// The brine.
        liquid: Liquid,
    },
    /// Laid in a brine and taken out with a known gain in weight.
    PickUp {
        /// The brine.
        liquid: Liquid,
        /// The gain, as a part of the green weight.
        taken_up: Fraction,
    },
    /// Pumped.
    Pumped {
        /// The whole pickle the cure is dissolved in, not only the part that is pumped.
        pickle: Mass,
        /// The pickle pumped, as a part of the green weight.
        pump: Fraction,
    },
}

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

/// The gain of a piece in a brine: (after − before) / before.
pub fn pick_up(before: Mass, after: Mass) -> Result<Fraction, CureError> {
    positive(before, "piece before the brine", "1.2 kg")?;
    let gained = (after.as_grams() - before.as_grams()) / before.as_grams();
    rate(Fraction::of_one(gained), "pick-up", "pickup:4%")?;
    Ok(Fraction::of_one(gained))
}

impl Application {
    /// The method, as rulebook rows name it.
    pub const fn method(&self) -> Method {
        match self {
            Self::Comminuted { .. } => Method::Comminuted,
            Self::Dry { .. } => Method::Dry,
            Self::Equilibrium { .. } => Method::Immersion,
            Self::PickUp { .. } => Method::ImmersionPickup,
            Self::Pumped { .. } => Method::Inject,
        }
    }

    /// Which weight its mg/kg are on.
    pub const fn weight_basis(&self) -> WeightBasis {
        match self {
            Self::Equilibrium { .. } => WeightBasis::MeatAndPickle,
            _ => WeightBasis::GreenWeight,
        }
    }

    /// Whether every weight is above zero and every rate between 0 and 100 %.
    pub fn check(&self) -> Result<(), CureError> {
        match *self {
            Self::Comminuted { meat } | Self::Dry { meat } => meat.check(),
            Self::Equilibrium { meat, liquid } => meat.check().and(liquid.check()),
            Self::PickUp { liquid, taken_up } => liquid.check().and(rate(taken_up, "pick-up", "pickup:4%")),
            Self::Pumped { pickle, pump } => {
                positive(pickle, "pickle", "pickle:1.2 kg").and(rate(pump, "pump", "pump:10%"))
            }
        }
    }

    /// Ingoing nitrite and nitrate of a weight of cure. Zero cure is a valid answer: somebody forgot it.
    ///
    /// FSIS Directive 7620.3 (1995) ch. 3, second-hand: on the green weight for mince and dry cure; pump (or
    /// pick-up) × cure / whole pickle for pumping and brine; on meat and pickle together at equilibrium.
    pub fn ingoing(&self, cure: Mass, label: &CureLabel) -> Result<Ingoing, CureError> {
        self.check()?;
        if !(cure.as_grams().is_finite() && cure.as_grams() >= 0.0) {
            return Err(CureError::OutOfRange {
                what: "cure",
                range: "0 g or more",
                example: "cure:2.5 g",
            });
        }
        if self.pickle_given().is_some_and(|pickle| cure > pickle) {
            return Err(CureError::PickleTooSmall);
        }
        let counted = self.with_cure(cure, label, None)?.counted;
        let share = Fraction::of_one(cure.as_grams() / counted.as_grams());
        Ok(Ingoing::of_share(label, share, self.weight_basis()))
    }

    /// The weight of cure that makes `share` parts of cure per part of the weight that counts.
    ///
    /// Where only the water is known the pickle's weight includes the cure, so both are found together.
    pub fn cure_for(
        &self,
        share: Fraction,
        label: &CureLabel,
        salt: Option<Fraction>,
    ) -> Result<Mass, CureError> {
        self.check()?;
        let mut cure = Mass::grams(0.0);
        for _ in 0..MOST_ROUNDS {
            let counted = self.with_cure(cure, label, salt)?.counted;
            let next = Mass::grams(share.as_one() * counted.as_grams());
            let moved = (next.as_grams() - cure.as_grams()).abs();
            cure = next;
            if moved <= f64::EPSILON * next.as_grams() {
                return self.with_cure(cure, label, salt).map(|_| cure);
            }
        }
        Err(CureError::PickleTooSmall)
    }

    /// How much meat a weight of cure needs so that it makes no more than `share`: the dilution that brings a
    /// mistaken dose down to a limit. `None` where the meat's weight does not enter (pumping, pick-up).
    pub fn meat_for(&self, cure: Mass, share: Fraction, label: &CureLabel) -> Option<Mass> {
        let counted = cure.as_grams() / share.as_one();
        let (meat, pickle) = match *self {
            Self::Comminuted { meat } | Self::Dry { meat } => (meat, 0.0),
            Self::Equilibrium { meat, .. } => {
                let pickle = self.with_cure(cure, label, None).ok()?.pickle?;
                (meat, pickle.as_grams())
            }
            Self::PickUp { .. } | Self::Pumped { .. } => return None,
        };
        let per_gram = meat.counted().as_grams() / meat.weight.as_grams();
        let needed = (counted - pickle) / per_gram;
        needed.is_finite().then(|| Mass::grams(needed.max(0.0)))
    }

    /// Plain salt, pickle and salt in the meat for a weight of cure and a salt target.
    pub fn with_cure(
        &self,
        cure: Mass,
        label: &CureLabel,
        salt: Option<Fraction>,
    ) -> Result<Bath, CureError> {
        self.check()?;
        let cure_g = cure.as_grams();
        let from_cure = cure_g * label.salt().as_one();
        let bath = match *self {
            Self::Comminuted { meat } | Self::Dry { meat } => {
                let wanted = salt.map_or(0.0, |target| target.as_one() * meat.weight.as_grams());
                let plain = (wanted - from_cure).max(0.0);
                Bath::new(
                    plain,
                    None,
                    meat.counted().as_grams(),
                    (from_cure + plain) / meat.weight.as_grams(),
                )
            }
            Self::Equilibrium { meat, liquid } => {
                let (pickle, water, plain) = equilibrium(meat.weight, liquid, cure_g, from_cure, salt)?;
                let salt_in_meat = (from_cure + plain) / (meat.weight.as_grams() + water);
                Bath::new(
                    plain,
                    Some(pickle),
                    meat.counted().as_grams() + pickle,
                    salt_in_meat,
                )
            }
            Self::PickUp { liquid, taken_up } => {
                partly_taken_up(liquid, taken_up.as_one(), cure_g, from_cure, salt)?
            }
            Self::Pumped { pickle, pump } => {
                partly_taken_up(Liquid::Pickle(pickle), pump.as_one(), cure_g, from_cure, salt)?
            }
        };
        Ok(bath)
    }

    /// The pickle's whole weight, where it was given as such.
    const fn pickle_given(&self) -> Option<Mass> {
        match *self {
            Self::Equilibrium {
                liquid: Liquid::Pickle(pickle),
                ..
            }
            | Self::PickUp {
                liquid: Liquid::Pickle(pickle),
                ..
            }
            | Self::Pumped { pickle, .. } => Some(pickle),
            _ => None,
        }
    }
}

impl GreenWeight {
    fn check(self) -> Result<(), CureError> {
        positive(self.weight, "meat", "meat:2 kg")
    }
}

impl Liquid {
    fn check(self) -> Result<(), CureError> {
        match self {
            Self::Water(water) => positive(water, "water", "water:1 kg"),
            Self::Pickle(pickle) => positive(pickle, "pickle", "pickle:1.2 kg"),
        }
    }
}

impl Bath {
    fn new(plain_salt: f64, pickle: Option<f64>, counted: f64, salt_in_meat: f64) -> Self {
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
fn equilibrium(
    meat: Mass,
    liquid: Liquid,
    cure: f64,
    from_cure: f64,
    salt: Option<Fraction>,
) -> Result<(f64, f64, f64), CureError> {
    let meat = meat.as_grams();
    let target = salt.map_or(0.0, Fraction::as_one);
    match liquid {
        Liquid::Water(water) => {
            let water = water.as_grams();
            let plain = (target * (meat + water) - from_cure).max(0.0);
            Ok((water + cure + plain, water, plain))
        }
        Liquid::Pickle(pickle) => {
            let pickle = pickle.as_grams();
            // Water is what the solutes leave: salt = t·(M + P − salt − rest of the cure), solved for salt.
            let not_salt = cure - from_cure;
            let wanted = target / (1.0 + target) * (meat + pickle - not_salt);
            let plain = (wanted - from_cure).max(0.0);
            let water = pickle - cure - plain;
            if water > 0.0 {
                Ok((pickle, water, plain))
            } else {
                Err(CureError::PickleTooSmall)
            }
        }
    }
}

/// A pickle of which the meat takes up a part `rate` of its own weight (pumping, pick-up). The salt target is on
/// the weight after: the pickle must hold target · (1 + rate) / rate of salt.
fn partly_taken_up(
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
            // Pickle = water + cure + salt, and salt = in_pickle · pickle, solved for the pickle.
            let pickle = (water + cure - from_cure) / (1.0 - in_pickle);
            let plain = in_pickle * pickle - from_cure;
            if in_pickle >= 1.0 {
                return Err(CureError::PickleTooSmall);
            }
            if plain > 0.0 {
                (pickle, plain)
            } else {
                (water + cure, 0.0)
            }
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
        super::salt_after_injection(Fraction::of_one(rate), Fraction::of_one(salt_in_pickle)).as_one(),
    ))
}

fn rate(fraction: Fraction, what: &'static str, example: &'static str) -> Result<(), CureError> {
    let value = fraction.as_one();
    if value > 0.0 && value <= 1.0 {
        Ok(())
    } else {
        Err(CureError::OutOfRange {
            what,
            range: "0 % to 100 %",
            example,
        })
    }
}
