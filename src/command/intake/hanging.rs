//! Hanging pieces, and their tare: `hung 812 798 805 g`, `hung 6 pieces: …`, `tare 30 g each`.

use crate::command::intake::amount::{amounts, settled, weights_of};
use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::Said;
use crate::command::intake::error::IntakeError;
use crate::command::intake::figure::take_number;
use crate::command::intake::item::What;
use crate::command::intake::line::Line;
use crate::command::intake::token::Kind;

/// Reads "hung", which makes the weights behind it those of pieces being hung, and the tare.
pub(super) fn read(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<bool, IntakeError> {
    let mut ahead = *cursor;
    if ahead.take(&["hung", "hang", "hanging"]) && line.hanging.is_none() {
        line.hanging = Some(cursor.at());
        // "to hang": not hung yet.
        let before = cursor.at().checked_sub(1).map(|before| cursor.back_to(before));
        line.is_doubtful |= cursor.sees(&["hang"]) && before.is_some_and(|word| word.sees(&["to"]));
        ahead.take_sign(&[':']);
        *cursor = ahead;
        line.announced = pieces_announced(cursor);
        return Ok(true);
    }
    tare(cursor, line)
}

/// "6 pieces:" before the weights: how many there must be, and the words.
fn pieces_announced(cursor: &mut Cursor<'_>) -> Option<(usize, String)> {
    let start = *cursor;
    let mut ahead = *cursor;
    let announced = cursor.text().parse().ok()?;
    take_number(&mut ahead)?;
    if !ahead.take(&["pieces", "sticks"]) {
        return None;
    }
    let words = ahead.text_since(&start).to_owned();
    let colon = ahead.take_sign(&[':', ',', '-']);
    if !colon && !matches!(ahead.kind(), Some(Kind::Number)) {
        return None;
    }
    *cursor = ahead;
    Some((announced, words))
}

fn tare(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<bool, IntakeError> {
    let mut ahead = *cursor;
    if !ahead.take(&["tare"]) {
        return Ok(false);
    }
    ahead.take_sign(&[':', '=']);
    ahead.take_all(&["is", "was", "of", "each", "now"]);
    let start = ahead;
    let found = amounts(&mut ahead)?;
    let [only] = found.as_slice() else {
        return if found.is_empty() { Ok(false) } else { Err(IntakeError::TareOfOnePiece) };
    };
    if line.has_named_pieces() {
        return Err(IntakeError::TareOfOnePiece);
    }
    let weights = weights_of(&[*only], line.context.mass_unit)?;
    let Some(weight) = weights.first() else {
        *cursor = start;
        return Ok(false);
    };
    let tare = settled(weight, None)?;
    ahead.take(&["each", "apiece"]);
    line.add_of(Said::Known(What::Tare { tare }), Vec::new(), ahead.text_since(cursor));
    *cursor = ahead;
    Ok(true)
}
