//! What the label of a curing salt says: fractions of nitrite and nitrate, and which salts they are.
#![expect(clippy::similar_names, reason = "nitrite and nitrate are the field's words")]

use super::CureError;
use crate::quantity::{AmountBasis, Cation, Fraction};

/// The composition of a curing salt, as its label prints it. What is neither nitrite nor nitrate is taken as salt;
/// a "complete" cure with sugar in it therefore holds a little less salt than counted here.
///
/// There is no way to make one from a colour, a name or a number on the bag: colour identifies nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CureLabel {
    nitrite: Fraction,
    nitrite_cation: Cation,
    nitrate: Fraction,
    nitrate_cation: Option<Cation>,
}

/// The compositions sold most, by percentage of nitrite and nitrate, for one-tap answers: 6.25; 5.88; 6.25/4;
/// 5.67/3.63; 0.4; 0.5; 0.6 %. Sources: trade labels (6.25, 6.25/4, 0.4–0.6); 5.88 and 5.67/3.63 are the
/// by-the-pound recipes, 1 oz nitrite (and 0.64 oz nitrate) to 1 lb of salt.
pub const PRESETS: [CureLabel; 7] = [
    CureLabel::printed(6.25, 0.0),
    CureLabel::printed(5.88, 0.0),
    CureLabel::printed(6.25, 4.0),
    CureLabel::printed(5.67, 3.63),
    CureLabel::printed(0.4, 0.0),
    CureLabel::printed(0.5, 0.0),
    CureLabel::printed(0.6, 0.0),
];

/// Above this fraction of nitrite no ready-mixed curing salt was found on sale; the strongest preset is 6.25 %.
/// The project's own line, no source.
const CONCENTRATE: f64 = 0.10;

/// From this fraction of nitrite a cure is of the strong kind (5.67 to 6.25 % as sold), weighed at 2.5 g/kg.
const STRONG: f64 = 0.03;

/// Up to this fraction it is of the weak kind (0.4 to 0.9 % as sold), which some take for all of the salt.
const WEAK: f64 = 0.01;

impl CureLabel {
    const fn printed(nitrite_percent: f64, nitrate_percent: f64) -> Self {
        Self {
            nitrite: Fraction::percent(nitrite_percent),
            nitrite_cation: Cation::Sodium,
            nitrate: Fraction::percent(nitrate_percent),
            nitrate_cation: None,
        }
    }

    /// A label's fractions: sodium nitrite unless said otherwise, nitrate of an unsaid cation.
    ///
    /// Errors: a fraction outside 0 to 1, or a sum above 1.
    pub fn new(nitrite: Fraction, nitrate: Fraction) -> Result<Self, CureError> {
        for (what, fraction) in [("nitrite", nitrite), ("nitrate", nitrate)] {
            let value = fraction.as_one();
            if !(0.0..=1.0).contains(&value) {
                return Err(CureError::OutOfRange { what, range: "0 % to 100 %", example: "nitrite:6.25%" });
            }
        }
        let sum = nitrite.as_one() + nitrate.as_one();
        if sum > 1.0 + f64::EPSILON {
            return Err(CureError::LabelSum);
        }
        Ok(Self { nitrite, nitrite_cation: Cation::Sodium, nitrate, nitrate_cation: None })
    }

    /// The same label with the nitrite's cation as printed.
    #[must_use]
    pub const fn with_nitrite_of(mut self, cation: Cation) -> Self {
        self.nitrite_cation = cation;
        self
    }

    /// The same label with the nitrate's cation as printed.
    #[must_use]
    pub const fn with_nitrate_of(mut self, cation: Cation) -> Self {
        self.nitrate_cation = Some(cation);
        self
    }

    /// The fraction that is a nitrite salt.
    pub const fn nitrite(&self) -> Fraction {
        self.nitrite
    }

    /// The fraction that is a nitrate salt.
    pub const fn nitrate(&self) -> Fraction {
        self.nitrate
    }

    /// What is neither nitrite nor nitrate: taken as salt.
    pub const fn salt(&self) -> Fraction {
        let rest = 1.0 - self.nitrite.as_one() - self.nitrate.as_one();
        Fraction::of_one(if rest > 0.0 { rest } else { 0.0 })
    }

    /// Which nitrite salt it is.
    pub const fn nitrite_salt(&self) -> AmountBasis {
        match self.nitrite_cation {
            Cation::Sodium => AmountBasis::SodiumNitrite,
            Cation::Potassium => AmountBasis::PotassiumNitrite,
        }
    }

    /// Which nitrate salt it is. Unsaid is taken as sodium: it holds more of the ion, so the answer is stricter.
    pub const fn nitrate_salt(&self) -> AmountBasis {
        match self.nitrate_cation {
            Some(Cation::Potassium) => AmountBasis::PotassiumNitrate,
            Some(Cation::Sodium) | None => AmountBasis::SodiumNitrate,
        }
    }

    /// Whether the label names the nitrate's cation, or has no nitrate.
    pub fn nitrate_cation_is_known(&self) -> bool {
        self.nitrate_cation.is_some() || self.nitrate.as_one() <= 0.0
    }

    /// Whether it is of the strong kind, dosed at a few grams per kilogram.
    pub fn is_strong(&self) -> bool {
        self.nitrite.as_one() >= STRONG
    }

    /// Whether it is of the weak kind, dosed at tens of grams per kilogram.
    pub fn is_weak(&self) -> bool {
        self.nitrite.as_one() > 0.0 && self.nitrite.as_one() <= WEAK
    }

    /// Whether this is pure or nearly pure nitrite, which nobody should weigh at home.
    pub fn is_concentrate(&self) -> bool {
        self.nitrite.as_one() > CONCENTRATE
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_nitrite_or_nitrate_is_salt() {
        // Trade label of the 6.25 % nitrite, 4 % nitrate cure: 89.75 % salt.
        let salt = PRESETS[2].salt().as_percent();
        assert!((salt - 89.75).abs() < 1e-9, "{salt}");
    }

    #[test]
    fn impossible_labels_are_refused() {
        let label = |nitrite: f64, nitrate: f64| {
            CureLabel::new(Fraction::percent(nitrite), Fraction::percent(nitrate))
        };
        assert!(label(625.0, 0.0).is_err());
        assert!(label(f64::NAN, 0.0).is_err());
        assert!(label(-6.25, 0.0).is_err());
        assert_eq!(label(60.0, 41.0), Err(CureError::LabelSum));
        assert!(label(60.0, 40.0).is_ok());
    }

    #[test]
    fn unsaid_nitrate_is_taken_as_sodium() {
        assert_eq!(PRESETS[2].nitrate_salt(), AmountBasis::SodiumNitrate);
        assert!(!PRESETS[2].nitrate_cation_is_known());
        let said = PRESETS[2].with_nitrate_of(Cation::Potassium);
        assert_eq!(said.nitrate_salt(), AmountBasis::PotassiumNitrate);
    }
}
