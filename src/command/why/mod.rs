//! Why something cannot be, in the language in force.
//!
//! The layers below have no wording: their errors say in English what is wrong, for logs and for whoever uses them as a
//! library. Here they become what a member reads; a test holds the English of both against each other.

mod cure;
mod drying;
mod fermentation;
mod instruments;
mod intake;
mod quantity;
mod record_file;
mod time;

use crate::reply::say;

/// An error that a member is told.
pub trait Why {
    /// What is wrong, as part of a sentence.
    fn why(&self) -> String;
}

/// Words that stand between values, not sentences: "more than 0 g, up to 10000 kg", "g, kg, oz or lb".
const BETWEEN_VALUES: [(&str, &str); 13] = [
    ("a bare number from", "why.value.bare_number_from"),
    ("then", "why.value.then"),
    ("more than", "why.value.more_than"),
    ("up to", "why.value.up_to"),
    ("or more", "why.value.or_more"),
    ("at most", "why.value.at_most"),
    ("of the meat", "why.value.of_the_meat"),
    ("above", "why.value.above"),
    ("to", "why.value.to"),
    ("or", "why.value.or"),
    ("and", "why.value.and"),
    ("tonnes", "why.value.tonnes"),
    ("years", "why.value.years"),
];

/// A range or a list of units, as the layers below write it.
pub(in crate::command) fn values(text: &str) -> String {
    let padded = BETWEEN_VALUES.iter().fold(format!(" {text} "), |text, (english, key)| {
        text.replace(&format!(" {english} "), &format!(" {} ", say(key, &[])))
    });
    padded.trim().to_owned()
}

#[cfg(test)]
mod tests;
