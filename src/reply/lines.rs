//! What a reply says beside its headline, line by line, in the order it is read; every front end gives each sort of
//! line its own look.

use super::finding::{advice, sentence, verdict};
use super::words::thing;
use super::{Figure, Quiet, Reply};
use crate::chart::block::block;
use crate::curing::{Finding, Level, Outcome};

/// Rows with nothing to signal that are shown at once; the rest stands with how it was worked out.
const MOST_QUIET: usize = 4;

/// One line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Line {
    /// A figure with its name.
    Figure {
        /// Its name.
        label: String,
        /// Its value with unit.
        shown: String,
    },
    /// The figures of one piece or chamber.
    Of {
        /// `#2`, `chamber home`.
        of: String,
        /// Names and values.
        figures: String,
    },
    /// A line of a list or of a text.
    Text(String),
    /// A chart in letters, for a front end that shows no picture.
    Chart(String),
    /// A sentence with a signal word.
    Signal {
        /// How loud.
        level: Level,
        /// The sentence, without the word.
        text: String,
    },
    /// A rule that has nothing to signal.
    Quiet(String),
    /// The next thing to do.
    Next(String),
    /// How to take back what was just kept; a front end with a button for it need not say it.
    Undo(String),
    /// Who decides.
    WhoDecides,
    /// What a new member is told once.
    Welcome(String),
}

/// Everything beside the headline and how it was worked out.
pub fn lines(reply: &Reply) -> Vec<Line> {
    let mut lines = figures(&reply.figures);
    lines.extend(reply.chart.as_ref().map(|chart| Line::Chart(block(chart))));
    lines.extend(reply.lines.iter().cloned().map(Line::Text));
    lines.extend(loud(reply));
    lines.extend(quiet(reply).take(MOST_QUIET).map(sentence).map(Line::Quiet));
    match (&reply.next, &reply.undo) {
        (Some(next), _) => lines.push(Line::Next(next.clone())),
        (None, Some(undo)) => lines.push(Line::Undo(undo.clone())),
        (None, None) => {}
    }
    if reply.judges {
        lines.push(Line::WhoDecides);
    }
    lines.extend(reply.welcome.iter().cloned().map(Line::Welcome));
    lines
}

/// One line a figure; figures of one piece share a line, whatever comes between two pieces does not.
fn figures(figures: &[Figure]) -> Vec<Line> {
    let shown: Vec<&Figure> = figures.iter().filter(|figure| !figure.folded).collect();
    let groups = shown.chunk_by(|one, other| one.of.is_some() && one.of == other.of);
    groups.filter_map(line).collect()
}

fn line(group: &[&Figure]) -> Option<Line> {
    let first = group.first()?;
    let Some(of) = first.of.as_deref() else {
        return Some(Line::Figure { label: first.label.clone(), shown: first.shown.clone() });
    };
    let parts: Vec<String> =
        group.iter().map(|figure| format!("{} {}", figure.label, figure.shown)).collect();
    Some(Line::Of { of: thing(of), figures: parts.join(", ") })
}

/// Everything with a signal word, loudest first. What to do is said once, however many rules ask for it.
fn loud(reply: &Reply) -> impl Iterator<Item = Line> {
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
    all.into_iter().map(|(level, text)| Line::Signal { level, text })
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
