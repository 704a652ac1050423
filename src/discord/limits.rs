//! What the platform takes, by its own documentation: messages, embeds, components, forms, commands.

/// Characters of a message.
pub(super) const CONTENT: usize = 2_000;
/// Characters of an embed's text.
pub(super) const DESCRIPTION: usize = 4_096;
/// Characters of what is said of a picture.
pub(super) const ALT: usize = 1_024;
/// Characters on a button.
pub(super) const LABEL: usize = 80;
/// Characters of a button's own id.
#[cfg(test)]
pub(super) const CUSTOM_ID: usize = 100;
/// Buttons in a row.
pub(super) const ROW: usize = 5;
/// Rows under a message.
pub(super) const ROWS: usize = 5;
/// Characters of a form's title, and of a field's label.
pub(super) const FORM_TITLE: usize = 45;
/// Fields of a form.
pub(super) const FIELDS: usize = 5;
/// Characters in a form's field.
pub(super) const FIELD: usize = 4_000;
/// Suggestions while an option is typed.
pub(super) const SUGGESTIONS: usize = 25;
/// Characters of a suggestion.
pub(super) const SUGGESTION: usize = 100;
/// Characters of a command's or an option's description.
pub(super) const COMMAND_DESCRIPTION: usize = 100;
/// Characters of a thread's name.
pub(super) const THREAD_NAME: usize = 100;

/// The text, ended by `…` where it is longer than `most` characters. Counted as the platform counts: in the units of
/// UTF-16, of which a character outside the basic plane takes two. Ends neither inside a number, which would be another
/// one then, nor after the first half of an escape.
pub(super) fn shortened(text: &str, most: usize) -> String {
    if width(text) <= most {
        return text.to_owned();
    }
    let mut taken = 0;
    let fits = |letter: &(usize, char)| {
        taken += letter.1.len_utf16();
        taken < most
    };
    let kept = &text[..text
        .char_indices()
        .take_while(fits)
        .map(|(at, letter)| at + letter.len_utf8())
        .last()
        .unwrap_or(0)];
    let whole = match text[kept.len()..].chars().next() {
        Some(next) if in_number(next) => kept.trim_end_matches(in_number),
        _ => kept,
    };
    // A text that is one endless number is cut all the same.
    let whole = if whole.is_empty() { kept } else { whole };
    let slashes = whole.len() - whole.trim_end_matches('\\').len();
    let whole = if slashes % 2 == 1 { &whole[..whole.len() - 1] } else { whole };
    format!("{}…", whole.trim_end())
}

/// Letters that a number is written with.
pub(super) const fn in_number(letter: char) -> bool {
    letter.is_ascii_digit() || matches!(letter, '.' | ',' | '-' | '+' | '\u{a0}' | '\u{202f}')
}

/// How long the platform takes a text to be.
pub(super) fn width(text: &str) -> usize {
    text.chars().map(char::len_utf16).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_that_fits_stays_and_a_long_one_says_so() {
        assert_eq!(shortened("Juniper stick", 13), "Juniper stick");
        assert_eq!(shortened("Juniper stick", 9), "Juniper…");
        assert_eq!(width("🥩"), 2);
        assert_eq!(shortened("🥩🥩🥩", 5), "🥩🥩…");
        assert_eq!(shortened("loss 38.25%", 9), "loss…", "not 38.");
        assert_eq!(shortened("1234567", 5), "1234…");
        assert_eq!(shortened("one \\\\\\* two", 8), "one \\\\…");
    }
}
