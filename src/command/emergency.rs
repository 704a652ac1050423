//! A line that tells of poisoning: it is answered before anything else, for anybody, and nothing of it is kept.
//!
//! Rather one answer too many than one too few; but a line that only says that meat was eaten is a reading.

use crate::curing::Level;
use crate::reply::{Reply, say};

/// Signs that stand for themselves, eaten or not, in English and in German. Signs of botulism and of nitrite poisoning:
/// from memory.
const SIGNS: [&str; 63] = [
    "blue lips",
    "grey lips",
    "gray lips",
    "lips blue",
    "lips grey",
    "lips gray",
    "lips are blue",
    "lips are grey",
    "lips are gray",
    "lips turned blue",
    "lips turning blue",
    "lips went blue",
    "lips look blue",
    "blue face",
    "blue fingernails",
    "double vision",
    "see double",
    "sees double",
    "seeing double",
    "blurred vision",
    "blurry vision",
    "blurred sight",
    "drooping lids",
    "drooping eyelids",
    "droopy eyelids",
    "trouble swallowing",
    "difficulty swallowing",
    "hard to swallow",
    "cannot swallow",
    "can not swallow",
    "can t swallow",
    "slurred speech",
    "trouble breathing",
    "difficulty breathing",
    "cannot breathe",
    "can not breathe",
    "can t breathe",
    "short of breath",
    "passed out",
    "food poisoning",
    "blaue lippen",
    "lippen blau",
    "lippen sind blau",
    "lippen werden blau",
    "sehe doppelt",
    "sieht doppelt",
    "doppelt sehen",
    "doppelbilder",
    "sehe verschwommen",
    "sieht verschwommen",
    "kann nicht schlucken",
    "kann kaum schlucken",
    "schluckbeschwerden",
    "atemnot",
    "bekomme keine luft",
    "bekommt keine luft",
    "bewusstlos",
    "lebensmittelvergiftung",
    "vergiftet",
    "vergiftung",
    "pökelsalz verschluckt",
    "pökelsalz getrunken",
    "pökelsalz gegessen",
];

/// Signs that count beside a word of eating.
const AFTER_EATING: [&str; 27] = [
    "vomit",
    "vomits",
    "vomited",
    "vomiting",
    "throwing up",
    "threw up",
    "throws up",
    "diarrhoea",
    "diarrhea",
    "cramps",
    "fever",
    "feverish",
    "dizzy",
    "dizziness",
    "nausea",
    "nauseous",
    "headache",
    "sick",
    "ill",
    "unwell",
    "not well",
    "not feeling well",
    "dry mouth",
    "faint",
    "fainted",
    "unconscious",
    "poisoned",
];

const EATING: [&str; 12] = [
    "ate",
    "eat",
    "eats",
    "eaten",
    "eating",
    "swallowed",
    "swallowing",
    "tasted",
    "tasting",
    "drank",
    "ingested",
    "meal",
];

/// What must not be swallowed.
const CURES: [&str; 9] =
    ["cure", "curing salt", "nitrite", "nitrate", "pink salt", "saltpetre", "saltpeter", "brine", "pickle"];

const SWALLOWED: [&str; 9] =
    ["swallowed", "swallows", "swallow", "ate", "eaten", "drank", "ingested", "drunk", "eats"];

/// How many words may stand between swallowing and what was swallowed.
const BETWEEN: usize = 5;

/// Words that part the two: "may it be eaten before the cure is through".
const APART: [&str; 5] = ["before", "after", "until", "without", "while"];

/// Words that turn a sign into its absence when they stand shortly before it.
const NOT: [&str; 9] = ["nobody", "none", "no", "not", "never", "without", "neither", "nor", "didn"];

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
    // Clauses stay apart: "ate one; cure 2.5 g" speaks of two things.
    typed.split(['.', ';', '\n', '!', '?']).any(tells_of_swallowing) || tells_of_signs(&words_of(typed))
}

fn tells_of_signs(words: &[String]) -> bool {
    if SIGNS.iter().any(|sign| places(words, sign).next().is_some()) {
        return true;
    }
    let eaten = EATING.iter().any(|word| places(words, word).next().is_some());
    eaten && AFTER_EATING.iter().any(|sign| places(words, sign).any(|place| !is_denied(words, place)))
}

/// "swallowed some of the cure", "drank the brine".
fn tells_of_swallowing(clause: &str) -> bool {
    let words = words_of(clause);
    let swallowed = SWALLOWED.iter().flat_map(|word| places(&words, word)).collect::<Vec<_>>();
    let cures = CURES.iter().flat_map(|cure| places(&words, cure)).collect::<Vec<_>>();
    swallowed.iter().any(|swallowed| {
        !is_denied(&words, *swallowed)
            && cures.iter().any(|cure| {
                let between = words.get(*swallowed..*cure).unwrap_or_default();
                cure > swallowed
                    && between.len() <= BETWEEN
                    && between.iter().all(|word| !APART.contains(&word.as_str()))
            })
    })
}

fn is_denied(words: &[String], place: usize) -> bool {
    const BEFORE: usize = 3;
    let before = words.get(place.saturating_sub(BEFORE)..place).unwrap_or_default();
    before.iter().any(|word| NOT.contains(&word.as_str()))
}

/// Where the words of a phrase stand one after the other.
fn places<'a>(words: &'a [String], phrase: &'a str) -> impl Iterator<Item = usize> + 'a {
    let wanted: Vec<&str> = phrase.split(' ').collect();
    let last = words.len().checked_sub(wanted.len()).map_or(0, |last| last + 1);
    (0..last).filter(move |place| words.iter().skip(*place).zip(&wanted).all(|(word, wanted)| word == wanted))
}

fn words_of(text: &str) -> Vec<String> {
    let text = text.to_lowercase();
    let words = text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty());
    words.map(str::to_owned).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

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
