//! What a chamber was set to: `chamber set to 24 C 88%`, `set to 24C ±1.5`, `hysteresis 1.5 C`.

use crate::command::intake::climate::{air, behind_separator};
use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::Said;
use crate::command::intake::error::IntakeError;
use crate::command::intake::figure::{
    TEMPERATURE_UNITS, humidity, scale, signed, take_percent, unit_missing,
};
use crate::command::intake::item::What;
use crate::command::intake::line::{Line, tidied};
use crate::command::intake::token::Kind;
use crate::command::intake::words::{begins_time, may_follow_number};
use crate::command::time::echo;
use crate::quantity::{QuantityError, Temperature, TemperatureScale};

/// Words between "set" and the values.
const BETWEEN: &[&str] = &[
    "to",
    "at",
    "on",
    "the",
    "point",
    "is",
    "now",
    "was",
    "chamber",
    "fridge",
    "box",
    "cabinet",
    "refrigerator",
    "room",
    "it",
    "temp",
    "temperature",
    "for",
    "back",
];
const HYSTERESIS_WORDS: &[&str] = &["hysteresis", "hyst", "differential", "deadband"];

/// Reads a setting, or a hysteresis alone.
pub(super) fn read(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<bool, IntakeError> {
    let member_scale = line.context.temperature_scale;
    let mut ahead = *cursor;
    // A plus-minus alone is a hysteresis only behind a setting; behind a pH it is something else.
    let may_follow = cursor.sees(HYSTERESIS_WORDS) || has_setting(line);
    if may_follow && let Some(hysteresis) = hysteresis(&mut ahead, member_scale)? {
        keep_hysteresis(line, hysteresis, ahead.text_since(cursor))?;
        *cursor = ahead;
        return Ok(true);
    }
    if !ahead.take(&["set", "setting", "setpoint", "thermostat", "controller"]) {
        return Ok(false);
    }
    pass_to_value(&mut ahead);
    let inside = with_hysteresis_inside(&mut ahead, member_scale)?;
    let (temperature, humidity) = match inside {
        Some((temperature, _)) => (Some(temperature), behind_separator(&mut ahead, humidity)?),
        None => air(&mut ahead, member_scale)?,
    };
    if temperature.is_none() && humidity.is_none() {
        return refuse_bare(&ahead);
    }
    let spoken_scale = temperature.map_or(member_scale, Temperature::scale);
    let before = ahead;
    let behind = hysteresis(&mut ahead, spoken_scale)?;
    // "88% ±2" may be a drift of the humidity.
    let is_behind_scale = scale(&mut before.back_to(before.at().saturating_sub(1)), spoken_scale).is_some();
    let has_own_scale = !matches!(ahead.back_to(ahead.at().saturating_sub(1)).kind(), Some(Kind::Number));
    let is_of_either = behind.is_some() && humidity.is_some() && !is_behind_scale && !has_own_scale;
    line.is_doubtful |= is_of_either;
    let said = Said::Known(What::Setting {
        temperature,
        humidity,
        hysteresis_celsius: behind.or(inside.map(|(_, hysteresis)| hysteresis)),
    });
    line.add_of(said, Vec::new(), ahead.text_since(cursor));
    *cursor = ahead;
    Ok(true)
}

/// Passes what may stand between "set" and its value, but not the minus of a number.
fn pass_to_value(cursor: &mut Cursor<'_>) {
    loop {
        let behind = cursor.after_one();
        let is_minus = cursor.sees_sign(&['-']) && matches!(behind.kind(), Some(Kind::Number));
        if is_minus || !(cursor.take(BETWEEN) || cursor.take_sign(&['-', ':', '='])) {
            return;
        }
    }
}

/// "set to 24" wants its scale; "set 3 alarms" is not for us.
fn refuse_bare(cursor: &Cursor<'_>) -> Result<bool, IntakeError> {
    let is_bare = matches!(cursor.kind(), Some(Kind::Number))
        && !begins_time(cursor)
        && may_follow_number(&cursor.after_one());
    if is_bare {
        return Err(unit_missing(cursor.text(), TEMPERATURE_UNITS));
    }
    Ok(false)
}

/// "24 ± 1.5 C".
fn with_hysteresis_inside(
    cursor: &mut Cursor<'_>,
    default: TemperatureScale,
) -> Result<Option<(Temperature, f64)>, IntakeError> {
    let mut ahead = *cursor;
    // Only with a plus-minus behind the number; what is wrong with another number is for others to say.
    let mut behind = ahead.after_one();
    if !matches!(ahead.kind(), Some(Kind::Number)) || !plus_minus(&mut behind) {
        return Ok(None);
    }
    let Some(degrees) = signed(&mut ahead)? else {
        return Ok(None);
    };
    plus_minus(&mut ahead);
    let start = ahead;
    let Some(size) = signed(&mut ahead)? else {
        return Ok(None);
    };
    refuse_percent(&ahead)?;
    let Some(scale) = scale(&mut ahead, default) else {
        return Err(unit_missing(ahead.text_since(cursor), TEMPERATURE_UNITS));
    };
    let hysteresis = in_celsius(size, scale, ahead.text_since(&start))?;
    *cursor = ahead;
    Ok(Some((Temperature::new(degrees, scale), hysteresis)))
}

/// "±1.5", "+/- 1.5 C", "hysteresis 1.5 C": how far the controller lets it drift, in °C.
fn hysteresis(cursor: &mut Cursor<'_>, default: TemperatureScale) -> Result<Option<f64>, IntakeError> {
    let mut ahead = *cursor;
    ahead.take_sign(&[',']);
    ahead.take(&["with"]);
    let is_named = ahead.take(HYSTERESIS_WORDS);
    if is_named {
        ahead.take_sign(&[':', '=']);
        ahead.take(&["is", "of", "set", "to"]);
    }
    if !plus_minus(&mut ahead) && !is_named {
        return Ok(None);
    }
    let start = ahead;
    let Some(size) = signed(&mut ahead)? else {
        return Ok(None);
    };
    refuse_percent(&ahead)?;
    let scale = scale(&mut ahead, default).unwrap_or(default);
    let found = in_celsius(size, scale, ahead.text_since(&start))?;
    *cursor = ahead;
    Ok(Some(found))
}

/// "±2 %" is of the humidity.
fn refuse_percent(cursor: &Cursor<'_>) -> Result<(), IntakeError> {
    let mut ahead = *cursor;
    let is_humidity = take_percent(&mut ahead) || ahead.sees(&["rh", "humidity"]);
    if is_humidity { Err(IntakeError::HumidityBand) } else { Ok(()) }
}

fn plus_minus(cursor: &mut Cursor<'_>) -> bool {
    let mut ahead = *cursor;
    let found = ahead.take_sign(&['±']) || {
        let plus = ahead.take_sign(&['+']);
        ahead.take_sign(&['/']);
        plus && ahead.take_sign(&['-'])
    };
    if found {
        *cursor = ahead;
    }
    found
}

/// A difference of temperatures in °C: 1 °F is 5/9 of one.
fn in_celsius(size: f64, scale: TemperatureScale, typed: &str) -> Result<f64, IntakeError> {
    let celsius = match scale {
        TemperatureScale::Celsius => size,
        TemperatureScale::Fahrenheit => size * 5.0 / 9.0,
    };
    if (0.0..=20.0).contains(&celsius) {
        return Ok(celsius);
    }
    let error = QuantityError::OutOfRange {
        text: echo(typed),
        range: "what a controller's hysteresis can be: 0 to 20 °C".to_owned(),
    };
    Err(error.into())
}

fn has_setting(line: &Line<'_>) -> bool {
    line.drafts.iter().any(|draft| matches!(draft.said, Said::Known(What::Setting { .. })))
}

/// A hysteresis belongs to the setting before it, where there is one.
fn keep_hysteresis(line: &mut Line<'_>, hysteresis: f64, typed: &str) -> Result<(), IntakeError> {
    let setting = line.drafts.iter_mut().find_map(|draft| match &mut draft.said {
        Said::Known(What::Setting { hysteresis_celsius, .. }) => Some((hysteresis_celsius, &mut draft.typed)),
        _ => None,
    });
    match setting {
        Some((Some(_), _)) => Err(IntakeError::SaidTwice { what: "hysteresis".to_owned() }),
        Some((slot, words)) => {
            *slot = Some(hysteresis);
            *words = format!("{words}, {}", tidied(typed.trim_start_matches(',')));
            Ok(())
        }
        None => {
            let said = Said::Known(What::Setting {
                temperature: None,
                humidity: None,
                hysteresis_celsius: Some(hysteresis),
            });
            line.add_of(said, Vec::new(), typed);
            Ok(())
        }
    }
}
