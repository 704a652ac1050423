//! A cell with a value: a number as written, and a unit behind it.

use super::heads::words::folded;
use super::refused::{MASS_UNITS, What, is_formula};
use super::understood::DecimalSign;
use crate::quantity::{MassUnit, TemperatureScale};

/// Most characters of a number; the parser of quantities reads no more figures either.
const LONGEST: usize = 24;

/// The unit behind a number, or in a head.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    /// °C or °F.
    Scale(TemperatureScale),
    /// `%`
    Percent,
    /// `% RH` and its like, which is humidity without another word.
    PercentHumidity,
    /// A mass.
    Mass(MassUnit),
    /// None that is read here.
    Other,
}

/// What a cell holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Cell<'a> {
    /// Nothing, dashes, or a sign for "no value".
    Gap,
    /// What a spreadsheet would evaluate.
    Formula,
    /// Figures as written, and what follows them.
    Number { figures: &'a str, unit: Option<Unit> },
    /// Anything else.
    Words,
}

/// What loggers and spreadsheets write for "no value" (common practice, no source). `LO` and `HI` are not among them:
/// there was air, outside of what the sensor measures, and nobody may take that for a missing minute.
const NO_VALUE: [&str; 7] = ["nan", "n/a", "na", "#n/a", "null", "none", "nil"];

/// Reads a cell without deciding on its decimal sign.
pub(super) fn cell(text: &str) -> Cell<'_> {
    let is_dashes = text.chars().all(|letter| matches!(letter, '-' | '–' | '—' | '_' | '.' | '*' | ' '));
    if is_dashes || NO_VALUE.iter().any(|word| text.eq_ignore_ascii_case(word)) {
        return Cell::Gap;
    }
    if is_formula(text) {
        return Cell::Formula;
    }
    let signless = text.strip_prefix(['-', '+', '−']).unwrap_or(text);
    if !signless.starts_with(|first: char| first.is_ascii_digit() || matches!(first, '.' | ',')) {
        return Cell::Words;
    }
    let length = signless.find(|letter: char| !belongs_to_number(letter)).unwrap_or(signless.len());
    let end = text.len() - signless.len() + length;
    let figures = text[..end].trim_end();
    let rest = text[figures.len()..].trim();
    Cell::Number { figures, unit: if rest.is_empty() { None } else { Some(unit(rest)) } }
}

/// Figures, signs of decimals, and what may separate thousands.
fn belongs_to_number(letter: char) -> bool {
    letter.is_ascii_digit()
        || matches!(letter, '.' | ',' | '\'' | '’' | ' ' | '\u{a0}' | '\u{202f}' | '\u{2009}')
}

/// A unit as written in a cell or a head. The degree sign is left out of account: in files whose encoding went
/// wrong it is any of half a dozen letters.
pub(super) fn unit(text: &str) -> Unit {
    let text = text.trim();
    if let Some((_, mass)) = MASS_UNITS.iter().find(|(name, _)| text.eq_ignore_ascii_case(name)) {
        return Unit::Mass(*mass);
    }
    let letters: String =
        text.chars().filter(char::is_ascii_alphabetic).map(|letter| letter.to_ascii_lowercase()).collect();
    let has_figures = text.contains(|letter: char| letter.is_ascii_digit());
    match letters.as_str() {
        _ if has_figures => Unit::Other,
        "" if text == "%" => Unit::Percent,
        "rh" | "rf" | "rlf" | "hr" | "ur" | "relh" | "relf" if text.contains('%') => Unit::PercentHumidity,
        "c" | "degc" | "celsius" | "degcelsius" | "degreesc" | "degreescelsius" | "gradc" | "gradcelsius" => {
            Unit::Scale(TemperatureScale::Celsius)
        }
        "f" | "degf" | "fahrenheit" | "degfahrenheit" | "degreesf" | "degreesfahrenheit" | "gradf" => {
            Unit::Scale(TemperatureScale::Fahrenheit)
        }
        _ if ["percent", "prozent"].contains(&folded(text).as_str()) => Unit::Percent,
        _ => Unit::Other,
    }
}

/// What a number says about the decimal sign of its file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Vote {
    /// No sign in it.
    None,
    /// Only this sign can be meant.
    Clear(DecimalSign),
    /// Decimals or thousands: one sign, and three figures behind it.
    Unclear(DecimalSign),
}

/// What a number says about the decimal sign.
pub(super) fn vote(figures: &str) -> Vote {
    let mut signs = figures.bytes().enumerate().filter(|(_, byte)| matches!(byte, b'.' | b','));
    let (Some((at, byte)), None) = (signs.next(), signs.next()) else { return Vote::None };
    let sign = if byte == b'.' { DecimalSign::Point } else { DecimalSign::Comma };
    let whole = figures[..at].trim_start_matches(['-', '+', '−']);
    let decimals = figures.len() - at - 1;
    let grouped = decimals == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0');
    if grouped { Vote::Unclear(sign) } else { Vote::Clear(sign) }
}

/// The number that figures are, under the file's decimal sign. No figure is dropped and no separator guessed away.
pub(super) fn number(figures: &str, sign: DecimalSign) -> Result<f64, What> {
    let plain = plain(figures, sign)?;
    let number = plain.as_str().parse::<f64>().map_err(|_| What::NotANumber)?;
    if number.is_finite() { Ok(number) } else { Err(What::NotANumber) }
}

/// Figures in the one form that every parser reads, without a new string for each.
pub(super) struct Plain {
    bytes: [u8; LONGEST],
    length: usize,
}

impl Plain {
    pub(super) fn as_str(&self) -> &str {
        // Only ASCII is ever put in.
        std::str::from_utf8(&self.bytes[..self.length]).unwrap_or_default()
    }
}

/// The figures with a point for decimals and a plain minus.
pub(super) fn plain(figures: &str, sign: DecimalSign) -> Result<Plain, What> {
    let (negative, unsigned) = match figures.strip_prefix(['-', '−']) {
        Some(unsigned) => (true, unsigned),
        None => (false, figures.strip_prefix('+').unwrap_or(figures)),
    };
    let mut plain = Plain { bytes: [0; LONGEST], length: 0 };
    let mut signs = 0_u32;
    let mut other = 0_u32;
    if negative {
        plain.bytes[0] = b'-';
        plain.length = 1;
    }
    for letter in unsigned.chars() {
        let byte = match letter {
            '0'..='9' => letter as u8,
            '.' | ',' if letter as u8 == sign.byte() => {
                signs += 1;
                b'.'
            }
            '.' | ',' => {
                other += 1;
                b'.'
            }
            _ => return Err(What::Thousands),
        };
        *plain.bytes.get_mut(plain.length).ok_or(What::NotANumber)? = byte;
        plain.length += 1;
    }
    match (signs, other) {
        (0 | 1, 0) => Ok(plain),
        (0, 1) if !matches!(vote(figures), Vote::Unclear(_)) => Err(What::OtherDecimalSign),
        _ => Err(What::Thousands),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells() {
        let celsius = Some(Unit::Scale(TemperatureScale::Celsius));
        let number = |figures, unit| Cell::Number { figures, unit };
        for (text, expected) in [
            ("", Cell::Gap),
            ("---", Cell::Gap),
            ("NaN", Cell::Gap),
            ("LO", Cell::Words),
            ("=A1", Cell::Formula),
            ("-cmd|'/C calc'!A0", Cell::Formula),
            ("23.4", number("23.4", None)),
            ("-0,5", number("-0,5", None)),
            ("23.4 °C", number("23.4", celsius)),
            ("23.4\u{fffd}C", number("23.4", celsius)),
            ("81 %", number("81", Some(Unit::Percent))),
            ("81%RH", number("81", Some(Unit::PercentHumidity))),
            ("812 g", number("812", Some(Unit::Mass(MassUnit::Gram)))),
            ("1 013 hPa", number("1 013", Some(Unit::Other))),
        ] {
            assert_eq!(cell(text), expected, "{text}");
        }
    }

    #[test]
    fn numbers() {
        use DecimalSign::{Comma, Point};
        let close = |found: Result<f64, What>, expected: f64| found.unwrap().to_bits() == expected.to_bits();
        assert!(close(number("23.4", Point), 23.4));
        assert!(close(number("-23,45", Comma), -23.45));
        assert!(close(number("−5", Point), -5.0));
        assert!(close(number("+.5", Point), 0.5));
        for (figures, sign, what) in [
            ("23,4", Point, What::OtherDecimalSign),
            ("1,234", Point, What::Thousands),
            ("1,234.5", Point, What::Thousands),
            ("1.234.567", Point, What::Thousands),
            ("1 234", Point, What::Thousands),
            ("1'234", Point, What::Thousands),
            (".", Point, What::NotANumber),
            ("1234567890123456789012345", Point, What::NotANumber),
        ] {
            assert_eq!(number(figures, sign), Err(what), "{figures}");
        }
    }

    #[test]
    fn votes() {
        use DecimalSign::{Comma, Point};
        assert_eq!(vote("23,4"), Vote::Clear(Comma));
        assert_eq!(vote("0.812"), Vote::Clear(Point));
        assert_eq!(vote("1.234"), Vote::Unclear(Point));
        assert_eq!(vote("-1,234"), Vote::Unclear(Comma));
        assert_eq!(vote("812"), Vote::None);
    }
}
