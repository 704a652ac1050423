//! The lines that are not taken, counted all, kept up to a number that a member may still read.

use super::MOST_FAULTS;
use super::refused::{Fault, Refused, What};
use chrono::{DateTime, Utc};

/// Faults as they are found.
#[derive(Debug, Default)]
pub(super) struct Faults {
    kept: Vec<Fault>,
    pub(super) count: u32,
    in_future: u32,
    /// The earliest row of the future, and its line.
    future: Option<(DateTime<Utc>, u32)>,
}

impl Faults {
    pub(super) fn add(&mut self, line: u32, index: usize, text: &str, what: What) {
        self.count = self.count.saturating_add(1);
        if let What::InFuture { at } = what {
            self.in_future += 1;
            self.future = self.future.filter(|(earliest, _)| *earliest <= at).or(Some((at, line)));
        }
        if self.kept.len() < MOST_FAULTS {
            self.kept.push(Fault::new(line, index, text, what));
        }
    }

    /// What is kept, by line.
    pub(super) fn into_lines(mut self) -> Vec<Fault> {
        self.kept.sort_by_key(|fault| fault.place.line);
        self.kept
    }

    /// Why no row is left.
    pub(super) fn refusal(self, header_line: Option<u32>) -> Refused {
        let (lines, in_future, future) = (self.count, self.in_future, self.future);
        match (future, self.into_lines().into_iter().next()) {
            (Some((first, line)), _) if in_future == lines => Refused::InFuture { first, line },
            (_, Some(first)) => Refused::AllFaulty { first: Box::new(first), lines },
            (_, None) => Refused::NoRows { header_line },
        }
    }
}
