//! Weights: `812 g`, `2 lb 3 oz`, `#2 640`, `640 655 648` in piece order.

use crate::command::intake::amount::{
    Amount, OTHER_UNITS, UNITS, amounts, has_any_unit, settled, weight, weights_of,
};
use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::{Said, Weight};
use crate::command::intake::error::IntakeError;
use crate::command::intake::figure::{humidity, negative_mass_text, take_number, temperature};
use crate::command::intake::item::What;
use crate::command::intake::line::{Line, tidied};
use crate::command::intake::token::Kind;
use crate::command::intake::words::{begins_time, may_follow_number};
use crate::command::time::echo;
use crate::quantity::QuantityError;
use crate::quantity::parse::mass_candidates;
use crate::record::PieceNumber;

/// Words that announce a weight.
const LEADS: &[&str] = &["weighed", "weighs", "weigh", "weighing", "weight", "weights", "wt", "gross"];
/// Words between the announcement and the weight.
const BETWEEN: &[&str] =
    &["is", "was", "now", "at", "of", "reads", "the", "scale", "says", "shows", "are", "were"];
/// Reads one weight, or a list in piece order.
pub(super) fn read(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<bool, IntakeError> {
    // The rest of a list that was refused is no list of its own.
    if cursor.at() < line.refused_up_to {
        return Ok(false);
    }
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
        return if announced { refuse_unknown_unit(&start, line) } else { Ok(false) };
    };
    let has_unit = has_any_unit(&found);
    let pieces = line.context.pieces.len();
    if !(has_unit || announced || (found.len() > 1 && found.len() == pieces)) {
        line.bare_numbers = line.bare_numbers.max(found.len());
        line.refused_up_to = ahead.at();
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
            let error = QuantityError::UnitUnknown { unit: echo(ahead.text()), accepted: UNITS };
            Err(error.into())
        }
        _ => Ok(false),
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
            Some(_) => format!("{} {typed}", line.prefix_text()),
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
            let announced = line.announced.as_ref().map_or("", |(_, words)| words.as_str());
            let typed = format!("hung {announced} {words}");
            line.add_of(Said::Hung(numbered), Vec::new(), &typed);
        }
        return Ok(());
    }
    if line.has_named_pieces() {
        let named = line.named_pieces();
        if named.len() != weights.len() {
            return Err(IntakeError::CountMismatch { weights: weights.len(), pieces: named.len() });
        }
        for ((piece, weight), amount) in named.into_iter().zip(weights).zip(amounts) {
            let words = if amounts.len() == 1 {
                format!("{} {typed}", line.prefix_text())
            } else {
                format!("{piece} {}", amount.text)
            };
            line.add_of(Said::Weight(weight), vec![piece], &words);
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
        return Err(IntakeError::CountMismatch { weights: weights.len(), pieces: numbers.len() });
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
