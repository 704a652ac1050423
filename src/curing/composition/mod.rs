//! What cuts of meat are made of, from a public table, by name or by its number.

use crate::curing::Standing;
use crate::quantity::Fraction;
use serde::Deserialize;
use std::sync::LazyLock;

const TEXT: &str = include_str!("cuts.toml");

/// A cut and what it is made of, each as g in 100 g.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cut {
    /// The table's stable number.
    pub ndb: String,
    /// Its name.
    pub name: String,
    /// Other names it is found by.
    pub words: Vec<String>,
    /// Water.
    pub water: f64,
    /// Protein.
    pub protein: f64,
    /// Fat.
    pub fat: f64,
    /// Ash.
    pub ash: f64,
}

/// The table with its source.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Composition {
    /// The source's short name.
    pub source: String,
    /// How well its figures are known.
    pub standing: Option<Standing>,
    /// The cuts.
    pub cut: Vec<Cut>,
}

static TABLE: LazyLock<Composition> = LazyLock::new(|| toml::from_str(TEXT).unwrap_or_default());

/// The table. (A file that does not parse would be empty; a unit test reads it and names the mistake.)
pub fn table() -> &'static Composition {
    &TABLE
}

/// What a piece of meat is made of, as parts of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parts {
    /// Water.
    pub water: Fraction,
    /// Protein.
    pub protein: Fraction,
    /// Fat.
    pub fat: Fraction,
}

impl Cut {
    /// As parts of one.
    pub const fn parts(&self) -> Parts {
        Parts {
            water: Fraction::percent(self.water),
            protein: Fraction::percent(self.protein),
            fat: Fraction::percent(self.fat),
        }
    }
}

/// What a name or a number finds.
#[derive(Debug, Clone, PartialEq)]
pub enum Found {
    /// One cut.
    One(&'static Cut),
    /// Several that the words fit.
    Several(Vec<&'static Cut>),
    /// None.
    Nothing,
}

/// Finds a cut: by its number, by its whole name, or by words that all stand in one name.
pub fn find(text: &str) -> Found {
    let wanted = plain(text);
    if wanted.is_empty() {
        return Found::Nothing;
    }
    let cuts = &table().cut;
    let by = |fits: &dyn Fn(&Cut) -> bool| cuts.iter().filter(|cut| fits(cut)).collect::<Vec<&'static Cut>>();
    let number = wanted.trim_start_matches("ndb ").trim_start_matches('0').to_owned();
    let ways: [&dyn Fn(&Cut) -> bool; 3] = [
        &|cut| cut.ndb.trim_start_matches('0') == number,
        &|cut| plain(&cut.name) == wanted || cut.words.contains(&wanted),
        &|cut| {
            let name = format!("{} {}", plain(&cut.name), cut.words.join(" "));
            wanted.split(' ').all(|word| name.split(' ').any(|known| known == word))
        },
    ];
    for way in ways {
        match by(way).as_slice() {
            [] => {}
            [one] => return Found::One(one),
            several => return Found::Several(several.to_vec()),
        }
    }
    Found::Nothing
}

fn plain(text: &str) -> String {
    let text = text.to_lowercase();
    let words = text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn the_table_is_whole() {
        let table: Composition = toml::from_str(TEXT).unwrap();
        assert!(!table.source.is_empty() && table.standing.is_some());
        let numbers: BTreeSet<&str> = table.cut.iter().map(|cut| cut.ndb.as_str()).collect();
        assert_eq!(numbers.len(), table.cut.len());
        for cut in &table.cut {
            let sum = cut.water + cut.protein + cut.fat + cut.ash;
            assert!((97.0..=102.5).contains(&sum), "{}: {sum}", cut.name);
        }
    }

    #[test]
    fn no_word_names_two_cuts() {
        let mut seen = BTreeSet::new();
        for cut in &table().cut {
            for word in cut.words.iter().cloned().chain([plain(&cut.name)]) {
                assert!(seen.insert(word.clone()), "{word}");
            }
        }
    }

    #[test]
    fn a_cut_is_found_by_number_name_or_words() {
        let one = |text: &str| match find(text) {
            Found::One(cut) => cut.ndb.clone(),
            other => panic!("{text}: {other:?}"),
        };
        for (text, ndb) in [
            ("10004", "10004"),
            ("NDB 5145", "05145"),
            ("Back fat", "10004"),
            ("pork shoulder", "10070"),
            ("round, eye, beef", "13877"),
            ("shoulder blade", "10080"),
        ] {
            assert_eq!(one(text), ndb, "{text}");
        }
        assert_eq!(find("lean picnic"), Found::Nothing, "every word must stand in the name");
        assert!(matches!(find("pork"), Found::Several(_)));
        assert_eq!(find("tofu"), Found::Nothing);
        assert_eq!(find(""), Found::Nothing);
    }
}
