//! Answers: typed, worded, and laid out as plain text or JSON.
//!
//! A command fills a [`Reply`]; every front end lays the same one out in its own way. Sentences come from the wording
//! file of the [`Language`] in force through [`wording::say`].

pub mod calendar;
mod figure;
mod file;
pub mod finding;
pub mod form;
pub mod json;
mod language;
pub mod lines;
pub mod plain;
pub mod rows;
mod stored;
pub mod wording;
pub mod words;

pub use figure::{Figure, FigureValue, unit};
pub use file::File;
pub use language::{Language, in_language, spoken_in};
pub use stored::{Stored, figure_of};
pub use wording::say;

use crate::chart::Chart;
use crate::curing::Finding;
pub use crate::curing::Level;
use crate::record::BatchId;
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

/// The answer to one request.
#[derive(Debug, Clone, Default)]
pub struct Reply {
    /// The command that answers, e.g. `cure check`.
    pub command: &'static str,
    /// The answer, in words, first.
    pub headline: String,
    /// Figures, at most about eight.
    pub figures: Vec<Figure>,
    /// What the rules say, loudest first; every rule that was looked at.
    pub findings: Vec<Finding>,
    /// Sentences with a signal word that no rule row stands behind.
    pub notes: Vec<Note>,
    /// Lines of a list or of a text.
    pub lines: Vec<String>,
    /// What is to be seen as a picture.
    pub chart: Option<Chart>,
    /// Files to take along.
    pub files: Vec<File>,
    /// What was kept.
    pub stored: Vec<Stored>,
    /// What is now waiting to be reminded of.
    pub due: Vec<Due>,
    /// The next thing to do and when.
    pub next: Option<String>,
    /// How to take back what was just kept; said where nothing else comes next.
    pub undo: Option<String>,
    /// What one tap could do next, beside undoing.
    pub taps: Vec<Tap>,
    /// What can be filled in, one form a button.
    pub forms: Vec<form::Form>,
    /// The batch it is about.
    pub batch: Option<BatchId>,
    /// How it was worked out: formulas with the numbers put in, and full sources.
    pub working: Vec<String>,
    /// Which rules that have nothing to signal are shown at once.
    pub quiet: Quiet,
    /// How a new member sets country, time zone and units; said once, with their first answer.
    pub welcome: Option<String>,
    /// Whether the front end adds what it may not do where it was asked, and in these places: channels of a chat platform
    /// by their numbers.
    pub looks_at: Option<Vec<i64>>,
    /// Whether it ends by saying who decides; set for verdicts and cards, not for a plain "kept".
    pub judges: bool,
}

/// Which rules that have nothing to signal are shown at once; the rest stands with how it was worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Quiet {
    /// All that were judged.
    #[default]
    All,
    /// Only those that speak of this figure, also when they could not be judged: the line was about it.
    About(&'static str),
    /// None: the headline says it already.
    Folded,
}

/// Something that one tap does: a line, said for the member.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tap {
    /// What the button says.
    pub label: String,
    /// The line.
    pub line: String,
}

/// A sentence with a signal word.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// How loud.
    pub level: Level,
    /// The sentence.
    pub text: String,
}

/// One reminder that is waiting or goes out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Due {
    /// The reminder's number; `None` while it is only planned.
    pub id: Option<i64>,
    /// What for.
    pub kind: &'static str,
    /// Of which batch.
    pub of: Option<String>,
    /// When.
    pub at: DateTime<Utc>,
    /// What it says.
    pub text: String,
}

/// Something must be answered before anything is kept.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Question {
    /// Stable word.
    pub code: &'static str,
    /// What is asked.
    pub text: String,
    /// A line that would answer it.
    pub example: String,
    /// Up to five things to choose from.
    pub choices: Vec<String>,
    /// For each choice the whole line that says it.
    #[serde(skip)]
    pub answers: Vec<String>,
    /// The line that raised it: said again with a yes it is carried out. Filled in by the desk.
    #[serde(skip)]
    pub line: String,
}

impl Question {
    /// Whether a yes answers it.
    pub fn takes_a_yes(&self) -> bool {
        self.example == "yes" && self.choices.is_empty()
    }

    /// Whether it asks about a reading that is in doubt: it is kept as it is, said anew, or left.
    pub fn is_of_reading(&self) -> bool {
        matches!(self.code, "confirm_value" | "confirm_reading" | "confirm_leftover")
    }
}

impl Reply {
    /// An answer of a command with its headline.
    pub fn new(command: &'static str, headline: String) -> Self {
        Self { command, headline, ..Self::default() }
    }

    /// The loudest of everything it says.
    pub fn level(&self) -> Level {
        let findings = self.findings.iter().map(|finding| finding.level);
        let notes = self.notes.iter().map(|note| note.level);
        findings.chain(notes).max().unwrap_or_default()
    }

    /// Adds a sentence with a signal word.
    pub fn note(&mut self, level: Level, text: String) {
        self.notes.push(Note { level, text });
    }
}
