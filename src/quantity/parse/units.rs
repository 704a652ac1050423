//! The shared way from "number unit" to a canonical value: units by name, ranges, the two readings of `1.234`,
//! amounts in two parts.

use crate::quantity::exact::Exact;
use crate::quantity::parse::error::{QuantityError, echo};
use crate::quantity::parse::number::{
    Typed, ambiguous, fraction, is_fraction, is_space, prepare, typed_number, vulgar,
};
use std::ops::RangeInclusive;

/// The ranges of a quantity in its canonical unit.
pub(super) struct Limits {
    /// What can be stored at all.
    pub(super) hard: RangeInclusive<f64>,
    /// What is seen in a home: decides between two readings of one number.
    pub(super) plausible: RangeInclusive<f64>,
    /// The hard range in words.
    pub(super) words: &'static str,
}

/// A unit that can be typed behind a number.
pub(super) trait TypedUnit: Copy + PartialEq + 'static {
    /// Names in lower case; the list is closed.
    const NAMES: &'static [(&'static str, Self)];
    /// The same for a sentence.
    const ACCEPTED: &'static str;
    /// The quantity's ranges.
    const LIMITS: Limits;
    /// Whether `1 1/2` and `½` are read.
    const FRACTIONS: bool = false;
    /// How an amount in several parts is written, for the sentence that refuses one.
    const PARTS_RULE: &'static str = "write one number and one unit";

    /// The unit as printed.
    fn label(self) -> &'static str;

    /// How many canonical units one of these is.
    fn factor(self) -> Option<Exact>;

    /// Whether a part in `next` may follow a part in `self`.
    fn may_precede(self, _next: Self) -> bool {
        false
    }

    /// The unit of a last part that has none, as in `1h30`.
    fn implied_after(self, _number: &str) -> Option<Self> {
        None
    }

    /// The error for a number without unit.
    fn missing(text: &str) -> QuantityError {
        QuantityError::UnitMissing { text: echo(text), accepted: Self::ACCEPTED }
    }

    /// The error for a unit that is not on the list.
    fn unknown(unit: &str, _text: &str) -> QuantityError {
        QuantityError::UnitUnknown { unit: echo(unit), accepted: Self::ACCEPTED }
    }
}

/// One number and the text up to the next number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Part<'a> {
    /// What stands before the number, or `None`.
    pub(super) sign: Option<char>,
    /// The number, not yet read.
    pub(super) number: &'a str,
    /// What follows it, spaces taken off; may be empty.
    pub(super) unit: &'a str,
}

/// A canonical value, or two that a single text can mean.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Found {
    /// One reading, or one that is plausible.
    One(f64),
    /// Two plausible readings.
    Two {
        /// The separator read as the decimal sign.
        decimal: f64,
        /// The separator read as a thousands sign.
        thousands: f64,
        /// The error where nobody can decide.
        undecided: QuantityError,
    },
}

/// Splits a prepared text into numbers and units. The text must begin with a number; only the first has a sign.
pub(super) fn parts(text: &str) -> Result<Vec<Part<'_>>, QuantityError> {
    let refused = || QuantityError::not_a_number(text);
    let (sign, mut rest) = match text.chars().next() {
        Some(sign @ ('-' | '−' | '+')) => (Some(sign), text.strip_prefix(sign).unwrap_or(text)),
        _ => (None, text),
    };
    if !starts_number(rest) {
        return Err(refused());
    }
    let mut found = Vec::new();
    while !rest.is_empty() {
        let end = rest.find(|c| !in_number(c)).unwrap_or(rest.len());
        let (number, after) = rest.split_at(end);
        let end =
            (0..after.len()).find(|&at| after.get(at..).is_some_and(starts_number)).unwrap_or(after.len());
        let (unit, next) = after.split_at(end);
        let unit = unit.trim_matches(is_space);
        let exponent = unit.trim_end_matches(['+', '-', '−']).eq_ignore_ascii_case("e");
        if exponent && !next.is_empty() {
            return Err(refused());
        }
        found.push(Part {
            sign: sign.filter(|_| found.is_empty()),
            number: number.trim_matches(is_space),
            unit,
        });
        rest = next;
    }
    Ok(found)
}

fn in_number(character: char) -> bool {
    character.is_ascii_digit()
        || is_space(character)
        || matches!(character, '.' | ',' | '\'' | '’' | '/' | '\u{2044}')
        || vulgar(character).is_some()
}

/// A digit, a one-character fraction, or a point or comma right before a digit.
fn starts_number(text: &str) -> bool {
    let mut characters = text.chars();
    match characters.next() {
        Some('.' | ',') => characters.next().is_some_and(|c| c.is_ascii_digit()),
        Some(first) => first.is_ascii_digit() || vulgar(first).is_some(),
        None => false,
    }
}

/// Finds a unit by its name: any case, one space inside, a closing point or comma forgiven (`oz.`, `2 lb, 3 oz`).
pub(super) fn named<U: Copy>(names: &[(&str, U)], unit: &str) -> Option<U> {
    let words: Vec<String> = unit
        .strip_suffix(['.', ','])
        .unwrap_or(unit)
        .split(is_space)
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    let wanted = words.join(" ");
    names.iter().find(|(name, _)| *name == wanted).map(|(_, found)| *found)
}

/// Reads a quantity from zero up; leaves both readings of `1.234` standing where both are plausible.
pub(super) fn candidates<U: TypedUnit>(text: &str, default: Option<U>) -> Result<Found, QuantityError> {
    let text = prepare(text)?;
    let found = parts(text)?;
    match found.as_slice() {
        [only] => single(*only, text, default),
        several => compound::<U>(several, text).map(Found::One),
    }
}

/// The same, with an error where both readings stand.
pub(super) fn read<U: TypedUnit>(text: &str, default: Option<U>) -> Result<f64, QuantityError> {
    match candidates::<U>(text, default)? {
        Found::One(value) => Ok(value),
        Found::Two { undecided, .. } => Err(undecided),
    }
}

fn single<U: TypedUnit>(part: Part<'_>, text: &str, default: Option<U>) -> Result<Found, QuantityError> {
    let number = typed::<U>(part, text)?;
    let unit = unit_of(part, text, default)?;
    let outside = || QuantityError::out_of_range(text, U::LIMITS.words);
    match part.sign {
        Some('+') => return Err(QuantityError::not_a_number(text)),
        Some(_) => return Err(outside()),
        None => {}
    }
    let canonical = |value: Exact| {
        unit.factor()
            .and_then(|factor| value.times(factor))
            .map(Exact::to_float)
            .ok_or_else(|| QuantityError::too_long(text))
    };
    let (as_decimal, as_thousands) = match number {
        Typed::Certain(value) => {
            let value = inside::<U>(canonical(value)?, text)?;
            // "640 655 g" are two weights, not one of 640 kg.
            let is_spaced = part.number.contains(is_space) && !is_fraction(part.number);
            if is_spaced && value > *U::LIMITS.plausible.end() {
                return Err(QuantityError::PartsUnclear {
                    text: echo(text),
                    rule: "write one number without a space in it",
                });
            }
            return Ok(Found::One(value));
        }
        Typed::Either { decimal, thousands } => (decimal, thousands),
    };
    let (decimal, thousands) = (canonical(as_decimal)?, canonical(as_thousands)?);
    // What is plausible decides; where neither reading is, what is possible at all.
    for range in [U::LIMITS.plausible, U::LIMITS.hard] {
        match (range.contains(&decimal), range.contains(&thousands)) {
            (true, true) => {
                return Ok(Found::Two {
                    decimal,
                    thousands,
                    undecided: ambiguous(text, as_decimal, as_thousands, unit.label()),
                });
            }
            (true, false) => return Ok(Found::One(decimal)),
            (false, true) => return Ok(Found::One(thousands)),
            (false, false) => {}
        }
    }
    Err(outside())
}

/// The value, if the quantity can have it.
fn inside<U: TypedUnit>(value: f64, text: &str) -> Result<f64, QuantityError> {
    if U::LIMITS.hard.contains(&value) {
        Ok(value)
    } else {
        Err(QuantityError::out_of_range(text, U::LIMITS.words))
    }
}

fn typed<U: TypedUnit>(part: Part<'_>, text: &str) -> Result<Typed, QuantityError> {
    if U::FRACTIONS && is_fraction(part.number) {
        return fraction(part.number, text).map(Typed::Certain);
    }
    typed_number(part.number, text)
}

fn unit_of<U: TypedUnit>(part: Part<'_>, text: &str, default: Option<U>) -> Result<U, QuantityError> {
    if part.unit.is_empty() {
        return default.ok_or_else(|| U::missing(text));
    }
    named(U::NAMES, part.unit).ok_or_else(|| U::unknown(part.unit, text))
}

/// Adds up `2 lb 3 oz` or `1 d 12 h`: whole numbers before the last part, each part smaller than one of the unit
/// before it. Anything else is more likely a slip than an amount.
fn compound<U: TypedUnit>(found: &[Part<'_>], text: &str) -> Result<f64, QuantityError> {
    let unclear = || QuantityError::PartsUnclear { text: echo(text), rule: U::PARTS_RULE };
    let mut total = Exact::whole(0);
    let mut previous: Option<U> = None;
    for (index, part) in found.iter().enumerate() {
        let is_last = index + 1 == found.len();
        let number = match typed::<U>(*part, text)? {
            Typed::Certain(value) => value,
            Typed::Either { decimal, .. } if is_last => decimal,
            Typed::Either { .. } => return Err(unclear()),
        };
        let implied = previous.and_then(|unit| unit.implied_after(part.number));
        let unit = if part.unit.is_empty() && is_last {
            implied.ok_or_else(unclear)?
        } else {
            unit_of(*part, text, None)?
        };
        let factor = unit.factor().ok_or_else(unclear)?;
        let amount = number.times(factor).ok_or_else(unclear)?;
        let fits = previous.is_none_or(|before| {
            before.may_precede(unit) && before.factor().is_some_and(|one| amount.to_float() < one.to_float())
        });
        if part.sign.is_some() || !fits || (!is_last && !number.is_whole()) {
            return Err(unclear());
        }
        total = total.plus(amount).ok_or_else(unclear)?;
        previous = Some(unit);
    }
    inside::<U>(total.to_float(), text)
}
