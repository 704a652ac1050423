//! The only callers of "now".

use chrono::{DateTime, Utc};
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
        Utc::now()
    }
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
    shift: chrono::TimeDelta,
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
