//! The table of entries: everything that was written down, in words, one entry a row.

use super::line::{HEADERS, Lines, said};
use super::table::Cell;
use crate::command::asking::Asking;
use crate::command::describe::describe;
use crate::record::{Event, Happening, MemberId};
use crate::store::Everything;

/// The headers.
pub(super) fn header() -> Vec<String> {
    HEADERS.into_iter().chain(["in_words", "typed"]).map(str::to_owned).collect()
}

/// A row for each entry.
pub(super) fn rows(everything: &Everything, lines: &Lines<'_>, asking: &Asking) -> Vec<Vec<Cell>> {
    let row = |event: &Event| {
        let mut row = lines.of(event);
        row.push(in_words(&event.what, asking));
        row.push(typed(event, asking.member.id));
        row
    };
    everything.entries.iter().map(row).collect()
}

/// What it says; an undo says nothing but what it corrects, which has a column.
fn in_words(what: &Happening, asking: &Asking) -> Cell {
    match what {
        Happening::Undone { .. } => Cell::Empty,
        what => Cell::text(describe(said(what), asking)),
    }
}

/// The words of others are theirs.
fn typed(event: &Event, me: MemberId) -> Cell {
    if event.author == Some(me) { Cell::text(&*event.typed) } else { Cell::Empty }
}
