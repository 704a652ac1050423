//! A course from what was kept of the chambers: readings, settings and min/max thermometers.
//!
//! A batch may move between chambers; each stay is judged by the air of its own chamber.

use super::course::Course;
use super::evidence::Evidence;
use crate::record::climate::Climate;
use crate::record::ids::ChamberId;
use crate::record::state::BatchState;
use chrono::{DateTime, Utc};
use std::collections::BTreeMap;

/// A batch's stay in one chamber.
#[derive(Debug, Clone, Copy)]
pub struct Stay<'a> {
    /// What the chamber's air was, before, during and after the stay.
    pub climate: &'a Climate,
    /// Since when the batch was there.
    pub from: DateTime<Utc>,
    /// Until when; `None`: it is still there.
    pub to: Option<DateTime<Utc>>,
}

/// The air of a chamber of which nothing was kept.
static NOTHING_KNOWN: Climate = Climate {
    readings: Vec::new(),
    settings: Vec::new(),
    extremes: Vec::new(),
    humidity: Vec::new(),
    hygrometer: Vec::new(),
};

impl<'a> Stay<'a> {
    /// Every stay of a batch, in order, each with the air of its chamber; each ends where the next begins.
    pub fn of_batch(batch: &BatchState, climates: &'a BTreeMap<ChamberId, Climate>) -> Vec<Self> {
        let ends = batch.stays.iter().skip(1).map(|(_, next)| Some(*next)).chain([None]);
        let stay = |((chamber, from), to): (&(ChamberId, DateTime<Utc>), _)| Self {
            climate: climates.get(chamber).unwrap_or(&NOTHING_KNOWN),
            from: *from,
            to,
        };
        batch.stays.iter().zip(ends).map(stay).collect()
    }

    /// Whether a moment falls into it.
    pub(super) fn holds(&self, at: DateTime<Utc>) -> bool {
        self.from <= at && self.to.is_none_or(|left| at < left)
    }
}

/// The time to be looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// When the clock started.
    pub from: DateTime<Utc>,
    /// When it ended; `None`: it is open and counts until `now`.
    pub closed: Option<DateTime<Utc>>,
    /// The moment of asking: nothing later is known.
    pub now: DateTime<Utc>,
}

impl Window {
    fn end(&self) -> DateTime<Utc> {
        self.closed.map_or(self.now, |end| end.min(self.now))
    }
}

impl Course {
    /// The course of the chambers a batch stayed in, over a window of time.
    ///
    /// The stays are in order. Readings outside the window or the stay are neighbours of the first and the last
    /// stretch, but nothing after `now` is.
    pub fn of_history(stays: &[Stay<'_>], window: Window) -> Self {
        let mut course = Self::default();
        for stay in stays {
            let from = stay.from.max(window.from);
            let to = stay.to.map_or(window.end(), |left| left.min(window.end()));
            if from > to {
                continue;
            }
            let open = window.closed.is_none() && to == window.now;
            Evidence::of(stay.climate, (from, to), open, window.now).add_to(&mut course);
        }
        course
    }
}

#[cfg(test)]
mod tests;
