//! The air of a room: `13C 80%`, `55F rh 78`, `12.5 C`, `82 %`.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::{Mark, Said};
use crate::command::intake::error::IntakeError;
use crate::command::intake::figure::{
    TEMPERATURE_UNITS, dash_before, humidity, refuse_dash_before, take_dash, temperature, unit_missing,
};
use crate::command::intake::item::What;
use crate::command::intake::line::Line;
use crate::command::intake::token::Kind;
use crate::command::intake::words::{begins_time, may_follow_number};
use crate::quantity::{RelativeHumidity, Temperature, TemperatureScale};

/// Temperature and humidity, either order, one at least.
pub(super) type Air = (Option<Temperature>, Option<RelativeHumidity>);

/// Reads the air of a room.
pub(super) fn read(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<bool, IntakeError> {
    refuse_bare(cursor)?;
    let mut ahead = *cursor;
    let (temperature, humidity) = air(&mut ahead, line.context.temperature_scale)?;
    if temperature.is_none() && humidity.is_none() {
        return Ok(false);
    }
    if temperature.is_some() {
        settle_dash(cursor, line)?;
        line.has_bare_temperature |= !is_called_air(cursor);
    }
    let said = Said::Known(What::Room { temperature, humidity });
    line.add_of(said, Vec::new(), ahead.text_since(cursor));
    *cursor = ahead;
    Ok(true)
}

/// Words right before a temperature that make it the air's, and no set point.
const AIR_WORDS: &[&str] = &[
    "now",
    "is",
    "was",
    "reads",
    "read",
    "reading",
    "shows",
    "showed",
    "says",
    "currently",
    "actual",
    "actually",
    "measured",
    "room",
    "air",
    "ambient",
    "temp",
    "temperature",
    "got",
    "gave",
];

fn is_called_air(cursor: &Cursor<'_>) -> bool {
    cursor.at().checked_sub(1).is_some_and(|before| cursor.back_to(before).sees(AIR_WORDS))
}

/// "- 2 C" may be below zero; behind another reading the dash may separate, and it is asked which.
fn settle_dash(cursor: &Cursor<'_>, line: &mut Line<'_>) -> Result<(), IntakeError> {
    let Some(dash) = dash_before(cursor) else { return Ok(()) };
    let behind_reading = dash
        .at()
        .checked_sub(1)
        .and_then(|before| line.marks.get(before))
        .is_some_and(|mark| *mark == Mark::Read);
    if !behind_reading {
        return refuse_dash_before(cursor);
    }
    line.is_doubtful = true;
    Ok(())
}

/// "temp 13.5" wants its scale.
fn refuse_bare(cursor: &Cursor<'_>) -> Result<(), IntakeError> {
    let mut ahead = *cursor;
    let is_led = ahead.take(&["temp", "temperature"]);
    ahead.take(&["is", "was", "now", "of", "at"]);
    ahead.take_sign(&[':', '=']);
    let behind = ahead.after_one();
    let is_bare = matches!(ahead.kind(), Some(Kind::Number))
        && !behind.sees_sign(&['%', '-'])
        && !begins_time(&ahead)
        && may_follow_number(&behind);
    if is_led && is_bare {
        return Err(unit_missing(ahead.text(), TEMPERATURE_UNITS));
    }
    Ok(())
}

/// Passes a temperature, a humidity, or one and then the other.
pub(super) fn air(cursor: &mut Cursor<'_>, scale: TemperatureScale) -> Result<Air, IntakeError> {
    if let Some(first) = temperature(cursor, scale)? {
        let second = behind_separator(cursor, humidity)?;
        return Ok((Some(first), second));
    }
    let Some(first) = humidity(cursor)? else {
        return Ok((None, None));
    };
    let second = behind_separator(cursor, |cursor| {
        let start = *cursor;
        let found = temperature(cursor, scale)?;
        if found.is_some() {
            refuse_dash_before(&start)?;
        }
        Ok(found)
    })?;
    Ok((second, Some(first)))
}

/// Passes one thing behind a comma, a slash or an "and".
pub(super) fn behind_separator<'a, T>(
    cursor: &mut Cursor<'a>,
    read: impl Fn(&mut Cursor<'a>) -> Result<Option<T>, IntakeError>,
) -> Result<Option<T>, IntakeError> {
    let mut ahead = *cursor;
    if !ahead.take(&["and", "with", "at"]) && !ahead.take_sign(&[',', '/', '&', '+']) {
        take_dash(&mut ahead);
    }
    ahead.take(&["and", "with"]);
    let found = read(&mut ahead)?;
    if found.is_some() {
        *cursor = ahead;
    }
    Ok(found)
}
