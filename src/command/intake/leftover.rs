//! What of a line was not understood, and whether it casts doubt on what was.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::Mark;
use crate::command::intake::line::Line;
use crate::command::intake::subject::PLACES;
use crate::command::intake::token::{Kind, is_digit_like};
use crate::command::intake::words::{SEPARATORS, turns};

/// The unread words, in runs as typed; filler words between two of them are kept, separators end a run.
pub(super) fn runs(start: &Cursor<'_>, line: &Line<'_>) -> Vec<String> {
    let mut found = Vec::new();
    let mut run: Option<(usize, usize)> = None;
    for (at, mark) in line.marks.iter().enumerate() {
        let ends = *mark == Mark::Read || (*mark == Mark::Silent && start.back_to(at).sees_sign(SEPARATORS));
        if *mark == Mark::Unread {
            run = Some((run.map_or(at, |(first, _)| first), at + 1));
        } else if ends && let Some((first, last)) = run.take() {
            found.push(text(start, first, last));
        }
    }
    if let Some((first, last)) = run {
        found.push(text(start, first, last));
    }
    found
}

fn text(start: &Cursor<'_>, first: usize, last: usize) -> String {
    let text = start.back_to(last).text_since(&start.back_to(first));
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A place that was passed as a word without meaning of its own.
pub(super) fn place(start: &Cursor<'_>, line: &Line<'_>) -> Option<String> {
    line.marks
        .iter()
        .enumerate()
        .filter(|(_, mark)| **mark != Mark::Unread)
        .map(|(at, _)| start.back_to(at))
        .find(|word| word.sees(PLACES))
        .map(|word| word.text().to_lowercase())
        .filter(|_| line.chamber.is_none())
}

/// Whether what was not understood may change what was: a digit in it, a word or sign that turns a statement into
/// something else, or an unknown word in the same clause as a bare weight, temperature or humidity ("12 C in the
/// core", "188 g gone").
pub(super) fn is_doubtful(
    runs: &[String],
    start: &Cursor<'_>,
    line: &Line<'_>,
    bare_clauses: &[usize],
) -> bool {
    if runs.iter().any(|run| run.contains(is_digit_like) || turns(run)) {
        return true;
    }
    line.marks.iter().enumerate().any(|(at, mark)| {
        *mark == Mark::Unread
            && matches!(start.back_to(at).kind(), Some(Kind::Word(_) | Kind::Quoted))
            && line.clauses.get(at).is_some_and(|clause| bare_clauses.contains(clause))
    })
}
