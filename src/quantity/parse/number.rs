//! A number as people type it: decimal comma or point, thousands in groups, the trade's fractions.

use crate::quantity::exact::Exact;
use crate::quantity::parse::error::{QuantityError, echo};

/// Most characters a quantity has, unit included.
const LONGEST_TEXT: usize = 40;
/// Most digits of a number that count (zeros in front do not). A float holds 17.
const MOST_DIGITS: usize = 20;
/// Largest denominator of a fraction: a tape measure and a trade scale stop at sixty-fourths.
const LARGEST_DENOMINATOR: u128 = 64;

/// What a typed number can mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NumberReading {
    /// One reading only.
    Certain(f64),
    /// `1.234` and `1,500`: one separator, three digits after it, one to three before it.
    Either {
        /// The separator read as the decimal sign: 1.234.
        decimal: f64,
        /// The separator read as a thousands sign: 1234.
        thousands: f64,
    },
}

/// The same, before it becomes a float.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Typed {
    Certain(Exact),
    Either { decimal: Exact, thousands: Exact },
}

/// A bare number from zero up, without unit, sign, exponent or fraction.
///
/// # Errors
/// [`QuantityError::Empty`], [`QuantityError::NotANumber`], [`QuantityError::TooLong`].
pub fn number(text: &str) -> Result<NumberReading, QuantityError> {
    let text = prepare(text)?;
    Ok(match typed_number(text, text)? {
        Typed::Certain(value) => NumberReading::Certain(value.to_float()),
        Typed::Either { decimal, thousands } => {
            NumberReading::Either { decimal: decimal.to_float(), thousands: thousands.to_float() }
        }
    })
}

/// Takes the spaces off both ends and refuses what no quantity can be: nothing, too much, control characters.
pub(super) fn prepare(text: &str) -> Result<&str, QuantityError> {
    let text = text.trim_matches(is_space);
    if text.is_empty() {
        return Err(QuantityError::Empty);
    }
    if text.chars().nth(LONGEST_TEXT).is_some() {
        return Err(QuantityError::too_long(text));
    }
    if text.chars().any(char::is_control) {
        return Err(QuantityError::not_a_number(text));
    }
    Ok(text)
}

/// The spaces people and keyboards put into numbers: plain, no-break, thin, narrow no-break.
pub(super) fn is_space(character: char) -> bool {
    matches!(character, ' ' | '\u{a0}' | '\u{2009}' | '\u{202f}')
}

/// Reads digits and separators. `whole` is the text an error repeats.
///
/// - Two different separators: the last is the decimal sign (`1,234.5`, `1.234,5`, `1 234,5`, `1'234.5`).
/// - A repeated one groups thousands (`1.234.567`), and so do spaces and apostrophes (`1 234`, `1'234`).
/// - A single comma or point is the decimal sign; before exactly three digits it may also be a thousands sign.
pub(super) fn typed_number(number: &str, whole: &str) -> Result<Typed, QuantityError> {
    let refused = || QuantityError::not_a_number(whole);
    let mut groups = vec![String::new()];
    let mut separators = Vec::new();
    for character in number.chars() {
        match separator(character) {
            Some(sign) => {
                separators.push(sign);
                groups.push(String::new());
            }
            None if character.is_ascii_digit() => groups.last_mut().ok_or_else(refused)?.push(character),
            None => return Err(refused()),
        }
    }
    let significant = groups.concat();
    if significant.trim_start_matches('0').len() > MOST_DIGITS {
        return Err(QuantityError::too_long(whole));
    }
    read_groups(&groups, &separators).ok_or_else(refused)
}

/// A separator under its plain form, or `None`.
fn separator(character: char) -> Option<char> {
    match character {
        '.' | ',' => Some(character),
        '\'' | '’' => Some('\''),
        space if is_space(space) => Some(' '),
        _ => None,
    }
}

fn read_groups(groups: &[String], separators: &[char]) -> Option<Typed> {
    let (last_group, before) = groups.split_last()?;
    if last_group.is_empty() {
        return None;
    }
    let Some((last_sign, grouping)) = separators.split_last() else {
        return Exact::from_digits(last_group, "").map(Typed::Certain);
    };
    let is_decimal_sign = matches!(last_sign, '.' | ',');
    if grouping.is_empty() {
        let thousands = thousands(groups);
        return match thousands {
            Some(thousands) if is_decimal_sign => {
                Some(Typed::Either { decimal: Exact::from_digits(before.first()?, last_group)?, thousands })
            }
            Some(thousands) => Some(Typed::Certain(thousands)),
            None if is_decimal_sign => Exact::from_digits(before.first()?, last_group).map(Typed::Certain),
            None => None,
        };
    }
    let first_sign = grouping.first()?;
    if grouping.iter().any(|sign| sign != first_sign) {
        return None;
    }
    if last_sign == first_sign {
        return thousands(groups).map(Typed::Certain);
    }
    if !is_decimal_sign || thousands(before).is_none() {
        return None;
    }
    Exact::from_digits(&before.concat(), last_group).map(Typed::Certain)
}

/// Groups read as thousands: one to three digits that do not begin with 0, then threes.
fn thousands(groups: &[String]) -> Option<Exact> {
    let (first, rest) = groups.split_first()?;
    let first_fits = (1..=3).contains(&first.len()) && !first.starts_with('0');
    if !first_fits || rest.iter().any(|group| group.len() != 3) {
        return None;
    }
    Exact::from_digits(&groups.concat(), "")
}

/// Whether a number is written as a fraction: `3/4`, `1 1/2`, `½`.
pub(super) fn is_fraction(number: &str) -> bool {
    number.chars().any(|character| is_slash(character) || vulgar(character).is_some())
}

/// Reads `3/4`, `1 1/2`, `½`, `1½`, `1 ½`. A fraction after a whole number must be less than one.
pub(super) fn fraction(number: &str, whole: &str) -> Result<Exact, QuantityError> {
    read_fraction(number).ok_or_else(|| QuantityError::not_a_number(whole))
}

fn read_fraction(number: &str) -> Option<Exact> {
    let last = number.chars().next_back()?;
    if let Some((numerator, denominator)) = vulgar(last) {
        let before = number.strip_suffix(last)?.trim_end_matches(is_space);
        let part = Exact::whole(numerator).over(denominator)?;
        return if before.is_empty() { Some(part) } else { Exact::whole(small_whole(before)?).plus(part) };
    }
    let (left, right) = number.split_once(is_slash)?;
    let denominator = small_whole(right.trim_matches(is_space))?;
    if denominator == 0 || denominator > LARGEST_DENOMINATOR {
        return None;
    }
    let left = left.trim_end_matches(is_space);
    match left.rsplit_once(is_space) {
        None => Exact::whole(small_whole(left)?).over(denominator),
        Some((before, numerator)) => {
            let numerator = small_whole(numerator)?;
            if numerator >= denominator {
                return None;
            }
            let part = Exact::whole(numerator).over(denominator)?;
            Exact::whole(small_whole(before.trim_end_matches(is_space))?).plus(part)
        }
    }
}

/// One to four digits.
fn small_whole(text: &str) -> Option<u128> {
    let fits = (1..=4).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
    if fits { text.parse().ok() } else { None }
}

fn is_slash(character: char) -> bool {
    matches!(character, '/' | '\u{2044}')
}

/// The one-character fractions of a phone's keyboard.
pub(super) fn vulgar(character: char) -> Option<(u128, u128)> {
    Some(match character {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    })
}

/// A number's text that [`number`] reads in one way only: `1.234` gets a fourth decimal, `1.2340`.
pub(in crate::quantity) fn unmistakable(value: f64) -> String {
    let text = format!("{value}");
    match number(&text) {
        Ok(NumberReading::Either { .. }) => format!("{text}0"),
        _ => text,
    }
}

/// The error for two readings that are both possible.
pub(super) fn ambiguous(whole: &str, decimal: Exact, thousands: Exact, unit: &str) -> QuantityError {
    let shown = |value: Exact| format!("{} {unit}", unmistakable(value.to_float())).trim_end().to_owned();
    QuantityError::NumberAmbiguous { text: echo(whole), low: shown(decimal), high: shown(thousands) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn certain(text: &str, value: f64) {
        assert_eq!(number(text), Ok(NumberReading::Certain(value)), "{text}");
    }

    fn either(text: &str, decimal: f64, thousands: f64) {
        assert_eq!(number(text), Ok(NumberReading::Either { decimal, thousands }), "{text}");
    }

    #[test]
    fn comma_and_point_are_both_decimal_signs() {
        certain("93,5", 93.5);
        certain("93.5", 93.5);
        certain("1,23", 1.23);
        certain("1.2345", 1.2345);
        certain("1234,567", 1234.567);
        certain("0.500", 0.5);
        certain("0,005", 0.005);
        certain(".5", 0.5);
        certain(",5", 0.5);
        certain(".500", 0.5);
        certain("007", 7.0);
    }

    #[test]
    fn thousands_are_read_where_they_cannot_be_decimals() {
        for text in ["1,234.5", "1.234,5", "1 234,5", "1\u{a0}234.5", "1\u{2009}234,5", "1'234.5", "1’234,5"]
        {
            certain(text, 1234.5);
        }
        certain("1 234", 1234.0);
        certain("1'234", 1234.0);
        certain("1.234.567", 1_234_567.0);
        certain("1,234,567.25", 1_234_567.25);
        certain("12 500", 12_500.0);
    }

    #[test]
    fn three_digits_after_one_sign_have_two_readings() {
        either("1.234", 1.234, 1234.0);
        either("1,500", 1.5, 1500.0);
        either("812.250", 812.25, 812_250.0);
    }

    #[test]
    fn everything_else_is_refused() {
        for text in [
            "nan",
            "NaN",
            "inf",
            "-inf",
            "1e3",
            "1e400",
            "1E3",
            "0x10",
            "5.",
            "5,",
            ".",
            ",",
            "-5",
            "+5",
            "−5",
            "1..2",
            "1,,2",
            "1.2.3",
            "1,2,3",
            "0.123.456",
            "1.234.56",
            "1 23",
            "1  234",
            "0 234",
            "1.234'567",
            "1,234 567",
            "5 g",
            "½",
            "3/4",
            "٣",
            "1_000",
            "1\u{7}2",
            "5\n",
        ] {
            assert_eq!(number(text), Err(QuantityError::not_a_number(text)), "{text}");
        }
        assert_eq!(number(""), Err(QuantityError::Empty));
        assert_eq!(number(" \u{a0} "), Err(QuantityError::Empty));
    }

    #[test]
    fn length_has_an_end() {
        certain(&format!("0.{}1", "0".repeat(37)), 1e-38);
        for text in ["1".repeat(21), "0".repeat(41), "9".repeat(10_000)] {
            assert!(matches!(number(&text), Err(QuantityError::TooLong { .. })), "{text}");
        }
    }

    #[test]
    fn fractions_of_the_trade() {
        for (text, expected) in [
            ("1 1/2", 1.5),
            ("3/4", 0.75),
            ("½", 0.5),
            ("1½", 1.5),
            ("2 ¾", 2.75),
            ("3\u{2044}8", 0.375),
            ("1 / 2", 0.5),
            ("3/2", 1.5),
            ("⅓", 1.0 / 3.0),
            ("10 5/64", 10.078_125),
        ] {
            assert!(is_fraction(text), "{text}");
            let value = fraction(text, text).unwrap().to_float();
            approx::assert_relative_eq!(value, expected, max_relative = 1e-15);
        }
        for text in
            ["1 3/2", "1/0", "1/65", "1/", "/2", "1/2/3", "½½", "½1", "1,5/2", "1.5 ½", "-1/2", "1 2 3/4"]
        {
            assert!(fraction(text, text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_printed_reading_is_read_in_one_way() {
        assert_eq!(unmistakable(1.234), "1.2340");
        assert_eq!(unmistakable(1234.0), "1234");
        assert_eq!(unmistakable(0.234), "0.234");
    }
}
