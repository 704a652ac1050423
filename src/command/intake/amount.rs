//! Amounts of mass along a line, one or a list, and what `1.234 g` means beside the last weight.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::Weight;
use crate::command::intake::error::IntakeError;
use crate::command::intake::figure::{mass_text, not_a_number, refuse_range, take_mass_unit, take_number};
use crate::command::intake::line::tidied;
use crate::command::intake::words::{begins_time, may_follow_number};
use crate::command::time::echo;
use crate::quantity::parse::{MassReading, mass, mass_candidates, mass_candidates_with_default};
use crate::quantity::{Mass, MassUnit, QuantityError};

/// What stands behind a number that is no weight.
pub(super) const OTHER_UNITS: &[&str] = &[
    "ph",
    "rh",
    "humidity",
    "c",
    "f",
    "deg",
    "degrees",
    "degree",
    "celsius",
    "fahrenheit",
    "percent",
    "pct",
    "mv",
    "am",
    "pm",
    "h",
    "hr",
    "hrs",
    "hour",
    "hours",
    "mins",
    "minutes",
    "d",
    "day",
    "days",
    "week",
    "weeks",
];

/// The units of a weight, for the sentence that asks for one.
pub(super) const UNITS: &str = "g, kg, oz or lb";

/// An amount as typed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Amount<'a> {
    /// The words.
    pub(super) text: &'a str,
    unit: Option<&'a str>,
}

/// Passes a list of amounts, separated by spaces, commas, "and".
pub(super) fn amounts<'a>(cursor: &mut Cursor<'a>) -> Result<Vec<Amount<'a>>, IntakeError> {
    let mut found = Vec::new();
    loop {
        let mut ahead = *cursor;
        if !found.is_empty() && !ahead.take(&["and"]) {
            ahead.take_sign(&[',', ';', '&', '+', '/']);
        }
        let Some(amount) = amount(&mut ahead)? else {
            return Ok(found);
        };
        refuse_lesser(&amount, &ahead)?;
        found.push(amount);
        *cursor = ahead;
    }
}

/// One amount, with or without its unit.
fn amount<'a>(cursor: &mut Cursor<'a>) -> Result<Option<Amount<'a>>, IntakeError> {
    let start = *cursor;
    if let Some(text) = mass_text(cursor) {
        let unit = unit_words(&start, cursor);
        return Ok(Some(Amount { text, unit }));
    }
    let mut ahead = *cursor;
    if begins_time(&ahead) || take_number(&mut ahead).is_none() {
        return Ok(None);
    }
    if ahead.sees(OTHER_UNITS) || !may_follow_number(&ahead) {
        return Ok(None);
    }
    refuse_range(&ahead, &start)?;
    *cursor = ahead;
    Ok(Some(Amount { text: ahead.text_since(&start), unit: None }))
}

/// "2 lb 2" may be 2 lb 2 oz or two weights, "1 kg 200" likewise.
fn refuse_lesser(amount: &Amount<'_>, to: &Cursor<'_>) -> Result<(), IntakeError> {
    let (lesser, below) = match amount.unit.and_then(|unit| unit.chars().next()) {
        Some('l' | 'p') => ("oz", 16),
        Some('k') => ("g", 1000),
        _ => return Ok(()),
    };
    let mut behind = *to;
    let is_lesser = behind.text().parse::<u32>().is_ok_and(|number| number < below);
    match self::amount(&mut behind)? {
        Some(next) if is_lesser && next.unit.is_none() => {
            let text = tidied(behind.text_since(to));
            let text = format!("{} {text}", tidied(amount.text));
            let one = format!("{text} {lesser}");
            Err(IntakeError::LesserUnitMissing { text: echo(&text), one })
        }
        _ => Ok(()),
    }
}

/// The unit of a simple amount; `None` for `2 lb 3 oz`, which lends its units to no other number.
fn unit_words<'a>(start: &Cursor<'a>, end: &Cursor<'a>) -> Option<&'a str> {
    let mut ahead = *start;
    take_number(&mut ahead)?;
    let unit = take_mass_unit(&mut ahead)?;
    (ahead.at() == end.at()).then_some(unit).or(Some(""))
}

/// What the amounts can mean. A bare number takes the unit of the next amount that has one, else of the one before,
/// else the member's.
pub(super) fn weights_of(amounts: &[Amount<'_>], default: MassUnit) -> Result<Vec<Weight>, IntakeError> {
    amounts
        .iter()
        .enumerate()
        .map(|(at, amount)| {
            let later = amounts.iter().skip(at).find_map(simple_unit);
            let earlier = amounts.iter().take(at).rev().find_map(simple_unit);
            weight(*amount, later.or(earlier), default)
        })
        .collect()
}

/// Whether any of the amounts has its unit.
pub(super) fn has_any_unit(amounts: &[Amount<'_>]) -> bool {
    amounts.iter().any(|amount| amount.unit.is_some())
}

/// The unit an amount lends to bare numbers beside it.
fn simple_unit<'a>(amount: &Amount<'a>) -> Option<&'a str> {
    amount.unit.filter(|unit| !unit.is_empty())
}

/// What one amount can mean.
pub(super) fn weight(
    amount: Amount<'_>,
    lent_unit: Option<&str>,
    default: MassUnit,
) -> Result<Weight, IntakeError> {
    let text = match (amount.unit, lent_unit) {
        (None, Some(unit)) => format!("{} {unit}", amount.text),
        _ => tidied(amount.text),
    };
    let reading = if amount.unit.is_some() || lent_unit.is_some() {
        mass_candidates(&text)?
    } else {
        mass_candidates_with_default(&text, default)?
    };
    let (MassReading::Certain(least) | MassReading::Either { decimal: least, .. }) = reading;
    if least <= Mass::grams(0.0) {
        let error = QuantityError::OutOfRange {
            text: echo(&text),
            range: "what a weight must be here: more than 0 g".to_owned(),
        };
        return Err(error.into());
    }
    Ok(Weight {
        reading,
        text: match (amount.unit, lent_unit) {
            (None, None) => format!("{text} {}", unit_name(default)),
            _ => text,
        },
    })
}

const fn unit_name(unit: MassUnit) -> &'static str {
    match unit {
        MassUnit::Gram => "g",
        MassUnit::Kilogram => "kg",
        MassUnit::Ounce => "oz",
        MassUnit::Pound => "lb",
    }
}

/// Of the two readings of `1.234 g` the one that fits the last weight: not heavier by more than 2 %, not lighter than
/// 60 % of it. Both or neither: the text is ambiguous. (Common practice, no source.)
pub(super) fn settled(weight: &Weight, last: Option<Mass>) -> Result<Mass, IntakeError> {
    let (decimal, thousands) = match weight.reading {
        MassReading::Certain(mass) => return Ok(mass),
        MassReading::Either { decimal, thousands } => (decimal, thousands),
    };
    let fits = |mass: Mass| {
        last.is_some_and(|last| {
            mass.as_grams() <= last.as_grams() * 1.02 && mass.as_grams() >= last.as_grams() * 0.60
        })
    };
    match (fits(decimal), fits(thousands)) {
        (true, false) => Ok(decimal),
        (false, true) => Ok(thousands),
        _ => Err(ambiguous(&weight.text)),
    }
}

/// The error with both readings printed.
fn ambiguous(text: &str) -> IntakeError {
    match mass(text) {
        Err(error) => error.into(),
        Ok(_) => not_a_number(text),
    }
}
