//! What is to be said of an ingredient, by its name.

use super::ingredient::has_words;
use crate::curing::{Level, Standing};
use serde::Deserialize;
use std::sync::LazyLock;

const TEXT: &str = include_str!("advice.toml");

/// Something to say, and of what.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Advice {
    /// Stable name; the sentence stands in the wording.
    pub id: String,
    /// Words that name the ingredient.
    pub words: Vec<String>,
    /// How loud.
    pub level: Level,
    /// Where it stands.
    pub source: String,
    /// How well it is known.
    pub standing: Standing,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    advice: Vec<Advice>,
}

static ALL: LazyLock<Vec<Advice>> =
    LazyLock::new(|| toml::from_str::<File>(TEXT).map_or_else(|_| Vec::new(), |file| file.advice));

/// What is to be said of ingredients, each once.
pub fn advice<'a>(names: impl IntoIterator<Item = &'a str>) -> Vec<&'static Advice> {
    let names: Vec<String> = names.into_iter().map(str::to_lowercase).collect();
    let is_meant =
        |advice: &&Advice| advice.words.iter().any(|word| names.iter().any(|name| has_words(name, word)));
    ALL.iter().filter(is_meant).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_is_whole() {
        let file: File = toml::from_str(TEXT).unwrap();
        assert!(file.advice.iter().all(|advice| !advice.words.is_empty() && advice.level > Level::None));
    }

    #[test]
    fn an_ingredient_is_known_by_its_name() {
        let ids = |name: &str| advice([name]).iter().map(|advice| advice.id.clone()).collect::<Vec<_>>();
        assert_eq!(ids("Celery powder"), ["vegetable_cure"]);
        assert_eq!(ids("garlic"), ["fresh"]);
        assert_eq!(ids("GDL"), ["acid_powder"]);
        assert_eq!(ids("pepper"), [""; 0]);
    }
}
