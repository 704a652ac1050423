//! The pH of a buffer at a temperature: by the published table of its family, or by what its own bottle says.

use crate::curing::rule::Standing;
use crate::quantity::{Ph, QuantityError, Temperature, compare, parse};
use serde::Deserialize;
use std::sync::LazyLock;
use thiserror::Error;

/// Degrees Celsius between two rows of a table; the first is at 0 °C.
const STEP_CELSIUS: f64 = 5.0;
/// Rows of a table: 0 to 50 °C.
const ROWS: usize = 11;
/// pH of buffers that are worked with.
const BUFFER_PH: std::ops::RangeInclusive<f64> = 1.0..=13.0;

const TEXT: &str = include_str!("buffers.toml");

/// One buffer of a family.
#[derive(Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BufferTable {
    /// `standard` or `technical`.
    pub family: String,
    /// What bottles of it print, at 25 °C.
    pub nominal: Vec<String>,
    /// What is in it, where that tells it apart.
    pub name: String,
    /// pH at 0, 5, … 50 °C.
    values: Vec<f64>,
}

/// Where a family's figures come from.
#[derive(Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Family {
    /// `standard` or `technical`.
    pub name: String,
    /// The source's short name.
    pub source: String,
    /// Where in it.
    #[serde(rename = "where")]
    pub place: String,
    /// How well it is known.
    pub standing: Standing,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    table: Vec<BufferTable>,
    family: Vec<Family>,
}

/// A file that does not parse yields no buffers; a unit test reads it and names the mistake.
static FILE: LazyLock<File> = LazyLock::new(|| toml::from_str(TEXT).unwrap_or_default());

/// Why a buffer is none that can be worked with.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum BufferError {
    /// Its number cannot be read.
    #[error(transparent)]
    Number(#[from] QuantityError),
    /// A family that is not known.
    #[error(
        "\"{word}\" is no set of buffers I know; I read technical, standard, or own for the bottle's own value"
    )]
    FamilyUnknown {
        /// As typed.
        word: String,
    },
    /// The family has no such buffer.
    #[error("the {family} set has {known}; write {typed} own for the bottle's own value at this temperature")]
    NotInFamily {
        /// As typed.
        typed: String,
        /// Which family.
        family: &'static str,
        /// What it has.
        known: String,
    },
    /// A pH that no buffer has.
    #[error("pH {typed} is no buffer for meters: from 1 to 13, like 7.00")]
    NoBuffer {
        /// As typed.
        typed: String,
    },
    /// The table does not go that far.
    #[error(
        "the {family} table of buffers goes from 0 to 50 °C (32 to 122 °F); for other temperatures write the bottle's own value, like 7.02 own"
    )]
    OutsideTable {
        /// Which family.
        family: &'static str,
    },
}

/// A buffer as a member names it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Buffer {
    /// One of a published table.
    Tabled(&'static BufferTable),
    /// What its bottle says it has at the temperature of the check.
    Own(Ph),
}

impl Buffer {
    /// Reads `7.00 technical`, `pH 7.00`, `6.86 standard`, `7.02 own`, or a bare number: one that only one set has is of that
    /// set, and 4.00 of the set that `beside` names, else technical; any other is the bottle's own value.
    pub fn parse(text: &str, beside: Option<&str>) -> Result<Self, BufferError> {
        let text = text.trim();
        let text = text.strip_prefix("pH").or_else(|| text.strip_prefix("ph")).unwrap_or(text).trim();
        let (number, word) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
        let ph = parse::ph(number)?;
        if !BUFFER_PH.contains(&ph.value()) {
            return Err(BufferError::NoBuffer { typed: number.to_owned() });
        }
        match word.trim().to_lowercase().as_str() {
            "own" | "bottle" => Ok(Self::Own(ph)),
            "" => Ok(Self::bare(ph, beside)),
            "technical" => Self::of_family("technical", number, ph),
            "standard" => Self::of_family("standard", number, ph),
            other => Err(BufferError::FamilyUnknown { word: other.chars().take(20).collect() }),
        }
    }

    /// The set that a text names, or that its bare number alone belongs to.
    pub fn family_named(text: &str) -> Option<&'static str> {
        match Self::parse(text, None) {
            Ok(Self::Tabled(table)) if FILE.table.iter().filter(|row| row.shares(table)).count() == 1 => {
                Some(table.family())
            }
            Ok(Self::Tabled(table)) if text.to_lowercase().contains(&*table.family) => Some(table.family()),
            _ => None,
        }
    }

    fn bare(ph: Ph, beside: Option<&str>) -> Self {
        // A set's further names ("4.01") are too near another maker's own value to be taken for it unasked.
        let fits = |table: &&BufferTable| table.nominal.first().is_some_and(|nominal| is(nominal, ph));
        let mut fitting: Vec<_> = FILE.table.iter().filter(fits).collect();
        fitting.sort_by_key(|table| (Some(&*table.family) != beside, table.family != "technical"));
        fitting.first().map_or(Self::Own(ph), |table| Self::Tabled(table))
    }

    fn of_family(family: &'static str, typed: &str, ph: Ph) -> Result<Self, BufferError> {
        let rows = || FILE.table.iter().filter(|table| table.family == family);
        let found = rows().find(|table| table.nominal.iter().any(|nominal| is(nominal, ph)));
        found.map(Self::Tabled).ok_or_else(|| {
            let known: Vec<&str> = rows().filter_map(|table| table.nominal.first()).map(|s| &**s).collect();
            BufferError::NotInFamily { typed: typed.to_owned(), family, known: known.join(", ") }
        })
    }

    /// What it has at a temperature.
    pub fn at(self, temperature: Temperature) -> Result<Ph, BufferError> {
        match self {
            Self::Own(ph) => Ok(ph),
            Self::Tabled(table) => table
                .at(temperature.as_celsius())
                .map(Ph::new)
                .ok_or(BufferError::OutsideTable { family: table.family() }),
        }
    }

    /// What its bottle prints, where it is of a set.
    pub fn nominal(self) -> Option<&'static str> {
        match self {
            Self::Tabled(table) => table.nominal.first().map(String::as_str),
            Self::Own(_) => None,
        }
    }

    /// Where its figures come from; nothing for the bottle's own value.
    pub fn family(self) -> Option<&'static Family> {
        match self {
            Self::Tabled(table) => FILE.family.iter().find(|family| family.name == table.family),
            Self::Own(_) => None,
        }
    }
}

impl BufferTable {
    fn family(&self) -> &'static str {
        if self.family == "standard" { "standard" } else { "technical" }
    }

    /// Whether bottles of both print the same number first.
    fn shares(&self, other: &Self) -> bool {
        self.nominal.first() == other.nominal.first()
    }

    /// The line between two rows; `None` beyond the ends.
    fn at(&self, celsius: f64) -> Option<f64> {
        let steps = celsius / STEP_CELSIUS;
        let last = (ROWS - 1) as f64;
        if !(0.0..=last).contains(&steps) {
            return None;
        }
        let before = steps.floor().min(last - 1.0);
        let rest = steps - before;
        let (low, high) = (self.values.get(before as usize)?, self.values.get(before as usize + 1)?);
        Some(low + (high - low) * rest)
    }
}

fn is(nominal: &str, ph: Ph) -> bool {
    nominal.parse::<f64>().is_ok_and(|value| compare::with_tolerance(ph.value(), value).is_eq())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_parses_and_every_table_is_whole() {
        let file: File = toml::from_str(TEXT).unwrap();
        for table in &file.table {
            assert_eq!(table.values.len(), ROWS, "{table:?}");
            assert!(file.family.iter().any(|family| family.name == table.family), "{table:?}");
            assert!(table.nominal.iter().all(|nominal| nominal.parse::<f64>().is_ok()), "{table:?}");
        }
    }

    fn at(text: &str, beside: Option<&str>, celsius: f64) -> f64 {
        Buffer::parse(text, beside).unwrap().at(Temperature::celsius(celsius)).unwrap().value()
    }

    #[test]
    fn a_bare_number_is_of_the_set_that_has_it() {
        assert!((at("7.00", None, 20.0) - 7.02).abs() < 1e-9);
        assert!((at("7", None, 20.0) - 7.02).abs() < 1e-9);
        assert!((at("pH 7,00 technical", None, 20.0) - 7.02).abs() < 1e-9);
        assert!((at("6.86", None, 20.0) - 6.879).abs() < 1e-9);
        assert!((at("4.00", None, 20.0) - 4.00).abs() < 1e-9);
        assert!((at("4.00", Some("standard"), 20.0) - 3.998).abs() < 1e-9);
        assert!((at("7.01", None, 20.0) - 7.01).abs() < 1e-9, "a bottle's own value stays");
        assert!((at("4.01", None, 20.0) - 4.01).abs() < 1e-9, "a bottle's own value stays");
        assert!((at("7.00 own", None, 20.0) - 7.00).abs() < 1e-9);
        assert_eq!(Buffer::family_named("6.86"), Some("standard"));
        assert_eq!(Buffer::family_named("4.00"), None);
        assert_eq!(Buffer::family_named("4.00 standard"), Some("standard"));
        assert_eq!(Buffer::family_named("7.00"), Some("technical"));
        assert_eq!(Buffer::family_named("7.02 own"), None);
    }

    #[test]
    fn what_no_table_holds_is_refused_by_name() {
        let refused = |text: &str| Buffer::parse(text, None).unwrap_err().to_string();
        assert_eq!(
            refused("7.00 standard"),
            "the standard set has 1.68, 4.00, 6.86, 9.18; write 7.00 own for the bottle's own value at this temperature"
        );
        assert_eq!(
            refused("7.00 american"),
            "\"american\" is no set of buffers I know; I read technical, standard, or own for the bottle's own value"
        );
        assert_eq!(refused("0.5"), "pH 0.5 is no buffer for meters: from 1 to 13, like 7.00");
        assert!(Buffer::parse("seven", None).is_err());
        for celsius in [-0.1, 50.1, f64::NAN] {
            let outside = Buffer::parse("7.00", None).unwrap().at(Temperature::celsius(celsius));
            assert!(matches!(outside, Err(BufferError::OutsideTable { .. })), "{celsius}");
        }
        assert!((at("7.00", None, 50.0) - 6.97).abs() < 1e-9);
    }
}
