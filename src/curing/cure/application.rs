//! What the cure is spread over, and how: the formulas from grams of cure to mg/kg.

use super::bath::{self, Bath};
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
        Self { weight, skin_on: false }
    }

    /// The weight that counts for nitrite.
    pub fn counted(self) -> Mass {
        if self.skin_on { Mass::grams(self.weight.as_grams() * COUNTED_OF_SKIN_ON) } else { self.weight }
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
            return Err(CureError::OutOfRange { what: "cure", range: "0 g or more", example: "cure:2.5 g" });
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
                let (pickle, water, plain) = bath::equilibrium(meat.weight, liquid, cure_g, from_cure, salt)?;
                let salt_in_meat = (from_cure + plain) / (meat.weight.as_grams() + water);
                Bath::new(plain, Some(pickle), meat.counted().as_grams() + pickle, salt_in_meat)
            }
            Self::PickUp { liquid, taken_up } => {
                bath::partly_taken_up(liquid, taken_up.as_one(), cure_g, from_cure, salt)?
            }
            Self::Pumped { pickle, pump } => {
                bath::partly_taken_up(Liquid::Pickle(pickle), pump.as_one(), cure_g, from_cure, salt)?
            }
        };
        Ok(bath)
    }

    /// The pickle's whole weight, where it was given as such.
    const fn pickle_given(&self) -> Option<Mass> {
        match *self {
            Self::Equilibrium { liquid: Liquid::Pickle(pickle), .. }
            | Self::PickUp { liquid: Liquid::Pickle(pickle), .. }
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

fn rate(fraction: Fraction, what: &'static str, example: &'static str) -> Result<(), CureError> {
    let value = fraction.as_one();
    if value > 0.0 && value <= 1.0 {
        Ok(())
    } else {
        Err(CureError::OutOfRange { what, range: "0 % to 100 %", example })
    }
}
