//! A pH: `pH 5,1 at 21C`, `ph 5.2 strip`, `5.1 pH`, `ph of the packet 5.1`.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::Said;
use crate::command::intake::error::IntakeError;
use crate::command::intake::figure::{
    TEMPERATURE_UNITS, not_a_number, scale, signed, temperature, unit_missing,
};
use crate::command::intake::item::What;
use crate::command::intake::line::Line;
use crate::command::intake::subject::SAMPLE_WORDS;
use crate::command::intake::token::Kind;
use crate::command::intake::words::begins_time;
use crate::command::time::echo;
use crate::quantity::{Ph, QuantityError, Temperature};
use crate::record::Instrument;

/// Words between "pH" and the number.
const BETWEEN: &[&str] = &[
    "of", "the", "is", "was", "now", "at", "reads", "reading", "in", "by", "on", "value", "level",
    "measured", "tested",
];
const STRIP_WORDS: &[&str] = &["strip", "strips", "paper"];
const METER_WORDS: &[&str] = &["meter", "probe", "electrode"];

/// Reads a pH.
pub(super) fn read(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<bool, IntakeError> {
    let mut ahead = *cursor;
    let mut instrument = take_instrument(&mut ahead);
    let value = if ahead.take(&["ph"]) {
        instrument = pass_to_number(&mut ahead, line).or(instrument);
        number_behind(&mut ahead, line)?
    } else if instrument.is_none() {
        number_before(&mut ahead)?
    } else {
        None
    };
    let Some(value) = value else {
        return Ok(false);
    };
    if value < 0.0 {
        let error =
            QuantityError::OutOfRange { text: echo(ahead.text_since(cursor)), range: "0 to 14".to_owned() };
        return Err(error.into());
    }
    let instrument = instrument_behind(&mut ahead).or(instrument).unwrap_or_default();
    let sample_temperature = sample_temperature(&mut ahead, line)?;
    let instrument = instrument_behind(&mut ahead).unwrap_or(instrument);
    let said =
        Said::Known(What::Ph { ph: Ph::new(value), instrument, sample_temperature, calibration: None });
    line.add(said, ahead.text_since(cursor));
    *cursor = ahead;
    Ok(true)
}

fn take_instrument(cursor: &mut Cursor<'_>) -> Option<Instrument> {
    if cursor.take(STRIP_WORDS) {
        Some(Instrument::Strip)
    } else if cursor.take(METER_WORDS) {
        Some(Instrument::Meter)
    } else {
        None
    }
}

/// Passes what may stand between "pH" and its number.
fn pass_to_number(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Option<Instrument> {
    let mut instrument = None;
    loop {
        if cursor.take(SAMPLE_WORDS) {
            line.samples.push((line.clause, cursor.at().saturating_sub(1)));
        } else if let Some(found) = take_instrument(cursor) {
            instrument = Some(found);
        } else if cursor.sees_sign(&['-']) && cursor.after_one().sees(&["value"]) {
            // "pH-value", "pH-Wert"
            cursor.skip();
        } else if !cursor.take(BETWEEN) && !cursor.take_sign(&[':', '=', '(']) {
            return instrument;
        }
    }
}

/// The number behind "pH", unless it carries the unit of something else.
fn number_behind(cursor: &mut Cursor<'_>, line: &Line<'_>) -> Result<Option<f64>, IntakeError> {
    let mut ahead = *cursor;
    if cursor.at() == 1 && ahead.word().is_some() && ahead.after_one().is_at_end() {
        return Err(not_a_number(ahead.text()));
    }
    if begins_time(&ahead) {
        return Ok(None);
    }
    let found = signed(&mut ahead)?;
    let has_other_unit = ahead.sees_sign(&['%'])
        || ahead.sees(&["g", "kg", "oz", "lb", "lbs", "rh"])
        || scale(&mut ahead.clone(), line.context.temperature_scale).is_some();
    if found.is_some() && !has_other_unit {
        *cursor = ahead;
        return Ok(found);
    }
    Ok(None)
}

/// "5.1 pH", where no number follows that could be the pH instead.
fn number_before(cursor: &mut Cursor<'_>) -> Result<Option<f64>, IntakeError> {
    let behind = cursor.after_one();
    let is_postfix = matches!(cursor.kind(), Some(Kind::Number))
        && behind.sees(&["ph"])
        && !matches!(behind.after_one().kind(), Some(Kind::Number))
        && !behind.after_one().sees_sign(&[':', '=']);
    if !is_postfix {
        return Ok(None);
    }
    let found = signed(cursor)?;
    cursor.skip();
    Ok(found)
}

/// Words for the air between a pH and a temperature, which is then the room's.
const ROOM_WORDS: &[&str] =
    &["room", "chamber", "air", "ambient", "fridge", "refrigerator", "box", "cabinet"];

/// Whether the room is spoken of since the pH of this clause.
fn speaks_of_room(cursor: &Cursor<'_>, line: &Line<'_>) -> bool {
    (0..cursor.at())
        .rev()
        .map(|at| cursor.back_to(at))
        .take_while(|word| line.clauses.get(word.at()) == Some(&line.clause) && !word.sees(&["ph"]))
        .any(|word| word.sees(ROOM_WORDS))
}

/// "strip", "by meter", "(strip)".
fn instrument_behind(cursor: &mut Cursor<'_>) -> Option<Instrument> {
    let mut ahead = *cursor;
    ahead.take_sign(&['(']);
    ahead.take(&["measured", "taken", "tested"]);
    ahead.take(&["by", "with", "on", "using"]);
    ahead.take(&["a", "the"]);
    let found = take_instrument(&mut ahead)?;
    ahead.take_sign(&[')']);
    *cursor = ahead;
    Some(found)
}

/// "at 21 C" that comes later in the clause of a pH, as in "ph 5.2 on #3 at 21 C": it is the sample's, and taking it
/// for the room's would make the degree-hours too small.
pub(super) fn read_sample_temperature(
    cursor: &mut Cursor<'_>,
    line: &mut Line<'_>,
) -> Result<bool, IntakeError> {
    let awaits = line.sample_temperature.is_none() && line.has_ph_without_temperature_in(line.clause);
    if !awaits || speaks_of_room(cursor, line) {
        return Ok(false);
    }
    let mut ahead = *cursor;
    let Some(found) = sample_temperature(&mut ahead, line)? else { return Ok(false) };
    line.beside_ph.push(ahead.text_since(cursor).to_owned());
    line.sample_temperature = Some(found);
    *cursor = ahead;
    Ok(true)
}

/// "at 21 C" right behind the value.
fn sample_temperature(cursor: &mut Cursor<'_>, line: &Line<'_>) -> Result<Option<Temperature>, IntakeError> {
    let mut ahead = *cursor;
    if !ahead.take(&["at"]) && !ahead.take_sign(&['@']) {
        return Ok(None);
    }
    if let Some(found) = temperature(&mut ahead, line.context.temperature_scale)? {
        *cursor = ahead;
        return Ok(Some(found));
    }
    // "at 14:30" is a time, "at 21" could be either.
    let is_bare = matches!(ahead.kind(), Some(Kind::Number)) && !begins_time(&ahead);
    if is_bare && (ahead.after_one().is_at_end() || ahead.after_one().sees_sign(&[',', ';', '.'])) {
        return Err(unit_missing(ahead.text(), TEMPERATURE_UNITS));
    }
    Ok(None)
}
