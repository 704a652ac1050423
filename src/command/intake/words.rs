//! The words the grammar knows, beside those of each reader.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::token::Kind;
use crate::command::time::{Direction, phrase};

/// Words that say nothing a reading needs: passed in silence.
const FILLERS: &[&str] = &[
    "a",
    "air",
    "all",
    "also",
    "am",
    "an",
    "and",
    "are",
    "at",
    "box",
    "by",
    "chamber",
    "current",
    "currently",
    "does",
    "each",
    "for",
    "fridge",
    "from",
    "gave",
    "got",
    "has",
    "have",
    "in",
    "is",
    "it",
    "its",
    "it's",
    "just",
    "log",
    "measured",
    "measures",
    "my",
    "now",
    "of",
    "on",
    "our",
    "please",
    "read",
    "reading",
    "readings",
    "reads",
    "room",
    "says",
    "scale",
    "showed",
    "shows",
    "so",
    "still",
    "temp",
    "temperature",
    "that",
    "the",
    "then",
    "there",
    "these",
    "they",
    "this",
    "to",
    "today",
    "was",
    "we",
    "weighed",
    "weighing",
    "weighs",
    "weight",
    "weights",
    "were",
    "with",
];

/// Words that begin or belong to a reading, so that a number right before one of them stands alone.
const KEYWORDS: &[&str] = &[
    "ph",
    "rh",
    "humidity",
    "hum",
    "relative",
    "tare",
    "hung",
    "hang",
    "set",
    "setting",
    "setpoint",
    "max",
    "min",
    "maximum",
    "minimum",
    "high",
    "low",
    "highest",
    "lowest",
    "warmest",
    "coldest",
    "power",
    "outage",
    "blackout",
    "no",
    "mould",
    "mold",
    "smell",
    "smells",
    "slime",
    "slimy",
    "hard",
    "case",
    "out",
    "packed",
    "eaten",
    "discarded",
    "calibrated",
    "calibration",
    "slope",
    "offset",
    "buffer",
    "batch",
    "chamber",
    "fridge",
    "b",
    "sample",
    "packet",
    "since",
    "hysteresis",
    "strip",
    "meter",
    "net",
    "gross",
    "piece",
    "pieces",
];

/// Words that turn a statement into something else: a wish, a denial, a difference, a guess, a question.
const TURNING: &[&str] = &[
    "about",
    "above",
    "add",
    "added",
    "after",
    "aim",
    "aiming",
    "almost",
    "approx",
    "approximately",
    "around",
    "before",
    "below",
    "between",
    "change",
    "correct",
    "correction",
    "could",
    "delete",
    "does",
    "doesn't",
    "down",
    "expect",
    "expected",
    "forgot",
    "goal",
    "going",
    "gone",
    "how",
    "if",
    "instead",
    "isn't",
    "less",
    "lose",
    "losing",
    "loss",
    "lost",
    "maybe",
    "might",
    "minus",
    "more",
    "nearly",
    "need",
    "needs",
    "never",
    "no",
    "not",
    "over",
    "per",
    "perhaps",
    "plan",
    "planned",
    "planning",
    "plus",
    "probably",
    "roughly",
    "sample",
    "packet",
    "should",
    "target",
    "than",
    "till",
    "tomorrow",
    "under",
    "undo",
    "until",
    "up",
    "want",
    "wanted",
    "wants",
    "wasn't",
    "what",
    "when",
    "will",
    "would",
    "wrong",
];

/// Signs that do the same.
const TURNING_SIGNS: &[char] = &['?', '<', '>', '~', '≈', '≤', '≥', '±'];

/// Signs that separate and say nothing else.
pub(super) const SEPARATORS: &[char] = &[
    ',', ';', '.', ':', '!', '-', '(', ')', '/', '&', '+', '*', '=', '|', '•', '·', '_', '\'', '’', '"', '“',
    '”', '[', ']', '{', '}', '`', '@', '#', '…', '\\',
];

/// Whether the token ahead says nothing and may be passed in silence.
pub(super) fn is_filler(cursor: &Cursor<'_>) -> bool {
    cursor.sees(FILLERS) || cursor.sees_sign(SEPARATORS)
}

/// Whether a word left unread turns the meaning of what was read.
pub(super) fn turns(text: &str) -> bool {
    text.split(|c: char| !c.is_alphanumeric() && c != '\'')
        .any(|word| TURNING.contains(&word.to_lowercase().as_str()))
        || text.contains(TURNING_SIGNS)
}

/// Whether a bare number may end here: at the end, before a sign, a number, or anything the grammar knows. An
/// unknown word behind a number is taken for a unit that is not on the list.
pub(super) fn may_follow_number(cursor: &Cursor<'_>) -> bool {
    match cursor.kind() {
        None => true,
        Some(Kind::Sign(sign)) => {
            !matches!(sign, '%' | '°' | '±') && (SEPARATORS.contains(sign) || *sign == '?')
        }
        Some(Kind::Word(_)) => {
            !cursor.is_glued() && (cursor.sees(FILLERS) || cursor.sees(KEYWORDS) || begins_time(cursor))
        }
        Some(_) => true,
    }
}

/// Whether a time begins here.
pub(super) fn begins_time(cursor: &Cursor<'_>) -> bool {
    let mut ahead = *cursor;
    !matches!(phrase(&mut ahead, Direction::Past), Ok(None))
}

/// Whether the word ahead is known to the grammar.
pub(super) fn is_known(cursor: &Cursor<'_>) -> bool {
    cursor.sees(FILLERS) || cursor.sees(KEYWORDS)
}
