//! The length of time between two moments.

use chrono::{DateTime, Utc};

/// The time from one moment to another as decimal hours; below zero when the second comes first.
pub fn hours_between(from: DateTime<Utc>, to: DateTime<Utc>) -> f64 {
    (to - from).num_milliseconds() as f64 / 3_600_000.0
}
