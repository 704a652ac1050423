//! The signs and what published texts say of them, from their file.

use crate::curing::finding::Level;
use crate::curing::rule::Standing;
use crate::record::event::ObservationKind;
use serde::Deserialize;
use std::collections::BTreeSet;
use std::sync::LazyLock;

const TEXT: &str = include_str!("signs.toml");

/// A look, smell or feel with what it is taken for.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sign {
    /// Stable name, and the end of its wording key.
    pub id: String,
    /// What sort of thing.
    pub kind: ObservationKind,
    /// How loud.
    pub level: Level,
    /// Words that name it.
    #[serde(default)]
    pub words: Vec<String>,
    /// Runs of words that name it.
    #[serde(default)]
    pub phrases: Vec<String>,
    /// What published texts say of it, the most telling first: ids of [`Fact`]s.
    facts: Vec<String>,
    /// Where what to do comes from.
    pub source: String,
    /// Where in it.
    #[serde(rename = "where")]
    pub place: String,
    /// How well it is known.
    pub standing: Standing,
}

/// What one text says.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fact {
    /// Stable name, and the end of its wording key.
    pub id: String,
    /// The source's short name.
    pub source: String,
    /// Where in it.
    #[serde(rename = "where")]
    pub place: String,
    /// How well it is known.
    pub standing: Standing,
}

impl Sign {
    /// Whether a text in small letters, cut into its words, names it.
    pub(super) fn is_named(&self, text: &str, words: &BTreeSet<&str>) -> bool {
        self.words.iter().any(|word| words.contains(word.as_str()))
            || self.phrases.iter().any(|phrase| text.contains(phrase.as_str()))
    }

    /// What published texts say of it, the most telling first.
    pub fn facts(&self) -> impl Iterator<Item = &'static Fact> {
        self.facts.iter().filter_map(|id| fact(id))
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    sign: Vec<Sign>,
    fact: Vec<Fact>,
}

static FILE: LazyLock<File> =
    LazyLock::new(|| toml::from_str(TEXT).unwrap_or_else(|_| File { sign: Vec::new(), fact: Vec::new() }));

/// Every sign.
pub fn signs() -> &'static [Sign] {
    &FILE.sign
}

/// Everything a published text says.
pub fn facts() -> &'static [Fact] {
    &FILE.fact
}

/// What a text says, by its name.
fn fact(id: &str) -> Option<&'static Fact> {
    facts().iter().find(|fact| fact.id == id)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_parses_and_every_row_is_whole() {
        let file: File = toml::from_str(TEXT).unwrap();
        assert_eq!((file.sign.len(), file.fact.len()), (signs().len(), facts().len()));
        for sign in signs() {
            assert!(
                !sign.source.is_empty() && !sign.place.is_empty() && !sign.facts.is_empty(),
                "{}",
                sign.id
            );
            assert_eq!(sign.facts().count(), sign.facts.len(), "{} names a fact that is not there", sign.id);
        }
        for fact in facts() {
            assert!(!fact.source.is_empty() && !fact.place.is_empty(), "{}", fact.id);
        }
    }

    #[test]
    fn every_kind_ends_with_the_row_for_what_names_nothing() {
        for kind in
            [ObservationKind::Mould, ObservationKind::Smell, ObservationKind::Slime, ObservationKind::HardRim]
        {
            let last = signs().iter().rfind(|sign| sign.kind == kind).unwrap();
            assert!(last.words.is_empty() && last.phrases.is_empty(), "{}", last.id);
        }
    }

    #[test]
    fn ids_are_given_once() {
        let ids: BTreeSet<_> =
            signs().iter().map(|sign| &sign.id).chain(facts().iter().map(|fact| &fact.id)).collect();
        assert_eq!(ids.len(), signs().len() + facts().len());
    }
}
