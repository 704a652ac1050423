//! What a limit says about a figure.

use super::rule::{Comparator, Kind, Limit};
use super::rulebook;
use crate::quantity::compare;
use serde::{Deserialize, Serialize};
use std::cmp::Ordering;

/// The outcome of a rule, best to worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// Within a figure that was read in its source or in a faithful copy.
    Within,
    /// Under a figure that is held from memory.
    UnderUnverified,
    /// Not judged: no figure held, a fact missing, or outside the range.
    NotJudged,
    /// Exactly at a limit: within it where the rule says "at most", exceeded where it says "less than".
    AtLimit,
    /// Over a maximum, or not permitted.
    Over,
    /// Under a required or minimum level.
    BelowRequired,
}

/// How loud a finding is (signal words of ANSI Z535.6 / ISO 3864-2).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Level {
    /// Nothing to signal.
    #[default]
    None,
    /// Not about injury.
    Notice,
    /// Could injure lightly.
    Caution,
    /// Could kill or make seriously ill.
    Warning,
    /// Will kill or make seriously ill.
    Danger,
}

/// Over this many times a maximum the signal word is DANGER. This project's choice, no source.
const DANGER_FACTOR: f64 = 2.0;

impl Level {
    /// How loud it is to be over a maximum: DANGER over twice of it.
    pub fn over(measured: f64, maximum: f64) -> Self {
        let is_far_over = compare::with_tolerance(measured, maximum * DANGER_FACTOR) == Ordering::Greater;
        if is_far_over { Self::Danger } else { Self::Warning }
    }

    /// The signal word, or nothing.
    pub const fn word(self) -> &'static str {
        match self {
            Self::None => "",
            Self::Notice => "NOTICE",
            Self::Caution => "CAUTION",
            Self::Warning => "WARNING",
            Self::Danger => "DANGER",
        }
    }
}

/// What one rule says about one figure. Made only from a [`Limit`]: the last field cannot be written elsewhere.
///
/// ```compile_fail,E0451
/// use tallyhook::curing::{Finding, Level, Outcome, rulebook};
/// let judged = Finding::judge(rulebook::by_id("us.comminuted").unwrap(), 300.0);
/// let _ = Finding { outcome: Outcome::Within, level: Level::None, ..judged };
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// The row that was looked at, whole: id, limit, basis, standing, source.
    pub limit: Limit,
    /// What it says.
    pub outcome: Outcome,
    /// How loud.
    pub level: Level,
    /// The figure that was held against it, in the row's unit and basis; `None` where none could be.
    pub measured: Option<f64>,
    /// The wording key of what to do, or of why it was not judged; with the holes it needs.
    pub advice: Option<Advice>,
    /// Keeps a finding from being put together anywhere but from a limit.
    pub(super) from_limit: FromLimit,
}

/// A mark that only the rules can set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct FromLimit;

/// Before the id of a row whose printed figure fills a hole.
const PRINTED_BY: &str = "printed:";

/// A sentence to say, by wording key, with its named holes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Advice {
    /// Key in the wording file.
    pub key: &'static str,
    /// Named holes and what goes in them.
    pub holes: Vec<(&'static str, String)>,
}

impl Advice {
    /// What fills a hole with what a row prints, in the language of who reads it.
    pub fn printed_by(row: &Limit) -> String {
        format!("{PRINTED_BY}{}", row.id)
    }

    /// The row whose printed figure fills a hole; `None` where the hole is filled with the text itself.
    pub fn row_of(filling: &str) -> Option<&'static Limit> {
        filling.strip_prefix(PRINTED_BY).and_then(rulebook::by_id)
    }

    /// A sentence without holes.
    pub const fn plain(key: &'static str) -> Self {
        Self { key, holes: Vec::new() }
    }
}

impl Finding {
    /// Holds a figure, given in the row's own unit and basis, against the row.
    ///
    /// Rows of kind finished, residual and information are never judged from an added amount. What lies beyond a guide
    /// gets its level from whoever says what to do. A figure that
    /// is not a finite number never passes: it is over a maximum and under a minimum.
    pub fn judge(limit: &Limit, measured: f64) -> Self {
        let outcome =
            if measured.is_finite() { outcome(limit, measured) } else { outcome_without_number(limit.kind) };
        let level = match outcome {
            _ if limit.kind == Kind::Guide => Level::None,
            Outcome::Over | Outcome::BelowRequired => Level::Warning,
            _ => Level::None,
        };
        Self {
            limit: limit.clone(),
            outcome,
            level,
            measured: Some(measured),
            advice: None,
            from_limit: FromLimit,
        }
    }

    /// A row that was looked at and could not be judged, with the reason.
    pub fn not_judged(limit: &Limit, reason: Advice) -> Self {
        Self {
            limit: limit.clone(),
            outcome: Outcome::NotJudged,
            level: Level::None,
            measured: None,
            advice: Some(reason),
            from_limit: FromLimit,
        }
    }

    /// The same finding beside a figure that is named and not judged.
    #[must_use]
    pub fn beside(mut self, measured: f64) -> Self {
        self.measured = Some(measured);
        self
    }

    /// The same finding, at least this loud.
    #[must_use]
    pub fn at_least(mut self, level: Level) -> Self {
        self.level = self.level.max(level);
        self
    }

    /// The same finding, exactly this loud: for the few rows whose breach is less than the rule's usual.
    #[must_use]
    pub fn at_level(mut self, level: Level) -> Self {
        self.level = level;
        self
    }

    /// The same finding, no longer vouched for: a plain "within" becomes "under a figure to be checked".
    #[must_use]
    pub fn unvouched(mut self) -> Self {
        if self.outcome == Outcome::Within {
            self.outcome = Outcome::UnderUnverified;
        }
        self
    }

    /// The same finding with what to do.
    #[must_use]
    pub fn advising(mut self, advice: Advice) -> Self {
        self.advice = Some(advice);
        self
    }
}

const fn outcome_without_number(kind: Kind) -> Outcome {
    match kind {
        Kind::Maximum | Kind::Guide | Kind::Prohibited => Outcome::Over,
        Kind::Minimum | Kind::Required => Outcome::BelowRequired,
        Kind::Finished | Kind::Residual | Kind::Information => Outcome::NotJudged,
    }
}

fn outcome(limit: &Limit, measured: f64) -> Outcome {
    let below = if limit.standing.may_vouch() { Outcome::Within } else { Outcome::UnderUnverified };
    match limit.kind {
        Kind::Finished | Kind::Residual | Kind::Information => return Outcome::NotJudged,
        Kind::Prohibited => return if measured > 0.0 { Outcome::Over } else { below },
        Kind::Required => {
            let (Some(low), Some(high)) = (limit.band_low, limit.band_high) else {
                return Outcome::NotJudged;
            };
            return match (compare::with_tolerance(measured, low), compare::with_tolerance(measured, high)) {
                (Ordering::Less, _) => Outcome::BelowRequired,
                (_, Ordering::Greater) => Outcome::Over,
                _ => below,
            };
        }
        Kind::Maximum | Kind::Minimum | Kind::Guide => {}
    }
    let Some(value) = limit.value else {
        return Outcome::NotJudged;
    };
    match (limit.comparator, compare::with_tolerance(measured, value)) {
        (Comparator::AtMost | Comparator::LessThan, Ordering::Less)
        | (Comparator::AtLeast, Ordering::Greater) => below,
        (_, Ordering::Equal) => Outcome::AtLimit,
        (Comparator::AtMost | Comparator::LessThan, Ordering::Greater) => Outcome::Over,
        (Comparator::AtLeast, Ordering::Less) => Outcome::BelowRequired,
    }
}
