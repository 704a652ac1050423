//! A course of temperatures: `10 h at 24 C, 15 h at 35 C`, `55@26 C`, `24 C 48 h`; and a planned one, whose steps may
//! go without their hours: `24 C 24 h, 28 C`.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::error::IntakeError;
use crate::command::intake::figure::{pass_temperature, scale, temperature};
use crate::command::intake::token::{Kind, cut};
use crate::command::time::{echo, span_hours};
use crate::quantity::parse::{duration, temperature_with_default};
use crate::quantity::{Hours, QuantityError, Temperature, TemperatureScale};

/// Longest text of a course, in characters.
const LONGEST_TEXT: usize = 1000;
/// Most steps of a course.
const MOST_STEPS: usize = 100;

/// Reads a course: how long at which temperature, in order. Degrees without a scale are in `bare_scale`.
///
/// # Errors
/// [`IntakeError::Quantity`], [`IntakeError::CourseUnreadable`], [`IntakeError::TooLong`]; no step may be of 0 h.
pub fn course(text: &str, bare_scale: TemperatureScale) -> Result<Vec<(Hours, Temperature)>, IntakeError> {
    let steps = plan(text, bare_scale)?;
    let with_hours = |(hours, temperature): &(Option<Hours>, Temperature)| Some(((*hours)?, *temperature));
    let stated: Option<Vec<_>> = steps.iter().map(with_hours).collect();
    stated.ok_or_else(|| IntakeError::CourseUnreadable { text: echo(text) })
}

/// Reads a planned course: as [`course`], but a temperature may stand without hours.
///
/// # Errors
/// As [`course`].
pub fn plan(
    text: &str,
    bare_scale: TemperatureScale,
) -> Result<Vec<(Option<Hours>, Temperature)>, IntakeError> {
    if text.trim().is_empty() {
        return Err(IntakeError::Quantity(QuantityError::Empty));
    }
    if text.chars().nth(LONGEST_TEXT).is_some() {
        return Err(IntakeError::TooLong);
    }
    let tokens = cut(text);
    let mut cursor = Cursor::new(text, &tokens);
    let mut steps = Vec::new();
    loop {
        steps.push(step(&mut cursor, bare_scale)?);
        while cursor.take_sign(&[',', ';', '.', '+', '|']) || cursor.take(&["then", "and"]) {}
        if cursor.is_at_end() {
            return Ok(steps);
        }
        if steps.len() == MOST_STEPS {
            return Err(IntakeError::TooLong);
        }
    }
}

fn step(
    cursor: &mut Cursor<'_>,
    bare_scale: TemperatureScale,
) -> Result<(Option<Hours>, Temperature), IntakeError> {
    let start = *cursor;
    if temperature(&mut start.clone(), bare_scale)?.is_some() {
        return warmth_first(cursor, bare_scale);
    }
    let unreadable = |at: &Cursor<'_>| IntakeError::CourseUnreadable { text: echo(at.rest()) };
    let hours = length(cursor).ok_or_else(|| unreadable(&start))??;
    positive(hours, cursor.text_since(&start))?;
    if !cursor.take_sign(&['@', ':']) {
        cursor.take(&["at"]);
    }
    let before = *cursor;
    if cursor.is_at_end() || cursor.sees_sign(&[',', ';']) {
        return Err(IntakeError::CourseWithoutTemperature { text: echo(before.text_since(&start)) });
    }
    if !pass_temperature(cursor) {
        return Err(unreadable(&start));
    }
    let temperature = temperature_with_default(cursor.text_since(&before), bare_scale)?;
    Ok((Some(hours), temperature))
}

/// `24 C 48 h`, `24 C for 48 h`; `24 C` alone.
fn warmth_first(
    cursor: &mut Cursor<'_>,
    bare_scale: TemperatureScale,
) -> Result<(Option<Hours>, Temperature), IntakeError> {
    let start = *cursor;
    pass_temperature(cursor);
    let temperature = temperature_with_default(cursor.text_since(&start), bare_scale)?;
    let mut ahead = *cursor;
    ahead.take_sign(&['@', ':']);
    ahead.take(&["for"]);
    let before = ahead;
    // Of a step that begins here, "48 h at 20 C", the hours are its own.
    let is_of_next = |behind: &Cursor<'_>| behind.sees_sign(&['@']) || behind.sees(&["at"]);
    match length(&mut ahead) {
        Some(hours) if !is_of_next(&ahead) => {
            let hours = hours?;
            positive(hours, ahead.text_since(&before))?;
            *cursor = ahead;
            Ok((Some(hours), temperature))
        }
        _ => Ok((None, temperature)),
    }
}

fn positive(hours: Hours, typed: &str) -> Result<(), IntakeError> {
    if hours.value() > 0.0 {
        return Ok(());
    }
    let range = "what a step must be: more than 0 h".to_owned();
    Err(QuantityError::OutOfRange { text: echo(typed), range }.into())
}

/// A length of time; bare hours only right before an `@`. `None` when no number begins here.
fn length(cursor: &mut Cursor<'_>) -> Option<Result<Hours, QuantityError>> {
    let start = *cursor;
    if span_hours(cursor).is_some() {
        return Some(duration(cursor.text_since(&start)));
    }
    let behind = cursor.after_one();
    let is_temperature = scale(&mut behind.clone(), TemperatureScale::Celsius).is_some();
    if !matches!(cursor.kind(), Some(Kind::Number)) || is_temperature {
        return None;
    }
    *cursor = behind;
    if behind.sees_sign(&['@']) {
        return Some(duration(&format!("{} h", cursor.text_since(&start))));
    }
    // What is wrong with the number or its unit is for `quantity` to say.
    if behind.word().is_some_and(|unit| duration(&format!("1 {unit}")).is_ok()) {
        cursor.skip();
    }
    Some(duration(cursor.text_since(&start)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steps(text: &str) -> Vec<(f64, f64)> {
        let found = course(text, TemperatureScale::Celsius).unwrap_or_else(|error| panic!("{text}: {error}"));
        found.into_iter().map(|(hours, at)| (hours.value(), at.in_scale(at.scale()))).collect()
    }

    #[test]
    fn courses_are_read_in_every_spelling() {
        for text in [
            "10 h at 24 C, 15 h at 35 C",
            "10 h at 24C; 15h @ 35C",
            "10@24C 15@35C",
            "10 hours at 24 °C then 15 hours at 35 °C",
            "10h 24C, 15h 35C",
            "10 h: 24 C, 15 h: 35 C",
            "10 h at 24 deg C, 15 h at 35 deg C.",
            "24 C 10 h, 35 C 15 h",
            "24C for 10h then 35C for 15h",
            "24 °C: 10 h; 35 °C: 15 h",
        ] {
            assert_eq!(steps(text), [(10.0, 24.0), (15.0, 35.0)], "{text}");
        }
        assert_eq!(steps("55@26 C"), [(55.0, 26.0)]);
        assert_eq!(steps("48 h at 85 F"), [(48.0, 85.0)]);
        assert_eq!(steps("10 h at 24, 15 h at 35"), [(10.0, 24.0), (15.0, 35.0)]);
        assert_eq!(steps("2 d at 24,5 C"), [(48.0, 24.5)]);
        assert_eq!(steps("1h30 at 24 C"), [(1.5, 24.0)]);
    }

    #[test]
    fn a_plan_may_leave_hours_out() {
        let plan = |text: &str| {
            let found =
                plan(text, TemperatureScale::Celsius).unwrap_or_else(|error| panic!("{text}: {error}"));
            let step = |(hours, at): (Option<Hours>, Temperature)| (hours.map(Hours::value), at.as_celsius());
            found.into_iter().map(step).collect::<Vec<_>>()
        };
        assert_eq!(plan("24 C 48h, 15 C 24h"), [(Some(48.0), 24.0), (Some(24.0), 15.0)]);
        assert_eq!(plan("24,5 C 48h; 28 C"), [(Some(48.0), 24.5), (None, 28.0)]);
        assert_eq!(plan("24 C"), [(None, 24.0)]);
        assert_eq!(plan("24 C, 48 h at 20 C"), [(None, 24.0), (Some(48.0), 20.0)]);
    }

    #[test]
    fn everything_else_is_refused() {
        let course = |text: &str| course(text, TemperatureScale::Celsius);
        assert_eq!(course("  "), Err(IntakeError::Quantity(QuantityError::Empty)));
        assert_eq!(course(&"1@20C ".repeat(101)), Err(IntakeError::TooLong));
        assert_eq!(course(&"x".repeat(1001)), Err(IntakeError::TooLong));
        for text in ["warm", "24 C", "10 h at warm", "-10 h at 24 C"] {
            assert!(
                matches!(course(text), Err(IntakeError::CourseUnreadable { .. })),
                "{text}: {:?}",
                course(text)
            );
        }
        for text in ["10 h", "10 h at", "10 h at 24 C, 15 h"] {
            assert!(matches!(course(text), Err(IntakeError::CourseWithoutTemperature { .. })), "{text}");
        }
        for text in [
            "0 h at 24 C",
            "10 at 24 C",
            "1.200 h at 24 C",
            "10 h at 900 C",
            "1e400@20C",
            "10 h at 24-26 C",
            "99999 h at 24 C",
        ] {
            assert!(matches!(course(text), Err(IntakeError::Quantity(_))), "{text}: {:?}", course(text));
        }
    }
}
