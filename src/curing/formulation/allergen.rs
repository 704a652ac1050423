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

/// The names of the fourteen, in the order of the list.
pub fn all() -> impl Iterator<Item = &'static str> {
    ALL.iter().map(|allergen| allergen.name.as_str())
}

/// The allergen that a member names, in any case: by its name, or by a word that gives it away.
pub fn named(text: &str) -> Option<&'static str> {
    let text = text.trim().to_lowercase();
    all().find(|name| *name == text).or_else(|| allergens([text.as_str()]).first().copied())
}

/// The allergens that ingredients' names give away with those that are known besides, each once.
pub fn with_known<'a>(names: impl IntoIterator<Item = &'a str>, known: &[String]) -> Vec<&'static str> {
    let given_away = allergens(names);
    all().filter(|name| given_away.contains(name) || known.iter().any(|own| own == name)).collect()
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

    #[test]
    fn what_is_known_stands_with_what_shows() {
        let known = ["celery".to_owned(), "milk".to_owned()];
        assert_eq!(with_known(["milk powder", "spice mix"], &known), ["milk", "celery"]);
        assert_eq!(
            [named("Mustard"), named("wheat"), named("sugar")],
            [Some("mustard"), Some("gluten"), None]
        );
    }
}
