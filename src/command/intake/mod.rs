//! A member's line turned into typed items: a grammar of small readers, one file each.
//!
//! Pure: the moment, the zone and the last weights come in with the [`Context`]. [`read`] goes along the line; at
//! each place the readers are asked in turn, and what none of them wants is passed as a separator, as one of a few
//! filler words, or as unread. Unread words are shown to the member; nothing is dropped, least of all a digit.
//!
//! A comma between digits is a decimal sign, a comma before a space separates. A clause ends at a comma, a
//! semicolon, a full stop, a line's end and at "and".

mod amount;
mod check;
mod climate;
mod course;
pub(in crate::command) mod cursor;
mod deviation;
mod doubt;
mod draft;
mod either;
mod error;
mod extremes;
mod figure;
mod finish;
mod hanging;
mod item;
mod keep;
mod leaving;
mod leftover;
mod line;
mod list;
mod meats;
mod observation;
mod other_ph;
mod ph;
mod prose;
mod setting;
mod since;
mod spoken;
mod subject;
pub(in crate::command) mod token;
mod twice;
mod weight;
mod when;
mod words;

pub use course::{course, plan};
pub use doubt::{AIR_CELSIUS, Doubt, implausible};
pub use error::IntakeError;
pub use item::{Context, Item, Understood, What, When, Whose};
pub use keep::Unsaid;
pub use list::weights;
pub use meats::meats;
pub use subject::{Named, named};

use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::{Mark, Said};
use crate::command::intake::line::Line;
use crate::command::intake::token::{Kind, cut};
use crate::command::time::is_hidden;

/// Longest line that is read, in characters.
const LONGEST_LINE: usize = 2000;

/// A reader: passes what it understands and keeps it, or passes nothing.
type Reader = fn(&mut Cursor<'_>, &mut Line<'_>) -> Result<bool, IntakeError>;

/// The readers in the order in which they are asked: the more words one needs, the earlier.
const READERS: [Reader; 13] = [
    subject::read,
    leaving::read,
    observation::read,
    deviation::read,
    extremes::read,
    setting::read,
    check::read,
    hanging::read,
    ph::read,
    when::read,
    ph::read_sample_temperature,
    climate::read,
    weight::read,
];

/// Reads a line. `None`: it is no reading at all.
///
/// # Errors
/// [`IntakeError`]: the line is one, and something in it has to be mended first.
pub fn read(line: &str, context: &Context<'_>) -> Result<Option<Understood>, IntakeError> {
    if line.chars().nth(LONGEST_LINE).is_some() {
        return Err(IntakeError::TooLong);
    }
    if line.chars().any(is_refused) {
        return Err(IntakeError::HiddenCharacters);
    }
    let tokens = cut(line);
    let names_pieces = tokens.iter().any(|token| matches!(token.kind, Kind::Piece(_)));
    let start = Cursor::new(line, &tokens);
    let mut found = Line::new(context, tokens.len(), names_pieces);
    let mut cursor = start;
    while !cursor.is_at_end() {
        step(&mut cursor, &mut found)?;
    }
    understood(&start, found)
}

/// Line breaks, tabs and the invisible marks that phones send are blanks; the rest that cannot be seen is refused.
fn is_refused(character: char) -> bool {
    is_hidden(character)
        && !matches!(character, '\n' | '\r' | '\t' | '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}')
}

/// Passes one thing.
fn step(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<(), IntakeError> {
    let start = *cursor;
    for reader in READERS {
        if reader(cursor, line)? {
            line.mark(&start, cursor, Mark::Read);
            line.give_back_unread();
            return Ok(());
        }
        *cursor = start;
        line.left_unread.clear();
    }
    let ends_segment = cursor.sees_sign(&[';']);
    let ends_clause = cursor.sees_sign(&[',', ';', '.', '!', '?']) || cursor.sees(&["and", "but"]);
    let is_silent = words::is_filler(cursor);
    cursor.skip();
    line.mark(&start, cursor, if is_silent { Mark::Silent } else { Mark::Unread });
    if ends_clause {
        line.clause += 1;
    }
    if ends_segment {
        line.breaks.push(line.clause);
    }
    Ok(())
}

fn understood(start: &Cursor<'_>, mut line: Line<'_>) -> Result<Option<Understood>, IntakeError> {
    line.release_unused();
    line.release_samples();
    leave_hung_unread(&mut line);
    if line.drafts.is_empty() && line.beside_ph.is_empty() {
        return attempted(start, &line);
    }
    if let Some(error) = line.objection {
        return Err(error);
    }
    other_ph::refuse(start, &line)?;
    // Beside a remark an unread word is only more of it.
    let bare_clauses: Vec<usize> = line
        .drafts
        .iter()
        .filter(|draft| !matches!(draft.said, Said::Known(What::Observed { .. })))
        .map(|draft| draft.clause)
        .collect();
    line.is_doubtful |= either::is_two_things(start, &line) || other_ph::is_mentioned(start, &line);
    let items = finish::items(&mut line)?;
    let leftover = leftover::runs(start, &line);
    let is_doubtful = line.is_doubtful || leftover::is_doubtful(&leftover, start, &line, &bare_clauses);
    let place = leftover::place(start, &line);
    Ok(Some(Understood {
        batch: line.batch,
        place,
        chamber: line.chamber,
        at: line.at.map(|(when, _)| when),
        items,
        leftover,
        is_doubtful,
    }))
}

/// "hung" without weights says nothing.
fn leave_hung_unread(line: &mut Line<'_>) {
    let hangs = line.drafts.iter().any(|draft| matches!(draft.said, Said::Hung(_)));
    if let Some(slot) = line.hanging.and_then(|at| line.marks.get_mut(at))
        && !hangs
    {
        *slot = Mark::Unread;
    }
}

/// A line without a reading that is nothing but numbers was meant as one; anything else is not for us.
fn attempted(start: &Cursor<'_>, line: &Line<'_>) -> Result<Option<Understood>, IntakeError> {
    other_ph::refuse_unread(start, line)?;
    let only_numbers =
        line.marks.iter().enumerate().all(|(at, mark)| {
            *mark != Mark::Unread || matches!(start.back_to(at).kind(), Some(Kind::Number))
        });
    if !only_numbers || line.bare_numbers == 0 {
        return Ok(None);
    }
    if line.bare_numbers > 1 {
        return Err(IntakeError::CountMismatch {
            weights: line.bare_numbers,
            pieces: line.context.pieces.len(),
        });
    }
    let number = (0..line.marks.len())
        .map(|at| start.back_to(at))
        .find(|place| matches!(place.kind(), Some(Kind::Number)))
        .map_or("", |place| place.text());
    Err(figure::unit_missing(number, missing_units(number)))
}

/// What a number that stands alone may be: from 3.5 to 7.5 first of all a pH.
fn missing_units(number: &str) -> &'static str {
    let is_like_ph = matches!(number.replace(',', ".").parse(), Ok(3.5..=7.5));
    if is_like_ph { "pH before it, or g, kg, oz or lb behind it" } else { amount::UNITS }
}

#[cfg(test)]
mod tests;
