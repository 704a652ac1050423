//! Why a text is not a time.

use thiserror::Error;

/// Most characters of a typed text that a sentence repeats.
const ECHO_LENGTH: usize = 40;

/// Why a text is not the time it should be.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum TimeError {
    /// Nothing was typed.
    #[error("no time was given")]
    Empty,
    /// Not a time, or not one way of reading it.
    #[error("I cannot read \"{text}\" as a time")]
    Unreadable {
        /// What was typed, cut to a printable length.
        text: String,
    },
    /// A day or time of day that does not exist.
    #[error("\"{text}\" is not on the calendar or the clock")]
    NoSuchTime {
        /// What was typed.
        text: String,
    },
    /// `3/11` is the third of November to one and the eleventh of March to another.
    #[error("\"{text}\" can be two days; write the month as a word")]
    DayAmbiguous {
        /// What was typed.
        text: String,
    },
    /// A reading in the future.
    #[error("\"{text}\" is still to come; a reading is of now or earlier")]
    InFuture {
        /// What was typed.
        text: String,
    },
    /// A reminder in the past.
    #[error("\"{text}\" is over; a reminder is for later")]
    InPast {
        /// What was typed.
        text: String,
    },
    /// More than ten years away.
    #[error("\"{text}\" is more than ten years away")]
    TooFar {
        /// What was typed.
        text: String,
    },
    /// Not an interval of 1 to 365 days.
    #[error("I cannot read \"{text}\" as an interval of 1 to 365 days")]
    NotAnInterval {
        /// What was typed.
        text: String,
    },
}

impl TimeError {
    /// Something of the kind that is read.
    pub const fn example(&self) -> &'static str {
        match self {
            Self::Empty | Self::Unreadable { .. } | Self::InFuture { .. } => "yesterday 8pm",
            Self::NoSuchTime { .. } => "2026-11-02 08:00",
            Self::DayAmbiguous { .. } => "3 nov 18:00",
            Self::InPast { .. } => "tomorrow 9am",
            Self::TooFar { .. } => "in 3 days",
            Self::NotAnInterval { .. } => "every 3 days",
        }
    }

    pub(super) fn unreadable(text: &str) -> Self {
        Self::Unreadable { text: echo(text) }
    }
}

/// A typed text as it may stand in a sentence: at most 40 characters, nothing that cannot be seen.
pub(in crate::command) fn echo(text: &str) -> String {
    let text = text.trim();
    let visible = |c: char| if is_hidden(c) { '\u{fffd}' } else { c };
    if text.chars().nth(ECHO_LENGTH).is_none() {
        return text.chars().map(visible).collect();
    }
    let mut shown: String = text.chars().take(ECHO_LENGTH - 1).map(visible).collect();
    shown.push('…');
    shown
}

/// Control characters, and the invisible ones that turn text around or join it.
pub(in crate::command) fn is_hidden(character: char) -> bool {
    character.is_control()
        || matches!(
            character,
            '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}'
                | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}'
        )
}
