//! Numbers with their units, along a line. The numbers themselves are read by `quantity`.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::error::IntakeError;
use crate::command::intake::token::Kind;
use crate::command::time::echo;
use crate::quantity::parse::{NumberReading, mass, number};
use crate::quantity::{QuantityError, RelativeHumidity, Temperature, TemperatureScale};

/// What a temperature's unit may be, for the sentence that asks for it.
pub(super) const TEMPERATURE_UNITS: &str = "°C or °F";

/// A number, with a minus where it has one, as a pH, temperature, humidity or voltage: of `24.125` only the decimal
/// reading is possible there. `None` when no number begins here.
pub(super) fn signed(cursor: &mut Cursor<'_>) -> Result<Option<f64>, IntakeError> {
    let mut ahead = *cursor;
    let is_negative = ahead.take_sign(&['-']);
    if (is_negative && !ahead.is_glued()) || !matches!(ahead.kind(), Some(Kind::Number)) {
        return Ok(None);
    }
    let (NumberReading::Certain(size) | NumberReading::Either { decimal: size, .. }) = number(ahead.text())?;
    ahead.skip();
    refuse_range(&ahead, cursor)?;
    *cursor = ahead;
    Ok(Some(if is_negative && size != 0.0 { -size } else { size }))
}

/// Passes a dash between two things, but not the minus of a number: "80% -2 C".
pub(super) fn take_dash(cursor: &mut Cursor<'_>) -> bool {
    let behind = cursor.after_one();
    let is_minus = !cursor.is_glued() && behind.is_glued() && matches!(behind.kind(), Some(Kind::Number));
    !is_minus && cursor.take_sign(&['-'])
}

/// A dash right before a temperature may be its minus: nobody can tell "- 2 C" from "2 C".
pub(super) fn refuse_dash_before(cursor: &Cursor<'_>) -> Result<(), IntakeError> {
    if dash_before(cursor).is_none() {
        return Ok(());
    }
    let mut behind = *cursor;
    pass_temperature(&mut behind);
    Err(IntakeError::SignApart { number: echo(behind.text_since(cursor)) })
}

/// The dash right before a number, where it is not read as its minus.
pub(super) fn dash_before<'a>(cursor: &Cursor<'a>) -> Option<Cursor<'a>> {
    let before = cursor.back_to(cursor.at().checked_sub(1)?);
    (before.sees_sign(&['-']) && matches!(cursor.kind(), Some(Kind::Number))).then_some(before)
}

/// "24-26" is no reading.
pub(super) fn refuse_range(ahead: &Cursor<'_>, start: &Cursor<'_>) -> Result<(), IntakeError> {
    let behind = ahead.after_one();
    if ahead.sees_sign(&['-']) && ahead.is_glued() && matches!(behind.kind(), Some(Kind::Number)) {
        return Err(not_a_number(behind.after_one().text_since(start)));
    }
    Ok(())
}

/// The error for what is no number.
pub(super) fn not_a_number(text: &str) -> IntakeError {
    IntakeError::Quantity(QuantityError::NotANumber { text: echo(text) })
}

/// The error for a number without the unit it needs.
pub(super) fn unit_missing(text: &str, accepted: &'static str) -> IntakeError {
    IntakeError::Quantity(QuantityError::UnitMissing { text: echo(text), accepted })
}

/// Passes "C", "°F", "deg C", "degrees", "celsius". A degree sign alone is in the member's scale.
pub(super) fn scale(cursor: &mut Cursor<'_>, default: TemperatureScale) -> Option<TemperatureScale> {
    let mut ahead = *cursor;
    let marked = ahead.take_sign(&['°']) || ahead.take(&["deg", "degs", "degree", "degrees"]);
    let said = match ahead.word() {
        Some("c" | "celsius" | "centigrade" | "degc") => Some(TemperatureScale::Celsius),
        Some("f" | "fahrenheit" | "degf") => Some(TemperatureScale::Fahrenheit),
        _ => None,
    };
    if said.is_some() {
        ahead.skip();
    }
    let found = said.or(marked.then_some(default))?;
    *cursor = ahead;
    Some(found)
}

/// A temperature; `None`, and nothing passed, when no number with a scale begins here.
pub(super) fn temperature(
    cursor: &mut Cursor<'_>,
    default: TemperatureScale,
) -> Result<Option<Temperature>, IntakeError> {
    // Without a scale the number is something else; what is wrong with it is for others to say.
    let mut behind = *cursor;
    if !pass_number(&mut behind) || scale(&mut behind, default).is_none() {
        return Ok(None);
    }
    let mut ahead = *cursor;
    let (Some(degrees), Some(scale)) = (signed(&mut ahead)?, scale(&mut ahead, default)) else {
        return Ok(None);
    };
    *cursor = ahead;
    Ok(Some(Temperature::new(degrees, scale)))
}

/// Passes a number with a scale, or a number alone: what is wrong with it, `quantity` says.
pub(super) fn pass_temperature(cursor: &mut Cursor<'_>) -> bool {
    let found = pass_number(cursor);
    scale(cursor, TemperatureScale::Celsius);
    found
}

/// Passes what looks like a number or a range of numbers, readable or not.
fn pass_number(cursor: &mut Cursor<'_>) -> bool {
    if cursor.take_sign(&['-']) && !cursor.is_glued() {
        return false;
    }
    if !matches!(cursor.kind(), Some(Kind::Number)) {
        return false;
    }
    cursor.skip();
    let behind = cursor.after_one();
    if cursor.sees_sign(&['-']) && cursor.is_glued() && matches!(behind.kind(), Some(Kind::Number)) {
        *cursor = behind.after_one();
    }
    true
}

/// A humidity: "80 %", "80% rh", "rh 80", "humidity: 80 percent". `None` when none begins here.
pub(super) fn humidity(cursor: &mut Cursor<'_>) -> Result<Option<RelativeHumidity>, IntakeError> {
    let mut ahead = *cursor;
    let named = humidity_word(&mut ahead);
    if named {
        ahead.take_sign(&[':', '=']);
        ahead.take(&["is", "at", "of", "was", "now", "to"]);
    }
    let mut behind = ahead;
    let is_number = pass_number(&mut behind);
    let marked = is_number && (take_percent(&mut behind) || (!named && ends_with_humidity_word(&mut behind)));
    // "rh 13 C" is a temperature with a word too many.
    let is_other = named && !marked && scale(&mut behind, TemperatureScale::Celsius).is_some();
    if !is_number || is_other || !(named || marked) {
        return Ok(None);
    }
    let Some(percent) = signed(&mut ahead)? else {
        return Ok(None);
    };
    take_percent(&mut ahead);
    if !named {
        humidity_word(&mut ahead);
    }
    *cursor = ahead;
    Ok(Some(RelativeHumidity::percent(percent)))
}

pub(super) fn take_percent(cursor: &mut Cursor<'_>) -> bool {
    cursor.take_sign(&['%']) || cursor.take(&["percent", "pct"])
}

/// "80 rh", but not the beginning of "rh 80" behind another number.
fn ends_with_humidity_word(cursor: &mut Cursor<'_>) -> bool {
    humidity_word(cursor) && !matches!(cursor.kind(), Some(Kind::Number))
}

fn humidity_word(cursor: &mut Cursor<'_>) -> bool {
    let mut ahead = *cursor;
    ahead.take(&["relative"]);
    let found = ahead.take(&["rh", "humidity", "hum"]);
    if found {
        *cursor = ahead;
    }
    found
}

/// The text of a weight with its unit, `812 g` or `2 lb 3 oz`. `None` when none begins here.
pub(super) fn mass_text<'a>(cursor: &mut Cursor<'a>) -> Option<&'a str> {
    let start = *cursor;
    let mut ahead = *cursor;
    take_number(&mut ahead)?;
    let first_unit = take_mass_unit(&mut ahead)?;
    let mut end = ahead;
    let mut behind = ahead;
    if first_unit.starts_with(['l', 'p', 'k']) {
        behind.take_sign(&['.']);
        let lesser = take_number(&mut behind).and_then(|()| take_mass_unit(&mut behind));
        let fits = lesser.is_some_and(|unit| {
            let wanted = if first_unit.starts_with('k') { 'g' } else { 'o' };
            unit.starts_with(wanted)
        });
        if fits {
            end = behind;
        }
    }
    *cursor = end;
    Some(end.text_since(&start))
}

/// The text of a weight with the minus that stands right before it: "-812 g", but not "#2 - 812 g" or "mould-812 g".
pub(super) fn negative_mass_text(cursor: &Cursor<'_>) -> Option<String> {
    let sign = cursor.back_to(cursor.at().checked_sub(1)?);
    let is_negative = cursor.is_glued() && sign.sees_sign(&['-']) && !sign.is_glued();
    let text = mass_text(&mut cursor.clone()).filter(|_| is_negative)?;
    Some(format!("-{text}"))
}

/// Passes a number, with a fraction behind it where there is one: `2 ½`, `2 1/2`.
pub(super) fn take_number(cursor: &mut Cursor<'_>) -> Option<()> {
    if !matches!(cursor.kind(), Some(Kind::Number)) {
        return None;
    }
    let is_whole = cursor.text().bytes().all(|byte| byte.is_ascii_digit());
    cursor.skip();
    let is_fraction = matches!(cursor.kind(), Some(Kind::Number))
        && (cursor.text().contains(['/', '⁄']) || !cursor.text().contains(|c: char| c.is_ascii_digit()));
    if is_whole && is_fraction {
        cursor.skip();
    }
    Some(())
}

/// Passes a unit of mass; the list of units is `quantity`'s.
pub(super) fn take_mass_unit<'a>(cursor: &mut Cursor<'a>) -> Option<&'a str> {
    let word = cursor.word()?;
    mass(&format!("1 {word}")).ok()?;
    cursor.skip();
    Some(word)
}
