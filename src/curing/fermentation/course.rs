//! What a room did over a fermentation: stretches of time with a lowest and a highest temperature.

use super::evidence::Grade;
use crate::quantity::Hours;
use crate::quantity::Temperature;
use chrono::{DateTime, Utc};
use thiserror::Error;

/// One stretch of a course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// From when to when; `None` in a declared course, which has no dates.
    pub span: Option<(DateTime<Utc>, DateTime<Utc>)>,
    /// How long, in hours.
    pub hours: f64,
    /// The coldest it is taken to have been; `None` where nothing vouches for any warmth.
    pub low: Option<Temperature>,
    /// The warmest it may have been; `None` where that cannot be said.
    pub high: Option<Temperature>,
    /// How well it is known.
    pub grade: Grade,
}

/// The course of a room's temperature, cut into stretches.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Course {
    /// The stretches, in order of time.
    pub stretches: Vec<Stretch>,
    /// The warmest it was for certain.
    pub highest_certain: Option<Temperature>,
    /// The warmest it may have been.
    pub highest_possible: Option<Temperature>,
    /// The temperature now, while the clock is open.
    pub current: Option<Temperature>,
}

/// Why a declared course is refused.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum CourseError {
    /// No step at all.
    #[error("a course needs at least one step, like: 10 h at 24 C, 15 h at 35 C")]
    Empty,
    /// A step's length is impossible.
    #[error("{0} h is no length for a step: more than 0 h and at most 2160 h (90 days), like: 10 h at 24 C")]
    HoursOutOfRange(f64),
    /// A step's temperature is impossible.
    #[error(
        "{0} °C is no temperature for a fermenting room: -20 to 80 °C (-4 to 176 °F), like: 10 h at 24 C"
    )]
    TemperatureOutOfRange(f64),
}

/// Longest step of a declared course in hours: ninety days.
const MAX_STEP_HOURS: f64 = 2160.0;
/// Range of a declared step in °C: beyond it, it is a freezer or an oven.
const STEP_CELSIUS: std::ops::RangeInclusive<f64> = -20.0..=80.0;

impl Course {
    /// A course as somebody states it: so many hours at so many degrees, one step after the other.
    pub fn declared(steps: &[(Hours, Temperature)]) -> Result<Self, CourseError> {
        if steps.is_empty() {
            return Err(CourseError::Empty);
        }
        let stretches = steps
            .iter()
            .map(|(hours, temperature)| declared_step(*hours, *temperature))
            .collect::<Result<Vec<_>, _>>()?;
        let highest = steps.iter().map(|(_, temperature)| *temperature);
        let highest = highest.reduce(Temperature::warmer);
        Ok(Self { stretches, highest_certain: highest, highest_possible: highest, current: None })
    }

    /// The worst grade of its stretches; [`Grade::Logged`] for a course of no length.
    pub fn grade(&self) -> Grade {
        let grades = self.stretches.iter().map(|stretch| stretch.grade);
        grades.max().unwrap_or(Grade::Logged)
    }

    /// Hours that could be counted: all but the stretches of which nothing is known.
    pub fn hours_counted(&self) -> f64 {
        let known = self.stretches.iter().filter(|s| s.grade != Grade::Missing);
        known.map(|stretch| stretch.hours).sum()
    }

    /// The stretches of which nothing is known, neighbours joined.
    pub fn gaps(&self) -> Vec<(DateTime<Utc>, DateTime<Utc>)> {
        let mut gaps: Vec<(DateTime<Utc>, DateTime<Utc>)> = Vec::new();
        let missing = self.stretches.iter().filter(|s| s.grade == Grade::Missing);
        for (from, to) in missing.filter_map(|stretch| stretch.span) {
            match gaps.last_mut() {
                Some(last) if last.1 == from => last.1 = to,
                _ => gaps.push((from, to)),
            }
        }
        gaps
    }
}

fn declared_step(hours: Hours, temperature: Temperature) -> Result<Stretch, CourseError> {
    let (hours, celsius) = (hours.value(), temperature.as_celsius());
    if !(hours > 0.0 && hours <= MAX_STEP_HOURS) {
        return Err(CourseError::HoursOutOfRange(hours));
    }
    if !STEP_CELSIUS.contains(&celsius) {
        return Err(CourseError::TemperatureOutOfRange(celsius));
    }
    Ok(Stretch { span: None, hours, low: Some(temperature), high: Some(temperature), grade: Grade::Declared })
}

/// The warmer of two temperatures of which either may be unknown.
pub(super) fn warmer(one: Option<Temperature>, other: Option<Temperature>) -> Option<Temperature> {
    match (one, other) {
        (Some(one), Some(other)) => Some(one.warmer(other)),
        (known, None) | (None, known) => known,
    }
}

/// The colder of two temperatures of which either may be unknown.
pub(super) fn colder(one: Option<Temperature>, other: Option<Temperature>) -> Option<Temperature> {
    match (one, other) {
        (Some(one), Some(other)) => Some(one.colder(other)),
        (known, None) | (None, known) => known,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn step(hours: f64, celsius: f64) -> Result<Course, CourseError> {
        Course::declared(&[(Hours::new(hours), Temperature::celsius(celsius))])
    }

    #[test]
    fn impossible_steps_are_refused() {
        assert_eq!(Course::declared(&[]), Err(CourseError::Empty));
        for hours in [0.0, -1.0, 2160.1, f64::NAN, f64::INFINITY] {
            assert!(matches!(step(hours, 24.0), Err(CourseError::HoursOutOfRange(_))), "{hours}");
        }
        for celsius in [-20.1, 80.1, 900.0, f64::NAN, f64::NEG_INFINITY] {
            assert!(matches!(step(10.0, celsius), Err(CourseError::TemperatureOutOfRange(_))), "{celsius}");
        }
    }

    #[test]
    fn a_refusal_is_one_sentence_with_an_example() {
        let text = step(0.0, 24.0).unwrap_err().to_string();
        assert_eq!(
            text,
            "0 h is no length for a step: more than 0 h and at most 2160 h (90 days), like: 10 h at 24 C"
        );
    }

    #[test]
    fn a_stated_course_is_declared_and_counts_every_hour() {
        let course = Course::declared(&[
            (Hours::new(10.0), Temperature::celsius(24.0)),
            (Hours::new(15.0), Temperature::celsius(35.0)),
        ])
        .unwrap();
        assert_eq!(course.grade(), Grade::Declared);
        assert!((course.hours_counted() - 25.0).abs() < 1e-9);
        assert_eq!(course.highest_certain, Some(Temperature::celsius(35.0)));
        assert_eq!(course.gaps(), []);
    }
}
