//! Which of the fourteen allergens of the European list an ingredient's name gives away (Reg. (EU) 1169/2011, Annex II).
//! A name that gives nothing away proves nothing: labels of spice mixes must be read.

use super::ingredient::has_words;
use serde::Deserialize;
use std::sync::LazyLock;

const TEXT: &str = include_str!("allergens.toml");

/// One of the fourteen.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Allergen {
    /// Its name.
    pub name: String,
    /// Words that give it away.
    pub words: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    allergen: Vec<Allergen>,
}

static ALL: LazyLock<Vec<Allergen>> =
    LazyLock::new(|| toml::from_str::<File>(TEXT).map_or_else(|_| Vec::new(), |file| file.allergen));

/// The allergens that ingredients' names give away, each once, in the order of the list.
pub fn allergens<'a>(names: impl IntoIterator<Item = &'a str>) -> Vec<&'static str> {
    let names: Vec<String> = names.into_iter().map(str::to_lowercase).collect();
    let gives_away = |allergen: &&Allergen| {
        allergen.words.iter().any(|word| names.iter().any(|name| has_words(name, word)))
    };
    ALL.iter().filter(gives_away).map(|allergen| allergen.name.as_str()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_list_has_fourteen() {
        let file: File = toml::from_str(TEXT).unwrap();
        assert_eq!(file.allergen.len(), 14);
    }

    #[test]
    fn names_give_allergens_away() {
        assert_eq!(
            allergens(["skim milk powder", "Mustard seeds", "red wine", "pepper"]),
            ["milk", "mustard", "sulphites"]
        );
        assert_eq!(allergens(["nutmeg", "buckwheat honey"]), [""; 0], "a word inside a word is none");
    }
}
