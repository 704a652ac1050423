//! What a sight, smell or feel on a piece means, and how loud.

use crate::curing::Level;
use crate::record::event::ObservationKind;

/// Mould in the meat: air got in.
const INSIDE: [&str; 4] = ["inside", "core", "centre", "center"];

/// What no wiping mends. This project's stricter reading of the agency leaflet, which speaks of finished, shelf-stable
/// pieces only.
const DISCARD: [&str; 11] =
    ["black", "yellow", "orange", "pink", "red", "fuzzy", "furry", "hairy", "tall", "slimy", "slime"];

/// What is wiped while it is small. Common practice, no source.
const WIPE: [&str; 7] = ["green", "greenish", "blue", "bluish", "grey", "gray", "brown"];

/// What most want.
const WANTED: [&str; 2] = ["white", "whitish"];

/// How loud, and the wording key.
pub fn observation(kind: ObservationKind, text: &str) -> (Level, &'static str) {
    match kind {
        ObservationKind::Mould => mould(text),
        ObservationKind::Smell => (Level::Warning, "observation.smell"),
        ObservationKind::Slime => (Level::Warning, "observation.slime"),
        ObservationKind::HardRim => (Level::Notice, "observation.hard_rim"),
    }
}

/// The worst of what is named counts: white with black spots is black.
fn mould(text: &str) -> (Level, &'static str) {
    let text = text.to_lowercase();
    let names =
        |words: &[&str]| text.split(|letter: char| !letter.is_alphabetic()).any(|word| words.contains(&word));
    if names(&INSIDE) || text.contains("in the meat") {
        (Level::Warning, "observation.mould_inside")
    } else if names(&DISCARD) {
        (Level::Warning, "observation.mould_discard")
    } else if names(&WIPE) {
        (Level::Caution, "observation.mould_wipe")
    } else if names(&WANTED) {
        (Level::Notice, "observation.mould_white")
    } else {
        (Level::Caution, "observation.mould_unnamed")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worst_colour_counts() {
        for (text, key) in [
            ("white", "observation.mould_white"),
            ("white, a few green spots", "observation.mould_wipe"),
            ("white with black spots", "observation.mould_discard"),
            ("green and pink", "observation.mould_discard"),
            ("mould inside", "observation.mould_inside"),
            ("green in the meat", "observation.mould_inside"),
            ("some", "observation.mould_unnamed"),
        ] {
            assert_eq!(mould(text).1, key, "{text}");
        }
    }

    #[test]
    fn a_colour_inside_another_word_is_none() {
        assert_eq!(mould("covered in white").1, "observation.mould_white");
        assert_eq!(mould("covered with white, scattered").1, "observation.mould_white");
    }
}
