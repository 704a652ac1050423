//! The humidity over a saturated salt. Published coefficients inside their range, never beyond.

use crate::curing::rule::Standing;
use crate::quantity::{RelativeHumidity, Temperature};
use serde::Deserialize;
use std::sync::LazyLock;
use thiserror::Error;

const TEXT: &str = include_str!("salts.toml");

/// One salt.
#[derive(Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Salt {
    /// Its formula: `NaCl`.
    pub formula: String,
    /// What it is called.
    pub name: String,
    other_names: Vec<String>,
    coefficients: Vec<f64>,
    from_celsius: f64,
    to_celsius: f64,
    /// Half-width in points that is reckoned with.
    pub uncertainty: f64,
}

/// Where the figures come from.
#[derive(Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SaltSource {
    /// The source's short name.
    pub source: String,
    /// Where in it.
    #[serde(rename = "where")]
    pub place: String,
    /// How well they are known.
    pub standing: Standing,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    source: SaltSource,
    salt: Vec<Salt>,
}

/// A file that does not parse yields no salts; a unit test reads it and names the mistake.
static FILE: LazyLock<Option<File>> = LazyLock::new(|| toml::from_str(TEXT).ok());

/// Why a jar has no known humidity.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum SaltError {
    /// A salt that is not in the table.
    #[error("\"{typed}\" is no salt of the table; it has {known}")]
    Unknown {
        /// As typed, cut to a printable length.
        typed: String,
        /// What the table has.
        known: String,
    },
    /// A temperature the table does not have.
    #[error("the table for {formula} goes from {from_celsius} to {to_celsius} °C (32 to 122 °F)")]
    OutsideTable {
        /// Which salt.
        formula: &'static str,
        /// From here.
        from_celsius: f64,
        /// To here.
        to_celsius: f64,
    },
}

impl Salt {
    /// Every salt, driest first.
    pub fn all() -> &'static [Self] {
        FILE.as_ref().map_or(&[], |file| &file.salt)
    }

    /// Where the figures come from.
    pub fn source() -> Option<&'static SaltSource> {
        FILE.as_ref().map(|file| &file.source)
    }

    /// By formula or name, in any case.
    pub fn parse(text: &str) -> Result<&'static Self, SaltError> {
        let wanted = text.trim().to_lowercase();
        let is = |salt: &&Self| salt.formula.to_lowercase() == wanted || salt.other_names.contains(&wanted);
        Self::all().iter().find(is).ok_or_else(|| SaltError::Unknown {
            typed: text.trim().chars().filter(|letter| !letter.is_control()).take(40).collect(),
            known: Self::all().iter().map(|salt| &*salt.formula).collect::<Vec<_>>().join(", "),
        })
    }

    /// The humidity over it.
    pub fn at(&'static self, temperature: Temperature) -> Result<RelativeHumidity, SaltError> {
        let celsius = temperature.as_celsius();
        if !(self.from_celsius..=self.to_celsius).contains(&celsius) {
            let (from_celsius, to_celsius) = (self.from_celsius, self.to_celsius);
            return Err(SaltError::OutsideTable { formula: &self.formula, from_celsius, to_celsius });
        }
        let percent =
            self.coefficients.iter().rev().fold(0.0, |sum, coefficient| sum * celsius + coefficient);
        Ok(RelativeHumidity::percent(percent))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_parses_and_stands_in_order() {
        let file: File = toml::from_str(TEXT).unwrap();
        let at_twenty: Vec<f64> = Salt::all()
            .iter()
            .map(|salt| salt.at(Temperature::celsius(20.0)).unwrap().as_percent())
            .collect();
        assert_eq!(file.salt.len(), 5);
        assert!(at_twenty.is_sorted(), "{at_twenty:?}");
        let small = |name: &String| *name == name.to_lowercase();
        assert!(file.salt.iter().all(|salt| salt.other_names.iter().all(small)));
    }

    #[test]
    fn salts_by_formula_and_by_name() {
        for typed in ["NaCl", "nacl", "table salt", " Salt "] {
            assert_eq!(Salt::parse(typed).unwrap().formula, "NaCl", "{typed}");
        }
        assert_eq!(
            Salt::parse("sugar").unwrap_err().to_string(),
            "\"sugar\" is no salt of the table; it has MgCl2, Mg(NO3)2, NaCl, KCl, K2SO4"
        );
    }

    #[test]
    fn nothing_is_said_beyond_the_table() {
        let salt = Salt::parse("NaCl").unwrap();
        for celsius in [-0.1, 50.1, f64::NAN] {
            assert!(salt.at(Temperature::celsius(celsius)).is_err(), "{celsius}");
        }
        assert!(salt.at(Temperature::celsius(0.0)).is_ok() && salt.at(Temperature::celsius(50.0)).is_ok());
    }
}
