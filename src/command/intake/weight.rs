//! Weights: `812 g`, `2 lb 3 oz`, `#2 640`, `640 655 648` in piece order.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::error::IntakeError;
use crate::command::intake::figure::{
    humidity, mass_text, negative_mass_text, not_a_number, refuse_range, take_mass_unit, take_number,
    temperature,
};
use crate::command::intake::item::What;
use crate::command::intake::line::{Line, Said, Weight, tidied};
use crate::command::intake::token::Kind;
use crate::command::intake::words::{begins_time, may_follow_number};
use crate::command::time::echo;
use crate::quantity::parse::{MassReading, mass_candidates, mass_candidates_with_default};
use crate::quantity::{Mass, MassUnit, QuantityError};
use crate::record::PieceNumber;

/// Words that announce a weight.
const LEADS: &[&str] = &[
    "weighed", "weighs", "weigh", "weighing", "weight", "weights", "wt", "gross",
];
/// Words between the announcement and the weight.
const BETWEEN: &[&str] = &[
    "is", "was", "now", "at", "of", "reads", "the", "scale", "says", "shows", "are", "were",
];
/// What stands behind a number that is no weight.
const OTHER_UNITS: &[&str] = &[
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
    text: &'a str,
    unit: Option<&'a str>,
}

/// Reads one weight, or a list in piece order.
pub(super) fn read(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<bool, IntakeError> {
    let mut ahead = *cursor;
    let is_led = ahead.take(LEADS);
    if is_led {
        ahead.take_all(BETWEEN);
        ahead.take_sign(&[':', '=']);
    }
    let start = ahead;
    // No weight is negative, and no minus is passed over.
    if let Some(negative) = negative_mass_text(&ahead) {
        mass_candidates(&negative)?;
    }
    let found = amounts(&mut ahead)?;
    let announced = is_led || line.has_named_pieces() || line.hanging.is_some();
    let Some(first) = found.first() else {
        return if announced {
            refuse_unknown_unit(&start, line)
        } else {
            Ok(false)
        };
    };
    let has_unit = has_any_unit(&found);
    let pieces = line.context.pieces.len();
    if !(has_unit || announced || (found.len() > 1 && found.len() == pieces)) {
        line.bare_numbers = line.bare_numbers.max(found.len());
        return Ok(false);
    }
    if found.len() == 1 && is_tare(&ahead) {
        let tare = settled(&weight(*first, None, line.context.mass_unit)?, None)?;
        ahead.skip();
        line.add(Said::Known(What::Tare { tare }), ahead.text_since(cursor));
    } else {
        let weights = weights_of(&found, line.context.mass_unit)?;
        keep(line, weights, &found, ahead.text_since(cursor))?;
    }
    *cursor = ahead;
    Ok(true)
}

fn is_tare(cursor: &Cursor<'_>) -> bool {
    cursor.sees(&["tare"]) && !matches!(cursor.after_one().kind(), Some(Kind::Number))
}

/// "#2 640 stone": a word right behind an announced number is taken for its unit.
fn refuse_unknown_unit(start: &Cursor<'_>, line: &Line<'_>) -> Result<bool, IntakeError> {
    let mut ahead = *start;
    let scale = line.context.temperature_scale;
    let is_other = temperature(&mut ahead, scale)?.is_some() || humidity(&mut ahead)?.is_some();
    if is_other || begins_time(start) || take_number(&mut ahead).is_none() {
        return Ok(false);
    }
    match ahead.word() {
        Some(word) if !OTHER_UNITS.contains(&word) && !may_follow_number(&ahead) => {
            let error = QuantityError::UnitUnknown {
                unit: echo(ahead.text()),
                accepted: UNITS,
            };
            Err(error.into())
        }
        _ => Ok(false),
    }
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
    Ok(Some(Amount {
        text: ahead.text_since(&start),
        unit: None,
    }))
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
        _ => amount.text.split_whitespace().collect::<Vec<_>>().join(" "),
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
    match crate::quantity::parse::mass(text) {
        Err(error) => error.into(),
        Ok(_) => not_a_number(text),
    }
}

/// Keeps what was weighed: pieces being hung, one weight, or one for each piece that hangs.
fn keep(
    line: &mut Line<'_>,
    weights: Vec<Weight>,
    amounts: &[Amount<'_>],
    typed: &str,
) -> Result<(), IntakeError> {
    if line.hanging.is_some() {
        let named = line.named_pieces();
        if named.len() > 1 || (named.len() == 1 && weights.len() > 1) {
            return Err(which_piece(typed));
        }
        let number = named.first().copied();
        let numbered: Vec<_> = weights.into_iter().map(|weight| (number, weight)).collect();
        let words = match number {
            Some(number) => format!("{number} {typed}"),
            None => typed.to_owned(),
        };
        let hung = line.drafts.iter_mut().find_map(|draft| match &mut draft.said {
            Said::Hung(pieces) => Some((pieces, &mut draft.typed)),
            _ => None,
        });
        if let Some((pieces, before)) = hung {
            pieces.extend(numbered);
            *before = format!("{before}, {}", tidied(&words));
        } else {
            line.add_of(Said::Hung(numbered), Vec::new(), &format!("hung {words}"));
        }
        return Ok(());
    }
    if line.has_named_pieces() {
        let named = line.named_pieces();
        if named.len() != weights.len() {
            return Err(IntakeError::CountMismatch {
                weights: weights.len(),
                pieces: named.len(),
            });
        }
        for ((piece, weight), amount) in named.into_iter().zip(weights).zip(amounts) {
            let words = if amounts.len() == 1 { typed } else { amount.text };
            line.add_of(Said::Weight(weight), vec![piece], &format!("{piece} {words}"));
        }
        return Ok(());
    }
    let mut weights = weights;
    if weights.len() == 1 {
        if let Some(weight) = weights.pop() {
            line.add_of(Said::Weight(weight), Vec::new(), typed);
        }
        return Ok(());
    }
    in_piece_order(line, weights, amounts)
}

fn in_piece_order(
    line: &mut Line<'_>,
    weights: Vec<Weight>,
    amounts: &[Amount<'_>],
) -> Result<(), IntakeError> {
    let numbers: Vec<PieceNumber> = line.context.pieces.iter().map(|(number, _)| *number).collect();
    if numbers.len() != weights.len() {
        return Err(IntakeError::CountMismatch {
            weights: weights.len(),
            pieces: numbers.len(),
        });
    }
    for ((number, weight), amount) in numbers.into_iter().zip(weights).zip(amounts) {
        line.add_of(Said::Weight(weight), vec![number], amount.text);
    }
    Ok(())
}

/// The error for something that speaks of one piece while it is not clear of which.
pub(super) fn which_piece(typed: &str) -> IntakeError {
    IntakeError::WhichPiece { text: echo(typed) }
}
