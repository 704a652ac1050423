//! Additives by name, and what the rulebooks hold of them by country and day. What is not held is not known: nothing is
//! permitted or forbidden by silence.

use super::Finding;
use super::rule::{Limit, Rulebook};
use super::rulebook;
use crate::quantity::Fraction;
use chrono::NaiveDate;
use serde::Deserialize;
use std::sync::LazyLock;

const TEXT: &str = include_str!("additives.toml");

/// An additive and the names it goes by.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Additive {
    /// What the rulebooks' rows call it.
    pub figure: String,
    /// As shown.
    pub name: String,
    /// As typed.
    names: Vec<String>,
    /// Whether it is a cure, which is judged with its product, method and label.
    #[serde(default)]
    pub is_cure: bool,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Register {
    rulebook: Rulebook,
    name: String,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    additive: Vec<Additive>,
    register: Vec<Register>,
}

static FILE: LazyLock<File> = LazyLock::new(|| toml::from_str(TEXT).unwrap_or_default());

impl Additive {
    /// The additive of this name or number: `E 171`, `TiO2`, in any case.
    pub fn named(text: &str) -> Option<&'static Self> {
        let wanted = bare(text);
        FILE.additive.iter().find(|known| known.names.iter().any(|name| bare(name) == wanted))
    }

    /// Every additive that a name is held of.
    pub fn all() -> &'static [Self] {
        &FILE.additive
    }

    /// The rows that a rulebook holds of it on a day.
    pub fn rows(&self, book: Rulebook, day: NaiveDate) -> Vec<&'static Limit> {
        rulebook::of(book, day).filter(|row| row.figure == self.figure).collect()
    }

    /// The rows that a rulebook holds of it for other days.
    pub fn rows_of_other_days(&self, book: Rulebook, day: NaiveDate) -> Vec<&'static Limit> {
        let rows = rulebook::all().iter().filter(|row| row.rulebook == book && row.figure == self.figure);
        rows.filter(|row| !row.applies_on(day)).collect()
    }
}

/// The text in which a country's permissions stand.
pub fn register(book: Rulebook) -> &'static str {
    FILE.register.iter().find(|register| register.rulebook == book).map_or("", |register| &register.name)
}

/// Holds a share of the food against a row. `None`: the row has no figure that a share could be held against.
pub fn judge(row: &Limit, share: Fraction) -> Option<Finding> {
    let measured = match row.unit.as_str() {
        "%" => share.as_percent(),
        "mg/kg" => share.as_one() * 1e6,
        _ => return None,
    };
    Some(Finding::judge(row, measured))
}

fn bare(text: &str) -> String {
    text.chars().filter(|letter| letter.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_is_whole() {
        let file: File = toml::from_str(TEXT).unwrap();
        for book in Rulebook::COUNTRIES {
            assert!(!register(book).is_empty(), "{book:?}");
        }
        for additive in &file.additive {
            let held = rulebook::all().iter().any(|row| row.figure == additive.figure);
            assert!(held, "{}", additive.figure);
            for name in &additive.names {
                assert_eq!(
                    Additive::named(name).map(|found| &found.figure),
                    Some(&additive.figure),
                    "{name}"
                );
            }
        }
    }

    #[test]
    fn a_name_is_found_however_it_is_written() {
        for typed in ["E 171", "e-171", "TiO2", "Titanium Dioxide", "INS 171"] {
            assert_eq!(
                Additive::named(typed).map(|found| &*found.figure),
                Some("titanium_dioxide"),
                "{typed}"
            );
        }
        assert_eq!(Additive::named("E 17"), None);
        assert_eq!(Additive::named(""), None);
    }
}
