//! Ingredients as a recipe names them, scaled to the meat that is there; and the salt, sugar and water that hide in them.

use crate::quantity::{Fraction, Mass, parse};
use serde::Deserialize;
use std::sync::LazyLock;

const TEXT: &str = include_str!("ingredients.toml");

/// How much of an ingredient a recipe asks for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// So much of the meat, as a part of it: 2.5 %, 3 g/kg, 0.5 oz/lb.
    Part(Fraction),
    /// So much, for a stated weight of meat.
    For(Mass, Mass),
}

impl Amount {
    /// For a weight of meat.
    pub const fn of(self, meat: Mass) -> Mass {
        match self {
            Self::Part(part) => Mass::grams(part.as_one() * meat.as_grams()),
            Self::For(amount, of) => Mass::grams(amount.as_grams() * meat.as_grams() / of.as_grams()),
        }
    }
}

/// What an ingredient brings, as parts of it.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Brings {
    /// Words that name it.
    pub words: Vec<String>,
    /// Salt, in percent.
    #[serde(default)]
    pub salt: f64,
    /// Sugar, in percent.
    #[serde(default)]
    pub sugar: f64,
    /// Water, in percent.
    #[serde(default)]
    pub water: f64,
    /// Where that stands.
    pub source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    ingredient: Vec<Brings>,
}

static KNOWN: LazyLock<Vec<Brings>> =
    LazyLock::new(|| toml::from_str::<File>(TEXT).map_or_else(|_| Vec::new(), |file| file.ingredient));

/// What an ingredient of this name brings; the longest name that stands in it counts.
pub fn brings(name: &str) -> Option<&'static Brings> {
    let name = name.to_lowercase();
    let named = KNOWN.iter().filter_map(|known| {
        let words = known.words.iter().filter(|word| has_words(&name, word));
        words.map(String::len).max().map(|length| (length, known))
    });
    named.max_by_key(|(length, _)| *length).map(|(_, known)| known)
}

/// Salt, sugar and water of an ingredient, in percent of it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Brought {
    /// Salt.
    pub salt: f64,
    /// Sugar.
    pub sugar: f64,
    /// Water.
    pub water: f64,
}

/// What an ingredient of this name brings; nothing where the name is not known. A cure is salt but for what the
/// percentages in its name, those of its label, say it is not; a brine is as much salt as the percentage says.
pub fn brought_by(name: &str) -> Brought {
    let said = percentages(name);
    if is_cure(name) {
        let salt = (100.0 - said.iter().sum::<f64>()).max(0.0);
        return Brought { salt, ..Brought::default() };
    }
    if is_brine(name) {
        let salt = said.first().copied().unwrap_or(0.0);
        return Brought { salt, water: 100.0 - salt, ..Brought::default() };
    }
    brings(name).map_or_else(Brought::default, |known| Brought {
        salt: known.salt,
        sugar: known.sugar,
        water: known.water,
    })
}

/// Whether the name is a curing salt's.
pub fn is_cure(name: &str) -> bool {
    let name = name.to_lowercase();
    ["cure", "curing", "nitrite", "nitrited", "nitrate"].iter().any(|word| has_words(&name, word))
}

/// Whether the name may stand for something with nitrite or nitrate in it: a cure, saltpetre, or a salt named by its
/// colour, which identifies nothing.
pub fn may_hold_nitrite(name: &str) -> bool {
    let lower = name.to_lowercase();
    is_cure(name) || ["saltpetre", "saltpeter", "pink salt"].iter().any(|word| has_words(&lower, word))
}

/// Whether the name is a brine's without its strength: its salt cannot be counted.
pub fn is_brine_of_unknown_strength(name: &str) -> bool {
    is_brine(name) && !is_cure(name) && percentages(name).is_empty()
}

fn is_brine(name: &str) -> bool {
    has_words(&name.to_lowercase(), "brine")
}

/// The percentages that stand in a name.
pub fn percentages(name: &str) -> Vec<f64> {
    let words = name.split_whitespace().filter(|word| word.ends_with('%'));
    words.filter_map(|word| parse::percent(word).ok()).map(Fraction::as_percent).collect()
}

/// Whether whole words stand in a text.
pub(super) fn has_words(text: &str, words: &str) -> bool {
    let is_letter = |letter: Option<char>| letter.is_some_and(char::is_alphabetic);
    text.match_indices(words).any(|(at, found)| {
        let before = text[..at].chars().next_back();
        let after = text[at + found.len()..].trim_start_matches('s').chars().next();
        !is_letter(before) && !is_letter(after)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_is_whole() {
        let file: File = toml::from_str(TEXT).unwrap();
        for known in &file.ingredient {
            assert!(!known.words.is_empty() && !known.source.is_empty());
            assert!(known.salt + known.sugar + known.water <= 100.0, "{:?}", known.words);
        }
    }

    #[test]
    fn the_longest_name_counts() {
        assert!(brings("skim milk powder").unwrap().sugar > 50.0);
        assert!(brings("dextrose").unwrap().sugar > 90.0);
        assert_eq!(brings("celery salt").map(|known| known.salt > 50.0), Some(true));
        assert_eq!(brings("saltpetre"), None);
        assert_eq!(brings("pepper"), None);
    }

    #[test]
    fn a_colour_is_no_proof_against_nitrite() {
        for name in ["cure 6.25%", "Nitrited salt 0.5%", "pink salt", "saltpetre", "curing salt"] {
            assert!(may_hold_nitrite(name), "{name}");
        }
        for name in ["salt", "sea salt", "secure pepper", "pink pepper"] {
            assert!(!may_hold_nitrite(name), "{name}");
        }
    }
}
