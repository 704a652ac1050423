//! A reply as plain text, for the terminal and for the `text` of the door for scripts.

use super::finding::sentence;
use super::wording::say;
use super::{Figure, Question, Reply};
use crate::curing::{Finding, Level, Outcome};

/// Labels longer than this are not padded to.
const LABEL_COLUMNS: usize = 18;

/// Rows with nothing to signal that are shown at once; the rest stands with how it was worked out.
const MOST_QUIET: usize = 4;

/// The reply as lines, without how it was worked out.
pub fn text(reply: &Reply) -> String {
    let mut blocks = vec![reply.headline.clone()];
    blocks.extend(block(reply.figures.iter().map(figure)));
    blocks.extend(block(reply.lines.iter().cloned()));
    blocks.extend(block(loud(reply)));
    blocks.extend(block(quiet(reply).take(MOST_QUIET).map(sentence)));
    if let Some(next) = &reply.next {
        blocks.push(say("layout.next", &[("next", next)]));
    }
    if reply.judges {
        blocks.push(say("layout.who_decides", &[]));
    }
    blocks.join("\n")
}

/// How it was worked out, with every rule that had nothing to signal and was not shown or could not be judged.
pub fn working(reply: &Reply) -> String {
    let shown: Vec<&Finding> = quiet(reply).take(MOST_QUIET).collect();
    let not_shown = |finding: &&Finding| {
        finding.level == Level::None && !shown.iter().any(|other| std::ptr::eq(*other, *finding))
    };
    let rest = reply.findings.iter().filter(not_shown).map(sentence);
    reply
        .working
        .iter()
        .cloned()
        .chain(rest)
        .collect::<Vec<_>>()
        .join("\n")
}

/// A question as lines.
pub fn question(question: &Question) -> String {
    let mut lines = vec![question.text.clone()];
    lines.extend(question.choices.iter().map(|choice| format!("- {choice}")));
    if !question.example.is_empty() {
        lines.push(say("layout.example", &[("example", &question.example)]));
    }
    lines.join("\n")
}

fn block(lines: impl Iterator<Item = String>) -> Option<String> {
    let joined = lines.collect::<Vec<_>>().join("\n");
    (!joined.is_empty()).then_some(joined)
}

fn figure(figure: &Figure) -> String {
    let label = match &figure.of {
        Some(of) => format!("{} {}", of, figure.label),
        None => figure.label.clone(),
    };
    format!("  {label:LABEL_COLUMNS$} {}", figure.shown)
}

/// Everything with a signal word, loudest first.
fn loud(reply: &Reply) -> impl Iterator<Item = String> {
    let findings = reply
        .findings
        .iter()
        .map(|finding| (finding.level, sentence(finding)));
    let notes = reply.notes.iter().map(|note| (note.level, note.text.clone()));
    let mut all: Vec<(Level, String)> = findings
        .chain(notes)
        .filter(|(level, _)| *level > Level::None)
        .collect();
    all.sort_by_key(|(level, _)| std::cmp::Reverse(*level));
    all.into_iter()
        .map(|(level, text)| format!("{}: {text}", level.word()))
}

/// Rules that were judged and have nothing to signal. What a row allows of a nitrate of which none goes in is no
/// news.
fn quiet(reply: &Reply) -> impl Iterator<Item = &Finding> {
    let of_nothing = |finding: &Finding| {
        finding.limit.figure == "nitrate" && finding.measured.is_none_or(|measured| measured <= 0.0)
    };
    reply.findings.iter().filter(move |finding| {
        finding.level == Level::None && finding.outcome != Outcome::NotJudged && !of_nothing(finding)
    })
}
