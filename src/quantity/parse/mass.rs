//! Weights: `812 g`, `1,25 kg`, `3/4 oz`, `2 lb 3 oz`.

use crate::quantity::exact::Exact;
use crate::quantity::parse::error::{QuantityError, echo};
use crate::quantity::parse::number::is_space;
use crate::quantity::parse::units::{Found, Limits, TypedUnit, candidates, read};
use crate::quantity::{Mass, MassUnit};

impl TypedUnit for MassUnit {
    const NAMES: &'static [(&'static str, Self)] = &[
        ("g", Self::Gram),
        ("gr", Self::Gram),
        ("gram", Self::Gram),
        ("grams", Self::Gram),
        ("gramme", Self::Gram),
        ("grammes", Self::Gram),
        ("gramm", Self::Gram),
        ("kg", Self::Kilogram),
        ("kgs", Self::Kilogram),
        ("kilo", Self::Kilogram),
        ("kilos", Self::Kilogram),
        ("kilogram", Self::Kilogram),
        ("kilograms", Self::Kilogram),
        // No German "Pfund": it is 500 g at a market and 453.6 g in a translated recipe.
        ("kilogramm", Self::Kilogram),
        ("oz", Self::Ounce),
        ("ounce", Self::Ounce),
        ("ounces", Self::Ounce),
        ("lb", Self::Pound),
        ("lbs", Self::Pound),
        ("pound", Self::Pound),
        ("pounds", Self::Pound),
    ];
    const ACCEPTED: &'static str = "g, kg, oz or lb";
    const LIMITS: Limits = Limits {
        hard: 0.0..=10_000_000.0,
        // From a pinch on a pocket scale to a whole pig and its hams.
        plausible: 0.01..=200_000.0,
        words: "0 g to 10000 kg",
    };
    const FRACTIONS: bool = true;
    const PARTS_RULE: &'static str = "two parts are written like 2 lb 3 oz or 1 kg 250 g, the first a whole \
                                      number and the second less than one of the first";

    fn label(self) -> &'static str {
        self.symbol()
    }

    fn factor(self) -> Option<Exact> {
        Exact::from_float(self.in_grams())
    }

    fn may_precede(self, next: Self) -> bool {
        matches!((self, next), (Self::Pound, Self::Ounce) | (Self::Kilogram, Self::Gram))
    }
}

/// What a typed weight can mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MassReading {
    /// One reading, or only one that is plausible.
    Certain(Mass),
    /// Two plausible readings of `1.234 g`; the piece's last weight may decide.
    Either {
        /// The separator read as the decimal sign.
        decimal: Mass,
        /// The separator read as a thousands sign.
        thousands: Mass,
    },
}

/// A weight from 0 g to 10,000 kg; the unit is required.
///
/// # Errors
/// Every [`QuantityError`] but those of percentages and gallons.
pub fn mass(text: &str) -> Result<Mass, QuantityError> {
    read::<MassUnit>(text, None).map(Mass::grams)
}

/// A weight whose unit may be left out, for a member or an option with a known unit.
///
/// # Errors
/// As [`mass`], but no missing unit.
pub fn mass_with_default(text: &str, unit: MassUnit) -> Result<Mass, QuantityError> {
    read(text, Some(unit)).map(Mass::grams)
}

/// A weight above zero: meat, a scale's step.
///
/// # Errors
/// As [`mass`]; zero is out of range.
pub fn positive_mass(text: &str) -> Result<Mass, QuantityError> {
    let found = mass(text)?;
    if found > Mass::grams(0.0) {
        return Ok(found);
    }
    Err(QuantityError::OutOfRange {
        text: echo(text.trim_matches(is_space)),
        range: "more than 0 g, up to 10000 kg".to_owned(),
    })
}

/// A weight with both readings left standing where `1.234 g` allows two.
///
/// # Errors
/// As [`mass`], but never ambiguous.
pub fn mass_candidates(text: &str) -> Result<MassReading, QuantityError> {
    candidates::<MassUnit>(text, None).map(MassReading::from)
}

/// The same with a unit that may be left out.
///
/// # Errors
/// As [`mass_candidates`], but no missing unit.
pub fn mass_candidates_with_default(text: &str, unit: MassUnit) -> Result<MassReading, QuantityError> {
    candidates(text, Some(unit)).map(MassReading::from)
}

impl From<Found> for MassReading {
    fn from(found: Found) -> Self {
        match found {
            Found::One(grams) => Self::Certain(Mass::grams(grams)),
            Found::Two { decimal, thousands, .. } => {
                Self::Either { decimal: Mass::grams(decimal), thousands: Mass::grams(thousands) }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grams(text: &str, expected: f64) {
        assert_eq!(mass(text), Ok(Mass::grams(expected)), "{text}");
    }

    #[test]
    fn every_unit_in_any_case() {
        for text in ["812 g", "812g", "812 G", "812 gr", "812 gram", "812 Grams", "812\u{a0}g", " 812 g "] {
            grams(text, 812.0);
        }
        for text in ["1.25 kg", "1,25kg", "1.25 Kilograms", "1 kg 250 g"] {
            grams(text, 1250.0);
        }
        for text in ["3 oz", "3 ounces", "3 OZ."] {
            grams(text, 85.048_569_375);
        }
        for text in ["2 lb", "2lbs", "2 pounds", "2 LB"] {
            grams(text, 907.184_74);
        }
    }

    #[test]
    fn pounds_and_ounces_add_up() {
        // 2 lb 3 oz = 35 oz.
        for text in ["2 lb 3 oz", "2lb3oz", "2 lbs, 3 ounces", "2 lb. 3 oz.", "35 oz"] {
            grams(text, 992.233_309_375);
        }
        grams("2 lb 3 1/2 oz", 35.5 * 28.349_523_125);
        grams("2 lb 3,5 oz", 35.5 * 28.349_523_125);
        grams("1 lb 0 oz", 453.592_37);
    }

    #[test]
    fn fractions_are_read() {
        grams("1 1/2 lb", 680.388_555);
        grams("3/4 oz", 21.262_142_343_75);
        grams("½ oz", 14.174_761_562_5);
        grams("1½ lb", 680.388_555);
    }

    #[test]
    fn no_digit_is_lost_in_the_unit() {
        grams("1.001 kg", 1001.0);
        grams("2.5 lb", 1_133.980_925);
        grams("0.07 kg", 70.0);
    }

    #[test]
    fn one_plausible_reading_is_taken() {
        grams("1.234 kg", 1234.0);
        grams("1,500 kg", 1500.0);
        grams("812.250 g", 812.25);
        grams("1.250 lb", 566.990_462_5);
        // Neither is seen in a home, one can be stored.
        grams("500.000 kg", 500_000.0);
        grams("1.234,5 g", 1234.5);
        grams("1 234 g", 1234.0);
    }

    #[test]
    fn two_weights_are_not_one_of_hundreds_of_kilograms() {
        assert_eq!(
            mass("640 655 g").unwrap_err().to_string(),
            "\"640 655 g\" is not one clear amount; write one number without a space in it"
        );
        grams("640655 g", 640_655.0);
        grams("12 500 g", 12_500.0);
    }

    #[test]
    fn two_plausible_readings_are_asked_about() {
        assert_eq!(
            mass("1.234 g"),
            Err(QuantityError::NumberAmbiguous {
                text: "1.234 g".into(),
                low: "1.2340 g".into(),
                high: "1234 g".into(),
            })
        );
        grams("1.2340 g", 1.234);
        assert_eq!(
            mass_candidates("1.234 g"),
            Ok(MassReading::Either { decimal: Mass::grams(1.234), thousands: Mass::grams(1234.0) })
        );
        assert_eq!(mass_candidates("1.234 kg"), Ok(MassReading::Certain(Mass::grams(1234.0))));
    }

    #[test]
    fn a_default_unit_is_for_bare_numbers_only() {
        assert_eq!(mass_with_default("640", MassUnit::Gram), Ok(Mass::grams(640.0)));
        assert_eq!(mass_with_default("3 oz", MassUnit::Gram), mass("3 oz"));
        assert_eq!(mass_candidates_with_default("1.234", MassUnit::Gram), mass_candidates("1.234 g"));
    }

    #[test]
    fn sentences_name_the_trouble() {
        for (text, sentence) in [
            ("", "nothing was given"),
            ("812", "\"812\" needs a unit: g, kg, oz or lb"),
            ("812 mg", "\"mg\" is not a unit I know here; I read g, kg, oz or lb"),
            ("2 lb 3 stone", "\"stone\" is not a unit I know here; I read g, kg, oz or lb"),
            ("NaN g", "\"NaN g\" is not a number"),
            ("1e400 g", "\"1e400 g\" is not a number"),
            ("1e-3 g", "\"1e-3 g\" is not a number"),
            ("pink", "\"pink\" is not a number"),
            ("+5 g", "\"+5 g\" is not a number"),
            ("8\u{7}12 g", "\"8\\u{7}12 g\" is not a number"),
            ("-5 g", "\"-5 g\" is out of range: 0 g to 10000 kg"),
            ("10001 kg", "\"10001 kg\" is out of range: 0 g to 10000 kg"),
        ] {
            assert_eq!(mass(text).unwrap_err().to_string(), sentence);
        }
        assert_eq!(
            positive_mass("0 g").unwrap_err().to_string(),
            "\"0 g\" is out of range: more than 0 g, up to 10000 kg"
        );
        grams("0 g", 0.0);
        grams("10000 kg", 10_000_000.0);
    }

    #[test]
    fn unclear_parts_are_refused() {
        for text in [
            "2.5 lb 3 oz",
            "2 lb 16 oz",
            "2 lb 20 oz",
            "3 oz 2 lb",
            "1 kg 3 oz",
            "2 lb 3 oz 1 g",
            "2 lb 2 lb",
            "2 lb 3",
            "812 g 5",
            "1.234 lb 3 oz",
            "1/2 lb 3 oz",
        ] {
            assert!(
                matches!(mass(text), Err(QuantityError::PartsUnclear { .. })),
                "{text}: {:?}",
                mass(text)
            );
        }
    }
}
