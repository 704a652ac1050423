//! The stand-in's own time, and the ids made from it.

use std::fmt;
use std::time::Instant;

use chrono::{DateTime, TimeDelta, Utc};
use serde_json::Value;

/// The platform counts milliseconds from the first second of 2015 (its reference, "Snowflakes").
const PLATFORM_EPOCH_MILLISECONDS: i64 = 1_420_070_400_000;

/// An id of the platform: the moment it was made in the upper 42 bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Id(pub u64);

impl Id {
    /// As it travels: a string.
    pub fn json(self) -> Value {
        Value::String(self.to_string())
    }

    /// An id out of a path or a body; 0 where it is none, which names nothing.
    pub fn read(text: &str) -> Self {
        Self(text.parse().unwrap_or(0))
    }

    /// The moment the id was made.
    pub fn made_at(self) -> DateTime<Utc> {
        DateTime::from_timestamp_millis((self.0 >> 22).cast_signed() + PLATFORM_EPOCH_MILLISECONDS).unwrap()
    }
}

impl fmt::Display for Id {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(out)
    }
}

/// A clock that runs from a start, or stands still until it is moved.
#[derive(Debug)]
pub struct Clock {
    base: DateTime<Utc>,
    running_since: Option<Instant>,
    last_id: u64,
}

impl Clock {
    /// Runs with the machine's time.
    #[expect(clippy::disallowed_methods, reason = "the stand-in is an outside world with its own time")]
    pub fn running() -> Self {
        Self { base: Utc::now(), running_since: Some(Instant::now()), last_id: 0 }
    }

    /// Stands still at `now` until moved.
    pub fn standing(now: DateTime<Utc>) -> Self {
        Self { base: now, running_since: None, last_id: 0 }
    }

    /// What time it is in the stand-in's world.
    pub fn now(&self) -> DateTime<Utc> {
        let passed = self.running_since.map(|since| since.elapsed()).unwrap_or_default();
        self.base + TimeDelta::from_std(passed).unwrap()
    }

    /// Puts the clock to `now`; a running clock runs on from there.
    pub fn set(&mut self, now: DateTime<Utc>) {
        self.base = now;
        self.running_since = self.running_since.map(|_| Instant::now());
    }

    /// The next id: made from the clock and greater than every id before, even where the clock was put back.
    pub fn next_id(&mut self) -> Id {
        let milliseconds = (self.now().timestamp_millis() - PLATFORM_EPOCH_MILLISECONDS).max(0);
        self.last_id = ((milliseconds as u64) << 22).max(self.last_id + 1);
        Id(self.last_id)
    }
}

/// A moment as the platform writes it.
pub fn stamp(at: DateTime<Utc>) -> String {
    at.to_rfc3339_opts(chrono::SecondsFormat::Micros, false)
}
