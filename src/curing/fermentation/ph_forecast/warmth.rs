//! Hours that count by their warmth: an hour at 24 °C counts once, a colder one less, a warmer one more.

use crate::curing::fermentation::course::{Course, Stretch};
use crate::quantity::Temperature;
use chrono::{DateTime, Utc};

/// At and below this a starter stands still, in °C: the square-root model of growth, for cultures of the type
/// *L. sakei*; from memory.
const STANDSTILL_CELSIUS: f64 = 3.0;
/// At this an hour counts once, in °C.
const REFERENCE_CELSIUS: f64 = 24.0;
/// The model was held against nothing warmer than this, in °C: it counts as this.
const WARMEST_CELSIUS: f64 = 35.0;
/// More of the time than this without any known temperature, and no forecast is made. Rule of this project, no source.
const MOST_UNKNOWN: f64 = 0.5;

/// How much an hour at a temperature counts: 1 at 24 °C.
pub fn speed(temperature: Temperature) -> f64 {
    let celsius = temperature.as_celsius().min(WARMEST_CELSIUS);
    ((celsius - STANDSTILL_CELSIUS).max(0.0) / (REFERENCE_CELSIUS - STANDSTILL_CELSIUS)).powi(2)
}

/// A course as hours that count by their warmth.
#[derive(Debug, Clone, PartialEq)]
pub struct EquivalentHours {
    /// From when, to when, how much an hour counted, and how many had been counted before.
    parts: Vec<(DateTime<Utc>, DateTime<Utc>, f64, f64)>,
    speed_now: f64,
}

impl EquivalentHours {
    /// Of a course with dates. `None` where too little of it is known, or nothing of how warm it is now.
    pub fn of(course: &Course) -> Option<Self> {
        let known: Vec<Option<f64>> = course.stretches.iter().map(speed_of).collect();
        let hours = |is_known: bool| -> f64 {
            let all = course.stretches.iter().zip(&known);
            all.filter(|(_, speed)| speed.is_some() == is_known).map(|(stretch, _)| stretch.hours).sum()
        };
        let (unknown, all) = (hours(false), hours(false) + hours(true));
        if unknown > all * MOST_UNKNOWN {
            return None;
        }
        let last_known = known.iter().rev().find_map(|speed| *speed);
        let speed_now = course.current.map(speed).or(last_known)?;
        let mut parts = Vec::with_capacity(course.stretches.len());
        let mut counted = 0.0;
        for (index, stretch) in course.stretches.iter().enumerate() {
            let (from, to) = stretch.span?;
            let speed = bridged(&known, index)?;
            parts.push((from, to, speed, counted));
            counted += speed * stretch.hours;
        }
        Some(Self { parts, speed_now })
    }

    /// How many had been counted by a moment; before the course none, after it as many as at its end.
    pub fn at(&self, moment: DateTime<Utc>) -> f64 {
        let begun = self.parts.partition_point(|(from, ..)| *from <= moment);
        let Some((from, to, speed, before)) = begun.checked_sub(1).and_then(|last| self.parts.get(last))
        else {
            return 0.0;
        };
        before + speed * crate::record::hours_between(*from, moment.min(*to))
    }

    /// How much an hour counts from now on.
    pub const fn speed_now(&self) -> f64 {
        self.speed_now
    }
}

/// The mean of the two ends: over readings as they are between two thermometer readings, the trapezium. Of an end that
/// nothing vouches for, the other one counts.
fn speed_of(stretch: &Stretch) -> Option<f64> {
    match (stretch.low.map(speed), stretch.high.map(speed)) {
        (Some(low), Some(high)) => Some(f64::midpoint(low, high)),
        (known, None) | (None, known) => known,
    }
}

/// A stretch of which nothing is known is taken to lie between its neighbours.
fn bridged(known: &[Option<f64>], index: usize) -> Option<f64> {
    let (before, from) = known.split_at_checked(index)?;
    let before = before.iter().rev().find_map(|speed| *speed);
    let (own, after) = from.split_first()?;
    let after = after.iter().find_map(|speed| *speed);
    own.or(match (before, after) {
        (Some(before), Some(after)) => Some(f64::midpoint(before, after)),
        (known, None) | (None, known) => known,
    })
}
