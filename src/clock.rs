//! The only callers of "now".
//!
//! Moments are whole milliseconds: that is what the record keeps, and a moment must come back as it went in.

use chrono::{DateTime, Datelike, DurationRound, TimeDelta, Utc};
use std::sync::Mutex;

/// Tells the time. Everything that needs the time is given it; only front ends and loops ask a clock.
pub trait Clock: Send + Sync {
    /// The present moment.
    fn now(&self) -> DateTime<Utc>;
}

/// The machine's clock.
#[derive(Debug, Clone, Copy, Default)]
pub struct SystemClock;

impl Clock for SystemClock {
    #[expect(clippy::disallowed_methods, reason = "this is the one place that asks the machine for the time")]
    fn now(&self) -> DateTime<Utc> {
        to_milliseconds(Utc::now())
    }
}

/// The moment, cut to whole milliseconds.
pub fn to_milliseconds(moment: DateTime<Utc>) -> DateTime<Utc> {
    moment.duration_trunc(TimeDelta::milliseconds(1)).unwrap_or(moment)
}

/// The first year a moment may lie in.
pub const FIRST_YEAR: i32 = 1970;
/// The last one: a year of four figures in every zone, with one to spare for what is planned ahead.
pub const LAST_YEAR: i32 = 9998;

/// Whether a moment lies in the years that can be reckoned with.
pub fn is_on_the_calendar(moment: DateTime<Utc>) -> bool {
    (FIRST_YEAR..=LAST_YEAR).contains(&moment.year())
}

/// A clock that is moved by hand: tests, the demonstration, `--at`.
#[derive(Debug)]
pub struct FixedClock(Mutex<DateTime<Utc>>);

impl FixedClock {
    /// A clock that stands at a moment.
    pub const fn at(moment: DateTime<Utc>) -> Self {
        Self(Mutex::new(moment))
    }

    /// Moves it to a moment, forwards or backwards.
    pub fn set(&self, moment: DateTime<Utc>) {
        *self.0.lock().unwrap_or_else(std::sync::PoisonError::into_inner) = moment;
    }
}

impl Clock for FixedClock {
    fn now(&self) -> DateTime<Utc> {
        *self.0.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
    }
}

/// A clock that runs on from a moment of its own: the demonstration goes on living in its story.
#[derive(Debug)]
pub struct ShiftedClock {
    shift: TimeDelta,
}

impl ShiftedClock {
    /// A clock that shows `moment` now and runs from there.
    pub fn from(moment: DateTime<Utc>) -> Self {
        Self { shift: moment - SystemClock.now() }
    }
}

impl Clock for ShiftedClock {
    fn now(&self) -> DateTime<Utc> {
        SystemClock.now() + self.shift
    }
}
