//! What a min/max thermometer remembers: `max 26C min 22C since yesterday`, `26C max`, `high 79F, low 70F`.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::Said;
use crate::command::intake::error::IntakeError;
use crate::command::intake::figure::{
    TEMPERATURE_UNITS, humidity, refuse_dash_before, scale, signed, take_dash, temperature, unit_missing,
};
use crate::command::intake::item::What;
use crate::command::intake::line::Line;
use crate::command::intake::since::since;
use crate::command::intake::token::Kind;
use crate::quantity::{Temperature, TemperatureScale};

const MAX_WORDS: &[&str] = &["max", "maximum", "high", "highest", "warmest", "hi"];
const MIN_WORDS: &[&str] = &["min", "minimum", "low", "lowest", "coldest", "lo"];

/// Which end of the range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum End {
    Max,
    Min,
}

/// An end of the range; the scale may stand with the other one.
#[derive(Debug, Clone, Copy)]
struct Reading<'a> {
    end: End,
    degrees: f64,
    scale: Option<TemperatureScale>,
    text: &'a str,
}

/// Reads a maximum, with the minimum and "since" where they are said.
pub(super) fn read(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<bool, IntakeError> {
    let default = line.context.temperature_scale;
    let mut ahead = *cursor;
    let Some(first) = reading(&mut ahead, default)? else {
        return Ok(false);
    };
    let mut behind = ahead;
    behind.take(&["and"]);
    if !behind.take_sign(&[',', '/']) && take_dash(&mut behind) {
        refuse_dash_before(&behind)?;
    }
    let second = reading(&mut behind, default)?.filter(|second| second.end != first.end);
    if second.is_some() {
        ahead = behind;
    }
    let since = since(&mut ahead, line)?;
    // "max 26 C 85 %": the highest humidity, or the humidity now.
    line.is_doubtful |= humidity(&mut ahead.clone())?.is_some();
    let (max, min) = match (first.end, second) {
        (End::Max, min) => (first, min),
        (End::Min, Some(max)) => (max, Some(first)),
        (End::Min, None) => return Err(IntakeError::MaxMissing),
    };
    let shared = max.scale.or(min.and_then(|min| min.scale));
    let max = settled(max, shared)?;
    let min = min.map(|min| settled(min, shared)).transpose()?;
    if min.is_some_and(|min| min.as_celsius() > max.as_celsius()) {
        return Err(IntakeError::MinAboveMax);
    }
    let said = Said::Known(What::Extremes { since, max, min });
    line.add_of(said, Vec::new(), ahead.text_since(cursor));
    *cursor = ahead;
    Ok(true)
}

fn settled(reading: Reading<'_>, shared: Option<TemperatureScale>) -> Result<Temperature, IntakeError> {
    reading
        .scale
        .or(shared)
        .map(|scale| Temperature::new(reading.degrees, scale))
        .ok_or_else(|| unit_missing(reading.text, TEMPERATURE_UNITS))
}

/// "max 26C", or "26C max".
fn reading<'a>(
    cursor: &mut Cursor<'a>,
    default: TemperatureScale,
) -> Result<Option<Reading<'a>>, IntakeError> {
    let mut ahead = *cursor;
    if let Some(end) = end(&mut ahead) {
        ahead.take_sign(&['.', ':', '=']);
        ahead.take_all(&["temp", "temperature", "was", "of", "is", "at"]);
        let start = ahead;
        let Some(degrees) = signed(&mut ahead)? else {
            return Ok(None);
        };
        let scale = scale(&mut ahead, default);
        if scale.is_none() && ahead.sees_sign(&['%']) {
            return Ok(None);
        }
        *cursor = ahead;
        return Ok(Some(Reading { end, degrees, scale, text: ahead.text_since(&start) }));
    }
    let Some(found) = temperature(&mut ahead, default)? else {
        return Ok(None);
    };
    let text = ahead.text_since(cursor);
    let Some(end) = end(&mut ahead) else {
        return Ok(None);
    };
    // "24 C max 26 C" is a reading and a maximum; "26 C max 22 C min" is two ends.
    let mut behind = ahead;
    let is_second_end = temperature(&mut behind, default)?.is_some()
        && self::end(&mut behind).is_some()
        && !matches!(behind.kind(), Some(Kind::Number));
    let is_lead = matches!(ahead.kind(), Some(Kind::Number)) && !is_second_end;
    if is_lead {
        return Ok(None);
    }
    *cursor = ahead;
    Ok(Some(Reading { end, degrees: found.in_scale(found.scale()), scale: Some(found.scale()), text }))
}

fn end(cursor: &mut Cursor<'_>) -> Option<End> {
    if cursor.take(MAX_WORDS) {
        Some(End::Max)
    } else if cursor.take(MIN_WORDS) {
        Some(End::Min)
    } else {
        None
    }
}
