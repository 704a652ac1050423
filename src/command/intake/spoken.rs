//! Words of other languages than English, put in the place of the English ones that the grammar knows. They are data, one
//! file for each language, and read whatever language the member is spoken to in; what a word means only where it is
//! spoken stands apart. What was typed stays in the tokens: a line is shown as it came.

use crate::command::intake::token::{Kind, Token};
use crate::reply::Language;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::LazyLock;

const GERMAN: &str = include_str!("spoken/de.toml");

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Spoken {
    words: BTreeMap<String, String>,
    where_spoken: BTreeMap<String, String>,
}

static SPOKEN: LazyLock<Spoken> = LazyLock::new(|| {
    let read: Spoken = toml::from_str(GERMAN).unwrap_or_default();
    let folded = |words: BTreeMap<String, String>| {
        words.into_iter().map(|(word, english)| (folded(&word), english)).collect()
    };
    Spoken { words: folded(read.words), where_spoken: folded(read.where_spoken) }
});

/// As it is typed without umlauts.
fn folded(word: &str) -> String {
    word.replace('ä', "ae").replace('ö', "oe").replace('ü', "ue").replace('ß', "ss")
}

/// The English word for a word in lower case; the word itself where there is none.
pub(super) fn english(word: &str) -> &str {
    if word.is_ascii() {
        return english_of(word).unwrap_or(word);
    }
    english_of(&folded(word)).unwrap_or(word)
}

fn english_of(word: &str) -> Option<&'static str> {
    let spoken = (Language::in_force() == Language::German).then_some(&SPOKEN.where_spoken);
    let found = SPOKEN.words.get(word).or_else(|| spoken?.get(word));
    found.map(String::as_str)
}

/// Puts the English words in the place of the others. Some take their meaning from what stands beside them.
pub(super) fn put_into_english(tokens: &mut [Token]) {
    for at in 0..tokens.len() {
        let Some(Token { kind: Kind::Word(word), .. }) = tokens.get(at) else { continue };
        let before = at.checked_sub(1).and_then(|before| tokens.get(before));
        let beside = Beside { before, behind: tokens.get(at + 1), speaks_of_chamber: chamber(tokens, at) };
        let english = beside.meaning(word).unwrap_or_else(|| english(word));
        if english != word {
            let english = english.to_owned();
            if let Some(Token { kind, .. }) = tokens.get_mut(at) {
                *kind = Kind::Word(english);
            }
        }
    }
}

/// Whether a chamber was named before; what stands before is already English.
fn chamber(tokens: &[Token], at: usize) -> bool {
    let places = ["chamber", "fridge", "cabinet", "box", "room"];
    tokens.iter().take(at).any(|token| matches!(&token.kind, Kind::Word(word) if places.contains(&&**word)))
}

/// What stands beside a word.
struct Beside<'t> {
    before: Option<&'t Token>,
    behind: Option<&'t Token>,
    speaks_of_chamber: bool,
}

/// Days behind which "morgen" is the morning.
const DAYS: [&str; 10] = [
    "today",
    "yesterday",
    "ereyesterday",
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
];
/// Words behind which "auf" says where something got to, or what it is at.
const MOVED: [&str; 8] = ["got", "rose", "reached", "set", "setpoint", "is", "until", "ph"];

impl Beside<'_> {
    fn meaning(&self, word: &str) -> Option<&'static str> {
        match word {
            "morgen" => Some(if self.is_behind(&DAYS) { "morning" } else { "tomorrow" }),
            // "an #3", "auf #3"; in English "an" is an article.
            "an" | "am" | "auf" if matches!(self.behind?.kind, Kind::Piece(_)) => Some("on"),
            // "Kammer auf 24 °C" sets it, "stieg auf 24 °C" reads it.
            "auf" if self.speaks_of_chamber && self.is_before_number() && !self.is_behind(&MOVED) => {
                Some("set")
            }
            "auf" => Some("to"),
            // "am Montag", but "8 am monday".
            "am" if !self.before.is_some_and(is_number) && self.is_before_weekday() => Some("on"),
            _ => None,
        }
    }

    fn is_behind(&self, words: &[&str]) -> bool {
        matches!(self.before, Some(Token { kind: Kind::Word(before), .. }) if words.contains(&&**before))
    }

    fn is_before_number(&self) -> bool {
        self.behind.is_some_and(|token| is_number(token) || matches!(token.kind, Kind::Sign('-')))
    }

    fn is_before_weekday(&self) -> bool {
        matches!(self.behind, Some(Token { kind: Kind::Word(behind), .. })
            if english(behind).ends_with("day") && english(behind) != behind)
    }
}

const fn is_number(token: &Token) -> bool {
    matches!(token.kind, Kind::Number | Kind::Clock(_))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reply::in_language;

    #[test]
    fn the_file_is_read_and_every_word_in_lower_case() {
        let read: Spoken = toml::from_str(GERMAN).unwrap();
        assert!(read.words.len() > 200);
        for word in read.words.keys().chain(read.where_spoken.keys()) {
            assert_eq!(*word, word.to_lowercase());
        }
    }

    #[test]
    fn umlauts_are_read_in_both_spellings() {
        for (word, expected) in
            [("stück", "piece"), ("stueck", "piece"), ("märz", "march"), ("hung", "hung"), ("grün", "grün")]
        {
            assert_eq!(english(word), expected, "{word}");
        }
    }

    #[test]
    fn a_word_with_an_english_meaning_keeps_it() {
        assert_eq!(english("probe"), "probe");
        assert_eq!(in_language(Language::German, || english("probe").to_owned()), "sample");
    }
}
