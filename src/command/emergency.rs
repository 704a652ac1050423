//! A line that tells of poisoning: it is answered before anything else, for anybody, and nothing of it is kept.
//!
//! Rather one answer too many than one too few; but a line that only says that meat was eaten is a reading.

use crate::curing::Level;
use crate::reply::{Reply, say};
use serde::Deserialize;
use std::sync::LazyLock;

/// The words of one language; see the file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Words {
    #[expect(dead_code, reason = "says in the file whose words follow")]
    name: String,
    cure_comes_first: bool,
    signs: Vec<String>,
    after_eating: Vec<String>,
    eating: Vec<String>,
    cures: Vec<String>,
    swallowed: Vec<String>,
    apart: Vec<String>,
    denials: Vec<String>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    language: Vec<Words>,
}

const TEXT: &str = include_str!("emergency/words.toml");

/// (A file that does not parse would be empty; a unit test reads it and names the mistake.)
static LANGUAGES: LazyLock<Vec<Words>> =
    LazyLock::new(|| toml::from_str(TEXT).map_or_else(|_| Vec::new(), |file: File| file.language));

/// How many words may stand between swallowing and what was swallowed.
const BETWEEN: usize = 5;

/// The answer to a line that tells of poisoning; `None` for every other line.
pub fn answer(typed: &str) -> Option<Reply> {
    tells(typed).then(reply)
}

fn reply() -> Reply {
    let mut reply = Reply::new("emergency", say("emergency.headline", &[]));
    reply.lines =
        vec![say("emergency.nitrite", &[]), say("emergency.botulism", &[]), say("emergency.keep", &[])];
    reply.note(Level::Danger, say("emergency.no_more", &[]));
    reply.working.push(say("emergency.standing", &[]));
    reply
}

fn tells(typed: &str) -> bool {
    let words = words_of(typed);
    // Clauses stay apart: "ate one; cure 2.5 g" speaks of two things.
    let clauses: Vec<_> = typed.split(['.', ';', '\n', '!', '?']).map(words_of).collect();
    LANGUAGES.iter().any(|language| {
        clauses.iter().any(|clause| language.tells_of_swallowing(clause)) || language.tells_of_signs(&words)
    })
}

impl Words {
    fn tells_of_signs(&self, words: &[String]) -> bool {
        if self.signs.iter().any(|sign| places(words, sign).next().is_some()) {
            return true;
        }
        let eaten = self.eating.iter().any(|word| places(words, word).next().is_some());
        let has = |sign: &String| places(words, sign).any(|place| !self.is_denied(words, place));
        eaten && self.after_eating.iter().any(has)
    }

    /// "swallowed some of the cure", "drank the brine"; "hat Pökelsalz verschluckt".
    fn tells_of_swallowing(&self, words: &[String]) -> bool {
        let swallowed: Vec<usize> = self.swallowed.iter().flat_map(|word| places(words, word)).collect();
        let cures: Vec<usize> = self.cures.iter().flat_map(|cure| places(words, cure)).collect();
        let is_one = |swallowed: usize, cure: usize| {
            let (first, last) =
                if self.cure_comes_first && cure < swallowed { (cure, swallowed) } else { (swallowed, cure) };
            // "Wurst mit Pökelsalz gegessen": the word before the cure counts as well.
            let from = if first == cure { first.saturating_sub(1) } else { first };
            let between = words.get(from..last).unwrap_or_default();
            last > first
                && between.len() <= BETWEEN
                && between.iter().all(|word| !self.apart.iter().any(|apart| folded(apart) == *word))
        };
        swallowed.iter().any(|swallowed| {
            !self.is_denied(words, *swallowed) && cures.iter().any(|cure| is_one(*swallowed, *cure))
        })
    }

    fn is_denied(&self, words: &[String], place: usize) -> bool {
        const BEFORE: usize = 3;
        let before = words.get(place.saturating_sub(BEFORE)..place).unwrap_or_default();
        before.iter().any(|word| self.denials.iter().any(|denial| folded(denial) == *word))
    }
}

/// Where the words of a phrase stand one after the other.
fn places(words: &[String], phrase: &str) -> impl Iterator<Item = usize> {
    let wanted: Vec<String> = phrase.split(' ').map(folded).collect();
    let last = words.len().checked_sub(wanted.len()).map_or(0, |last| last + 1);
    let is_there =
        |place: &usize| words.iter().skip(*place).zip(&wanted).all(|(word, wanted)| word == wanted);
    (0..last).filter(is_there).collect::<Vec<_>>().into_iter()
}

fn words_of(text: &str) -> Vec<String> {
    let text = text.to_lowercase();
    let words = text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty());
    words.map(folded).collect()
}

/// As it is typed without umlauts.
fn folded(word: &str) -> String {
    word.replace('ä', "ae").replace('ö', "oe").replace('ü', "ue").replace('ß', "ss")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_is_whole() {
        let file: File = toml::from_str(TEXT).unwrap();
        assert_eq!(file.language.len(), 2);
        for words in &file.language {
            let lists = [&words.signs, &words.after_eating, &words.eating, &words.cures, &words.swallowed];
            for word in lists.into_iter().chain([&words.apart, &words.denials]).flatten() {
                assert_eq!(words_of(word).join(" "), folded(word), "{word} would never be found");
            }
        }
    }

    #[test]
    fn signs_of_poisoning_are_heard() {
        for line in [
            "my wife has blue lips",
            "meine Frau hat blaue Lippen",
            "Ich sehe doppelt seit gestern",
            "Er hat Pökelsalz verschluckt!",
            "Verdacht auf Lebensmittelvergiftung",
            "Blue-grey lips after dinner",
            "his lips are blue, what do I do?",
            "I see double since I ate #2",
            "DOUBLE VISION after eating B1",
            "he can't swallow",
            "she can’t breathe",
            "drooping eyelids and a dry mouth",
            "ate a slice of B3 yesterday, vomiting since",
            "we ate it and feel sick",
            "tasted it and now I am dizzy",
            "my son swallowed some of the pink salt",
            "the dog ate the curing salt",
            "somebody drank the brine",
            "a child has swallowed about a spoon of cure",
            "log reading text:double vision, #2 640 g",
            "after the meal he threw up",
            "Meine Tochter hat ganz blaue Lippen",
            "seine Lippen sind bläulich",
            "er ist blau angelaufen",
            "seit heute sehe ich alles doppelt",
            "sie sieht dopelt",
            "ich sehe verschwommen und habe einen trockenen Mund",
            "Er kann nicht mehr schlucken",
            "hängende Augenlider",
            "haengende Lider, lallt",
            "sie kriegt keine Luft",
            "mein Mann ist ohnmaechtig",
            "bewustlos nach dem Essen",
            "Verdacht auf Botulismus",
            "Lebensmittel-Vergiftung?",
            "wir haben davon gegessen, jetzt ist mir schlecht",
            "gestern B3 probiert, seitdem Durchfall",
            "hab die Wurst gegessen und mich erbrochen",
            "#2 gegessen und jetzt Bauchkrämpfe",
            "Kind hat vom Pökelsalz gegessen",
            "mein Sohn hat Pöckelsalz verschluckt",
            "der Hund hat Poekelsalz gefressen",
            "Der Kleine hat die Lake getrunken",
            "verschluckt hat er einen Löffel Nitritpökelsalz",
            "I ate it, now vomitting",
        ] {
            assert!(answer(line).is_some(), "{line}");
        }
    }

    #[test]
    fn readings_and_commands_are_left_alone() {
        for line in [
            "#4 out, eaten",
            "#4 out, ate it with friends",
            "we ate #2 and nobody got sick",
            "ate one; cure was 2.5 g/kg",
            "cure mix meat:2 kg nitrite:6.25% salt:2.7%",
            "mould: blue, grey, a little on #3",
            "pH 5.09 at 21C, 812 g",
            "drank a beer, 812 g",
            "batch note text:taste it at the end, the dry mouth feel is right",
            "the pickle is 1500 g, #2 640 g",
            "hard rim, weak smell",
            "nobody ate the cure",
            "blue vein",
            "may #2 be eaten before the cure is through",
            "#4 raus, gegessen",
            "#2 gegessen, schmeckt gut",
            "wir haben #2 gegessen und niemand wurde krank",
            "haben die Wurst mit Pökelsalz gegessen",
            "niemand hat Pökelsalz gegessen",
            "Pökelsalz 2,5 g/kg, #1 gegessen",
            "eine Scheibe probiert, dann kam Pökelsalz dazu",
            "Schimmel: blau, grau, etwas an #3",
            "pH 5,1 bei 21 °C, Kühlschrank 3 °C",
            "Die Lake wiegt 1500 g",
            "Trockenrand, riecht säuerlich",
            "ein Bier getrunken, 812 g",
            "",
        ] {
            assert!(answer(line).is_none(), "{line}");
        }
    }

    #[test]
    fn the_answer_says_whom_to_call_first_and_has_no_figures() {
        let reply = answer("blue lips").unwrap();
        assert!(reply.headline.starts_with("Call"), "{}", reply.headline);
        assert!(reply.figures.is_empty() && reply.stored.is_empty());
        let said = crate::reply::plain::text(&reply);
        assert!(!said.contains(|letter: char| letter.is_ascii_digit()), "{said}");
        assert_eq!(reply.level(), Level::Danger);
    }
}
