//! What two weights say about salting: what was taken up in a brine; and of a dry cure, salt in and water out.

use crate::quantity::format::trimmed;
use crate::quantity::{Fraction, Mass, compare};
use thiserror::Error;

/// Heaviest piece that is believed, in grams: one tonne.
const MAX_GRAMS: f64 = 1_000_000.0;

/// More salt than this part of the raw meat is no dose that went in. This project's choice, no source.
const MOST_SALT: f64 = 0.30;

/// Why two weights say nothing.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum SaltingError {
    /// A weight that no piece has.
    #[error("{} g is no weight for a piece: more than 0 g and at most 1000 kg", trimmed(*.grams, 1))]
    Weight {
        /// What was given, in grams.
        grams: f64,
    },
    /// More salt than meat takes.
    #[error(
        "{} g of salt is more than 30 % of the raw meat: count only what went on it, not the box",
        trimmed(*.grams, 1),
    )]
    TooMuchSalt {
        /// What was given, in grams.
        grams: f64,
    },
    /// The piece weighs more than meat and salt together.
    #[error(
        "it weighs {} g, more than the {} g of meat and salt that went in: check the weights; for a brine leave salt: out",
        trimmed(*.after_grams, 1),
        trimmed(*.most_grams, 1),
    )]
    MoreThanWentIn {
        /// Weight after, in grams.
        after_grams: f64,
        /// Meat and salt, in grams.
        most_grams: f64,
    },
    /// The piece got lighter where it should have taken up brine.
    #[error(
        "it weighs {} g after and {} g before: nothing was taken up, so there is no pick-up",
        trimmed(*.after_grams, 1),
        trimmed(*.before_grams, 1),
    )]
    NothingTakenUp {
        /// Weight before, in grams.
        before_grams: f64,
        /// Weight after, in grams.
        after_grams: f64,
    },
}

/// A piece weighed raw and again after the cure, wiped and drained.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighed {
    before: Mass,
    after: Mass,
}

impl Weighed {
    /// Both weights; each above zero.
    pub fn new(before: Mass, after: Mass) -> Result<Self, SaltingError> {
        for weight in [before, after] {
            let grams = weight.as_grams();
            if !(grams > 0.0 && grams <= MAX_GRAMS) {
                return Err(SaltingError::Weight { grams });
            }
        }
        Ok(Self { before, after })
    }

    /// Raw weight.
    pub const fn before(self) -> Mass {
        self.before
    }

    /// Weight after the cure.
    pub const fn after(self) -> Mass {
        self.after
    }

    /// The change in weight as a part of the raw weight; negative for a loss.
    pub fn change(self) -> Fraction {
        Fraction::of_one((self.after.as_grams() - self.before.as_grams()) / self.before.as_grams())
    }

    /// Pick-up in a brine: (after − before) / before (FSIS Directive 7620.3, 1995, ch. 3, second-hand).
    pub fn pick_up(self) -> Result<Fraction, SaltingError> {
        let gain = self.change();
        if compare::with_tolerance(self.after.as_grams(), self.before.as_grams()).is_gt() {
            return Ok(gain);
        }
        let (before_grams, after_grams) = (self.before.as_grams(), self.after.as_grams());
        Err(SaltingError::NothingTakenUp { before_grams, after_grams })
    }

    /// Of a dry cure in which this much salt went on: what the weights say if all of it went in.
    pub fn with_salt(self, salt: Mass) -> Result<Salting, SaltingError> {
        let grams = salt.as_grams();
        if !(grams >= 0.0 && grams <= self.before.as_grams() * MOST_SALT) {
            return Err(SaltingError::TooMuchSalt { grams });
        }
        let most = self.before + salt;
        if compare::with_tolerance(self.after.as_grams(), most.as_grams()).is_gt() {
            let (after_grams, most_grams) = (self.after.as_grams(), most.as_grams());
            return Err(SaltingError::MoreThanWentIn { after_grams, most_grams });
        }
        Ok(Salting { weighed: self, salt })
    }
}

/// Salt in and water out of a piece. Salt that ran off with the liquid is not seen by a scale, so both are the most they
/// can be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Salting {
    weighed: Weighed,
    salt: Mass,
}

impl Salting {
    /// Water that left: meat and salt that went in, less what is there now. At most this.
    pub fn water_lost(self) -> Mass {
        let lost = (self.weighed.before + self.salt - self.weighed.after).as_grams();
        Mass::grams(lost.max(0.0))
    }

    /// The same as a part of the raw weight.
    pub fn water_lost_part(self) -> Fraction {
        Fraction::of_one(self.water_lost().as_grams() / self.weighed.before.as_grams())
    }

    /// Salt as a part of the piece as it is now. At most this.
    pub fn salt_now(self) -> Fraction {
        Fraction::of_one(self.salt.as_grams() / self.weighed.after.as_grams())
    }

    /// Salt as a part of the raw meat: the dose.
    pub fn salt_of_raw(self) -> Fraction {
        Fraction::of_one(self.salt.as_grams() / self.weighed.before.as_grams())
    }
}
