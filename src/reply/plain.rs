//! A reply as plain text, for the terminal and for the `text` of the door for scripts.

use super::finding::{advice, full_source, sentence, verdict};
use super::wording::say;
use super::{Figure, Question, Quiet, Reply};
use crate::curing::{Finding, Level, Outcome};

/// Labels longer than this are not padded to.
const LABEL_COLUMNS: usize = 18;

/// Rows with nothing to signal that are shown at once; the rest stands with how it was worked out.
const MOST_QUIET: usize = 4;

/// The reply as lines, without how it was worked out.
pub fn text(reply: &Reply) -> String {
    let mut blocks = vec![reply.headline.clone()];
    blocks.extend(block(figures(&reply.figures).into_iter()));
    blocks.extend(block(reply.lines.iter().cloned()));
    blocks.extend(block(loud(reply)));
    blocks.extend(block(quiet(reply).take(MOST_QUIET).map(sentence)));
    if let Some(next) = &reply.next {
        blocks.push(say("layout.next", &[("next", next)]));
    }
    if reply.judges {
        blocks.push(say("layout.who_decides", &[]));
    }
    blocks.extend(reply.welcome.clone());
    blocks.join("\n")
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
    if !question.example.is_empty() {
        lines.push(say("layout.answer", &[("example", &question.example)]));
    }
    lines.join("\n")
}

fn block(lines: impl Iterator<Item = String>) -> Option<String> {
    let joined = lines.collect::<Vec<_>>().join("\n");
    (!joined.is_empty()).then_some(joined)
}

/// One line a figure; figures of one piece share a line, whatever comes between two pieces does not.
fn figures(figures: &[Figure]) -> Vec<String> {
    let shown: Vec<&Figure> = figures.iter().filter(|figure| !figure.folded).collect();
    let groups = shown.chunk_by(|one, other| one.of.is_some() && one.of == other.of);
    groups.map(line).collect()
}

fn line(group: &[&Figure]) -> String {
    let of = group.first().and_then(|figure| figure.of.as_deref());
    match (of, group) {
        (Some(of), _) => {
            let parts: Vec<String> =
                group.iter().map(|figure| format!("{} {}", figure.label, figure.shown)).collect();
            format!("  {} {}", short(of), parts.join(", "))
        }
        (None, [only]) => format!("  {:LABEL_COLUMNS$} {}", only.label, only.shown),
        (None, _) => String::new(),
    }
}

/// "piece 2" is #2 everywhere a person reads.
fn short(of: &str) -> String {
    of.strip_prefix("piece ").map_or_else(|| of.to_owned(), |number| format!("#{number}"))
}

/// Everything with a signal word, loudest first. What to do is said once, however many rules ask for it.
fn loud(reply: &Reply) -> impl Iterator<Item = String> {
    let mut said: Vec<String> = Vec::new();
    let mut all: Vec<(Level, String)> = Vec::new();
    for finding in reply.findings.iter().filter(|finding| finding.level > Level::None) {
        let advice = advice(finding);
        if advice.as_ref().is_some_and(|advice| said.contains(advice)) {
            all.push((finding.level, verdict(finding)));
            continue;
        }
        said.extend(advice);
        all.push((finding.level, sentence(finding)));
    }
    all.extend(
        reply
            .notes
            .iter()
            .filter(|note| note.level > Level::None)
            .map(|note| (note.level, note.text.clone())),
    );
    all.sort_by_key(|(level, _)| std::cmp::Reverse(*level));
    all.into_iter().map(|(level, text)| format!("{}: {text}", level.word()))
}

/// Rules that have nothing to signal. What a row allows of a nitrate of which none goes in is no news.
fn quiet(reply: &Reply) -> impl Iterator<Item = &Finding> {
    let of_nothing = |finding: &Finding| {
        finding.limit.figure == "nitrate" && finding.measured.is_none_or(|measured| measured <= 0.0)
    };
    let shown = reply.quiet;
    reply.findings.iter().filter(move |finding| {
        let wanted = match shown {
            Quiet::All => finding.outcome != Outcome::NotJudged && !of_nothing(finding),
            Quiet::About(figure) => finding.limit.figure == figure && finding.measured.is_some(),
            Quiet::Folded => false,
        };
        finding.level == Level::None && wanted
    })
}
