//! Why a text is not the quantity it should be, in words a member can act on.

use thiserror::Error;

/// Most characters of a typed text that a sentence repeats.
const ECHO_LENGTH: usize = 40;

/// Why a text is not the quantity it should be.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum QuantityError {
    /// Nothing was typed.
    #[error("nothing was given")]
    Empty,
    /// No number where one belongs.
    #[error("\"{text}\" is not a number")]
    NotANumber {
        /// What was typed, cut to a printable length.
        text: String,
    },
    /// More characters or digits than a quantity has.
    #[error("\"{text}\" is too long; I read up to 40 characters and 20 digits")]
    TooLong {
        /// What was typed, cut to a printable length.
        text: String,
    },
    /// A number without the unit it needs.
    #[error("\"{text}\" needs a unit: {accepted}")]
    UnitMissing {
        /// What was typed.
        text: String,
        /// The units that are read here.
        accepted: &'static str,
    },
    /// A unit that is not on the list.
    #[error("\"{unit}\" is not a unit I know here; I read {accepted}")]
    UnitUnknown {
        /// The unit as typed.
        unit: String,
        /// The units that are read here.
        accepted: &'static str,
    },
    /// A gallon that could be either of the two.
    #[error("\"{text}\" names one of two gallons; say US gal (3.785 l) or imperial gal (4.546 l)")]
    GallonAmbiguous {
        /// What was typed.
        text: String,
    },
    /// A percentage without its sign.
    #[error("\"{text}\" needs its percent sign: {text} %")]
    PercentSignNeeded {
        /// What was typed.
        text: String,
    },
    /// Two readings are possible and neither is absurd.
    #[error("\"{text}\" can be read as {low} or as {high}")]
    NumberAmbiguous {
        /// What was typed.
        text: String,
        /// The smaller reading, printed with unit so that it is read in one way only.
        low: String,
        /// The larger reading, printed with unit.
        high: String,
    },
    /// Several amounts that do not add up to one.
    #[error("\"{text}\" is not one clear amount; {rule}")]
    PartsUnclear {
        /// What was typed.
        text: String,
        /// How parts may be put together here.
        rule: &'static str,
    },
    /// A number outside what the quantity can be.
    #[error("\"{text}\" is out of range: {range}")]
    OutOfRange {
        /// What was typed.
        text: String,
        /// The range, printed with unit.
        range: String,
    },
}

impl QuantityError {
    /// What was typed, put right, where that follows from the text itself: the first accepted unit added, the
    /// percent sign, the smaller of two readings. `None` where only the member can know.
    pub fn example(&self) -> Option<String> {
        match self {
            Self::UnitMissing { text, accepted } => {
                let unit = accepted.split([',', ' ']).next()?;
                Some(format!("{text} {unit}"))
            }
            Self::PercentSignNeeded { text } => Some(format!("{text} %")),
            Self::NumberAmbiguous { low, .. } => Some(low.clone()),
            Self::GallonAmbiguous { text } => {
                let digits = text.trim_end_matches(|c: char| !c.is_ascii_digit());
                (!digits.is_empty()).then(|| format!("{digits} US gal"))
            }
            _ => None,
        }
    }

    pub(super) fn not_a_number(text: &str) -> Self {
        Self::NotANumber { text: echo(text) }
    }

    pub(super) fn too_long(text: &str) -> Self {
        Self::TooLong { text: echo(text) }
    }

    pub(super) fn out_of_range(text: &str, range: &str) -> Self {
        Self::OutOfRange { text: echo(text), range: range.to_owned() }
    }
}

/// A typed text as it may stand in a sentence: at most 40 characters, what cannot be seen written as its escape.
pub fn echo(text: &str) -> String {
    let mut shown = String::new();
    let mut length = 0;
    for character in text.chars() {
        let piece =
            if is_hidden(character) { character.escape_default().to_string() } else { character.to_string() };
        let piece_length = piece.chars().count();
        if length + piece_length > ECHO_LENGTH {
            while length >= ECHO_LENGTH {
                shown.pop();
                length -= 1;
            }
            shown.push('…');
            return shown;
        }
        length += piece_length;
        shown.push_str(&piece);
    }
    shown
}

/// Control characters, and the invisible ones that turn text around or join it.
fn is_hidden(character: char) -> bool {
    character.is_control()
        || matches!(
            character,
            '\u{ad}'
                | '\u{61c}'
                | '\u{180e}'
                | '\u{200b}'..='\u{200f}'
                | '\u{2028}'..='\u{202e}'
                | '\u{2060}'..='\u{206f}'
                | '\u{feff}'
                | '\u{fff9}'..='\u{fffb}'
                | '\u{e0000}'..='\u{e007f}'
        )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_text_is_cut_to_forty_characters() {
        assert_eq!(echo(&"7".repeat(40)), "7".repeat(40));
        assert_eq!(echo(&"7".repeat(10_000)), format!("{}…", "7".repeat(39)));
        assert_eq!(echo(&format!("{}\u{7}", "7".repeat(38))), format!("{}…", "7".repeat(38)));
    }

    #[test]
    fn hidden_characters_are_written_out() {
        assert_eq!(echo("8\u{7}12 g"), "8\\u{7}12 g");
        assert_eq!(echo("8\n12"), "8\\n12");
        assert_eq!(echo("g\u{202e}5"), "g\\u{202e}5");
        assert_eq!(echo("24 °C"), "24 °C");
    }

    #[test]
    fn examples_are_the_text_put_right() {
        let missing = QuantityError::UnitMissing { text: "812".into(), accepted: "g, kg, oz or lb" };
        assert_eq!(missing.example().as_deref(), Some("812 g"));
        let gallon = QuantityError::GallonAmbiguous { text: "2 gallons".into() };
        assert_eq!(gallon.example().as_deref(), Some("2 US gal"));
        assert_eq!(QuantityError::Empty.example(), None);
    }
}
