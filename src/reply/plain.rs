//! A reply as plain text, for the terminal and for the `text` of the door for scripts.

use super::finding::{full_source, sentence};
use super::lines::{Line, lines};
use super::wording::say;
use super::words::signal;
use super::{Question, Reply};

/// Labels longer than this are not padded to.
const LABEL_COLUMNS: usize = 18;

/// The reply as lines, without how it was worked out.
pub fn text(reply: &Reply) -> String {
    let rest = lines(reply).into_iter().map(plain);
    std::iter::once(reply.headline.clone()).chain(rest).collect::<Vec<_>>().join("\n")
}

fn plain(line: Line) -> String {
    match line {
        Line::Figure { label, shown } => format!("  {label:LABEL_COLUMNS$} {shown}"),
        Line::Of { of, figures } => format!("  {of} {figures}"),
        Line::Signal { level, text } => format!("{}: {text}", signal(level)),
        Line::Next(next) | Line::Undo(next) => say("layout.next", &[("next", &next)]),
        Line::WhoDecides => say("layout.who_decides", &[]),
        Line::Chart(text) | Line::Text(text) | Line::Quiet(text) | Line::Welcome(text) => text,
    }
}

/// How it was worked out: the formulas, then every rule that was looked at with its whole source.
pub fn working(reply: &Reply) -> String {
    let rules =
        reply.findings.iter().map(|finding| format!("{} {}", sentence(finding), full_source(finding)));
    reply.working.iter().cloned().chain(rules).collect::<Vec<_>>().join("\n")
}

/// A question as lines.
pub fn question(question: &Question) -> String {
    let mut lines = vec![question.text.clone()];
    lines.extend(question.choices.iter().map(|choice| format!("- {choice}")));
    if question.is_of_reading() {
        lines.push(say("layout.answer_reading", &[]));
    } else if !question.example.is_empty() {
        lines.push(say("layout.answer", &[("example", &question.example)]));
    }
    lines.join("\n")
}
