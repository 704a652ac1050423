//! Why a cure cannot be worked out.

use super::advice;
use crate::curing::finding::Advice;
use crate::curing::rule::Limit;
use crate::quantity::Mass;
use thiserror::Error;

/// Why a cure cannot be worked out. Each is one sentence in plain words with a corrected example where one helps.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum CureError {
    /// A weight that is not a positive number.
    #[error("the {what} must weigh more than nothing, e.g. {example}")]
    NotPositive {
        /// What was weighed.
        what: &'static str,
        /// A corrected example.
        example: &'static str,
    },
    /// A figure outside what it can be.
    #[error("the {what} must be {range}, e.g. {example}")]
    OutOfRange {
        /// What the figure is.
        what: &'static str,
        /// The range with its unit.
        range: &'static str,
        /// A corrected example.
        example: &'static str,
    },
    /// Nitrite and nitrate together are more than the whole.
    #[error(
        "nitrite and nitrate on the label add up to more than 100 %; check the label, e.g. nitrite:6.25% nitrate:4%"
    )]
    LabelSum,
    /// A target for nitrite, and a cure that has none.
    #[error("this label has no nitrite, so no weight of it brings any; nitrate alone is not a substitute")]
    NoNitrite,
    /// The asked target is over what applies.
    #[error("{asked} mg/kg is over the maximum that applies, {most} mg/kg as sodium nitrite{}; e.g. target:max", source_of(*.row))]
    OverMaximum {
        /// The target as asked, mg/kg as sodium nitrite.
        asked: String,
        /// The most this cure may bring, mg/kg as sodium nitrite, rounded down.
        most: String,
        /// The row that says so; `None` where the country's rulebook has no figure and the usual dose is the most.
        row: Option<&'static Limit>,
    },
    /// The dose would be under what applies.
    #[error("that would be under the least that applies, {} {}{}", .row.printed, .row.unit, source_of(Some(.row)))]
    BelowMinimum {
        /// The row that says so.
        row: &'static Limit,
    },
    /// The rows leave no room for this cure: its least is more than its most.
    #[error("this cure cannot meet {} and {} at once; another label is needed", .least.id, .most.id)]
    NoRoom {
        /// The row with the minimum.
        least: &'static Limit,
        /// The row with the maximum.
        most: &'static Limit,
    },
    /// Nitrate where none is permitted.
    #[error("nitrate is not permitted here{}; use a cure with nitrite only", source_of(Some(.row)))]
    NitrateNotPermitted {
        /// The row that says so.
        row: &'static Limit,
    },
    /// The scale cannot weigh the dose.
    #[error("a scale that reads to {step} g cannot weigh {dose} g of cure closely enough")]
    ScaleTooCoarse {
        /// The dose asked for, in grams, as text.
        dose: String,
        /// The scale's step in grams, as text.
        step: String,
        /// Ways out, best first.
        ways_out: Vec<Advice>,
    },
    /// Salt and cure do not fit into this much pickle.
    #[error("that much salt and cure does not go into this much pickle; use more pickle or less salt")]
    PickleTooSmall,
    /// The customs go by the weight of the piece, and it was not said.
    #[error("the published customs for this go by the weight of the piece, e.g. meat:2.7 kg")]
    WeightNeeded,
    /// No published custom covers the piece.
    #[error("no published custom covers this: {0}")]
    NoCustom(&'static str),
}

impl CureError {
    /// What can be done instead, best first.
    pub fn ways_out(&self) -> Vec<Advice> {
        match self {
            Self::ScaleTooCoarse { ways_out, .. } => ways_out.clone(),
            Self::NitrateNotPermitted { .. } => vec![Advice::plain(advice::NITRATE_NOT_IN_BACON)],
            _ => Vec::new(),
        }
    }
}

fn source_of(row: Option<&'static Limit>) -> String {
    row.map_or_else(String::new, |row| format!(" ({}, {})", row.rulebook.name(), row.source))
}

/// The heaviest weight that is taken at its word, in grams: a hundred tonnes is a typing error.
const HEAVIEST_G: f64 = 1e8;

/// A weight must be a number above zero, and not absurd.
pub(super) fn positive(mass: Mass, what: &'static str, example: &'static str) -> Result<(), CureError> {
    let grams = mass.as_grams();
    if !(grams.is_finite() && grams > 0.0) {
        return Err(CureError::NotPositive { what, example });
    }
    if grams > HEAVIEST_G {
        return Err(CureError::OutOfRange { what, range: "0 to 100 tonnes", example });
    }
    Ok(())
}
