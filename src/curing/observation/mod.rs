//! What a sight, smell or feel on a piece is taken for, and what published texts say of it. Nothing here proves
//! anything: a look is not a test, and what looks well may not be.

mod table;

pub use table::{Fact, Sign, facts, signs};

use crate::record::event::ObservationKind;
use std::collections::BTreeSet;

/// Words by which nothing was there.
const DENIALS: [&str; 11] =
    ["no", "none", "without", "not", "kein", "keine", "keinen", "keiner", "ohne", "nicht", "nichts"];
/// Words by which a denial is of something else, or not whole.
const BUT: [&str; 5] = ["but", "only", "aber", "nur", "sondern"];
/// Most words of a text that only denies: "no mould at all".
const LONGEST_DENIAL: usize = 4;

/// The sign that a text of a kind names. The loudest of several counts: white with black spots is black. What names none
/// is the kind's last row.
pub fn sign(kind: ObservationKind, text: &str) -> Option<&'static Sign> {
    let text = text.to_lowercase();
    let words = words(&text);
    let of_kind = || signs().iter().filter(|sign| sign.kind == kind);
    let named = of_kind().filter(|sign| sign.is_named(&text, &words));
    // Of equally loud ones the first: the last of a reversed row.
    let loudest = named.rev().max_by_key(|sign| sign.level);
    loudest.or(of_kind().next_back())
}

/// Whether a text names a sign of its kind, or only the kind.
pub fn is_named(kind: ObservationKind, text: &str) -> bool {
    let text = text.to_lowercase();
    let words = words(&text);
    signs().iter().any(|sign| sign.kind == kind && sign.is_named(&text, &words))
}

/// Whether a text says that nothing was there: "no mould", "no slime at all". With a "but" or more words it says more.
pub fn denies(text: &str) -> bool {
    let text = text.to_lowercase();
    let words: Vec<&str> =
        text.split(|letter: char| !letter.is_alphabetic()).filter(|w| !w.is_empty()).collect();
    words.len() <= LONGEST_DENIAL
        && words.first().is_some_and(|first| DENIALS.contains(first))
        && !words.iter().any(|word| BUT.contains(word))
}

fn words(text: &str) -> BTreeSet<&str> {
    text.split(|letter: char| !letter.is_alphabetic()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curing::finding::Level;

    fn id(kind: ObservationKind, text: &str) -> &'static str {
        sign(kind, text).unwrap().id.as_str()
    }

    #[test]
    fn the_loudest_that_is_named_counts() {
        for (text, expected) in [
            ("white", "mould_white"),
            ("white, a few green spots", "mould_wipe"),
            ("white with black spots", "mould_discard"),
            ("green and pink", "mould_discard"),
            ("Grey, FUZZY", "mould_discard"),
            ("mould inside", "mould_inside"),
            ("black inside", "mould_inside"),
            ("green in the meat", "mould_inside"),
            ("some", "mould_unnamed"),
            ("", "mould_unnamed"),
        ] {
            assert_eq!(id(ObservationKind::Mould, text), expected, "{text}");
        }
    }

    #[test]
    fn german_words_are_as_loud() {
        use ObservationKind::{Mould, Slime, Smell};
        for (kind, text, expected) in [
            (Mould, "weiß", "mould_white"),
            (Mould, "weißer Schimmel", "mould_white"),
            (Mould, "weiß, ein paar grüne Flecken", "mould_wipe"),
            (Mould, "gruen", "mould_wipe"),
            (Mould, "schwarze Punkte", "mould_discard"),
            (Mould, "weiß und pelzig", "mould_discard"),
            (Mould, "innen grün", "mould_inside"),
            (Mould, "ein wenig", "mould_unnamed"),
            (Smell, "säuerlich", "smell_sour"),
            (Smell, "sauer, etwas faulig", "smell_foul"),
            (Smell, "nach faulen Eiern", "smell_foul"),
            (Slime, "Schleim", "slime"),
            (Slime, "klebrig", "sticky"),
        ] {
            assert_eq!(id(kind, text), expected, "{text}");
        }
        assert!(denies("kein Schimmel") && denies("ohne Geruch"));
        assert!(!denies("kein Schimmel, aber Schleim") && !denies("nicht nur weiß"));
    }

    #[test]
    fn a_colour_inside_another_word_is_none() {
        assert_eq!(id(ObservationKind::Mould, "covered in white"), "mould_white");
        assert_eq!(id(ObservationKind::Mould, "covered with white, scattered"), "mould_white");
    }

    #[test]
    fn smells_slime_and_rims() {
        for (kind, text, expected) in [
            (ObservationKind::Smell, "sour", "smell_sour"),
            (ObservationKind::Smell, "sour, a little rotten", "smell_foul"),
            (ObservationKind::Smell, "sour at the bone", "smell_foul"),
            (ObservationKind::Smell, "strange", "smell"),
            (ObservationKind::Slime, "slime", "slime"),
            (ObservationKind::Slime, "sticky", "sticky"),
            (ObservationKind::HardRim, "hard rim", "hard_rim"),
        ] {
            assert_eq!(id(kind, text), expected, "{text}");
        }
    }

    #[test]
    fn only_a_short_denial_denies() {
        for text in ["no mould", "no slime at all", "None", "without smell"] {
            assert!(denies(text), "{text}");
        }
        for text in
            ["no white, black spots on top of it", "no mould but slime", "not only white", "white", ""]
        {
            assert!(!denies(text), "{text}");
        }
    }

    #[test]
    fn nothing_seen_is_below_a_notice() {
        assert!(signs().iter().all(|sign| sign.level >= Level::Notice));
    }
}
