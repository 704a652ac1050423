//! How well a stretch of time is known.

use chrono::TimeDelta;

/// Readings this close together are as good as a logger. This project's choice, no source.
pub(super) const LOGGED_GAP: TimeDelta = TimeDelta::hours(2);

/// Readings this close together, a night's sleep, still bracket what happened between. This project's choice,
/// no source.
pub(super) const READ_GAP: TimeDelta = TimeDelta::hours(14);

/// The grade of a stretch; of a whole course, the worst of its stretches. Best to worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// Readings at most two hours apart, or a min/max thermometer that remembers the stretch.
    Logged,
    /// Readings at most fourteen hours apart, both known.
    Read,
    /// Only stated: a course somebody named, or a setting nobody checked.
    Declared,
    /// Nothing is known of it.
    Missing,
}

impl Grade {
    /// The word printed with a verdict.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Logged => "logged",
            Self::Read => "read",
            Self::Declared => "declared",
            Self::Missing => "none",
        }
    }
}
