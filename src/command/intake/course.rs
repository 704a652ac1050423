//! A course of temperatures: `10 h at 24 C, 15 h at 35 C`, `55@26 C`.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::figure::{pass_temperature, scale};
use crate::command::intake::token::{Kind, cut};
use crate::command::time::{echo, span_hours};
use crate::quantity::parse::{duration, temperature};
use crate::quantity::{Hours, QuantityError, Temperature, TemperatureScale};
use thiserror::Error;

/// Longest text of a course, in characters.
const LONGEST_TEXT: usize = 1000;
/// Most steps of a course.
const MOST_STEPS: usize = 100;

/// Why a text is no course of temperatures.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum CourseError {
    /// Nothing was typed.
    #[error("no course was given")]
    Empty,
    /// More than 1,000 characters or 100 steps.
    #[error("that course is too long; I read up to 100 steps")]
    TooLong,
    /// A step that is not a length of time at a temperature.
    #[error("I cannot read \"{text}\" as hours at a temperature")]
    Unreadable {
        /// From where it cannot be read.
        text: String,
    },
    /// A number or a unit of a step.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
}

impl CourseError {
    /// A course of the kind that is read.
    pub const fn example(&self) -> &'static str {
        "10 h at 24 C, 15 h at 35 C"
    }
}

/// Reads a course: how long at which temperature, in order.
///
/// # Errors
/// [`CourseError`]; no step may be of 0 h.
pub fn course(text: &str) -> Result<Vec<(Hours, Temperature)>, CourseError> {
    if text.trim().is_empty() {
        return Err(CourseError::Empty);
    }
    if text.chars().nth(LONGEST_TEXT).is_some() {
        return Err(CourseError::TooLong);
    }
    let tokens = cut(text);
    let mut cursor = Cursor::new(text, &tokens);
    let mut steps = Vec::new();
    loop {
        steps.push(step(&mut cursor)?);
        while cursor.take_sign(&[',', ';', '.', '+', '|']) || cursor.take(&["then", "and"]) {}
        if cursor.is_at_end() {
            return Ok(steps);
        }
        if steps.len() == MOST_STEPS {
            return Err(CourseError::TooLong);
        }
    }
}

fn step(cursor: &mut Cursor<'_>) -> Result<(Hours, Temperature), CourseError> {
    let start = *cursor;
    let unreadable = |at: &Cursor<'_>| CourseError::Unreadable {
        text: echo(at.rest()),
    };
    let hours = length(cursor).ok_or_else(|| unreadable(&start))??;
    if hours.value() <= 0.0 {
        let error = QuantityError::OutOfRange {
            text: echo(cursor.text_since(&start)),
            range: "what a step must be: more than 0 h".to_owned(),
        };
        return Err(error.into());
    }
    if !cursor.take_sign(&['@', ':']) {
        cursor.take(&["at"]);
    }
    let before = *cursor;
    if !pass_temperature(cursor) {
        return Err(unreadable(&start));
    }
    let temperature = temperature(cursor.text_since(&before))?;
    Ok((hours, temperature))
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
    if behind
        .word()
        .is_some_and(|unit| duration(&format!("1 {unit}")).is_ok())
    {
        cursor.skip();
    }
    Some(duration(cursor.text_since(&start)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steps(text: &str) -> Vec<(f64, f64)> {
        let found = course(text).unwrap_or_else(|error| panic!("{text}: {error}"));
        found
            .into_iter()
            .map(|(hours, at)| (hours.value(), at.in_scale(at.scale())))
            .collect()
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
        ] {
            assert_eq!(steps(text), [(10.0, 24.0), (15.0, 35.0)], "{text}");
        }
        assert_eq!(steps("55@26 C"), [(55.0, 26.0)]);
        assert_eq!(steps("48 h at 85 F"), [(48.0, 85.0)]);
        assert_eq!(steps("2 d at 24,5 C"), [(48.0, 24.5)]);
        assert_eq!(steps("1h30 at 24 C"), [(1.5, 24.0)]);
    }

    #[test]
    fn everything_else_is_refused() {
        assert_eq!(course("  "), Err(CourseError::Empty));
        assert_eq!(course(&"1@20C ".repeat(101)), Err(CourseError::TooLong));
        assert_eq!(course(&"x".repeat(1001)), Err(CourseError::TooLong));
        for text in [
            "warm",
            "10 h",
            "24 C",
            "10 h at",
            "10 h at warm",
            "10 h at 24 C, 15 h",
            "-10 h at 24 C",
        ] {
            assert!(
                matches!(course(text), Err(CourseError::Unreadable { .. })),
                "{text}: {:?}",
                course(text)
            );
        }
        for text in [
            "0 h at 24 C",
            "10 at 24 C",
            "10 h at 24",
            "1.200 h at 24 C",
            "10 h at 900 C",
            "1e400@20C",
            "10 h at 24-26 C",
            "99999 h at 24 C",
        ] {
            assert!(
                matches!(course(text), Err(CourseError::Quantity(_))),
                "{text}: {:?}",
                course(text)
            );
        }
    }
}
