//! What happened when: the stages and everything else of note, the pieces, the readings of pH.

use super::{Paper, Space, date, lost, small_weight, table};
use crate::command::asking::Services;
use crate::command::describe::{self, describe};
use crate::command::error::CommandError;
use crate::document::{Align, Block};
use crate::quantity::format;
use crate::record::state::Piece;
use crate::record::{BatchStage, Event, Happening, Instrument, PhReading};
use crate::reply::{calendar, say, words};
use chrono::{DateTime, Utc};

/// Rows of the timeline; and of readings between two other rows.
const MOST_HAPPENINGS: usize = 30;
const READINGS_TOGETHER: usize = 6;
/// The same where there is hardly any room.
const READINGS_TOGETHER_IF_NARROW: usize = 2;
/// Readings of pH; where there are more, those in the middle are left out.
const MOST_READINGS: usize = 12;

/// One row of the timeline.
struct Row {
    at: DateTime<Utc>,
    text: String,
    /// One of many of its sort, which may be left out.
    is_reading: bool,
}

pub(super) async fn blocks(paper: &Paper<'_>, services: &Services) -> Result<Vec<Block>, CommandError> {
    let mut rows = happenings(paper);
    rows.extend(air(paper, services).await?);
    rows.sort_by_key(|row| row.at);
    let mut blocks = vec![Block::Heading(say("paper.timeline", &[]))];
    let is_narrow = paper.space == Space::Narrowest;
    let left = thinned(&mut rows, if is_narrow { READINGS_TOGETHER_IF_NARROW } else { READINGS_TOGETHER });
    let columns = [
        ("paper.column.when", 20.0, Align::Left),
        ("paper.column.day", 7.0, Align::Right),
        ("paper.column.what", 73.0, Align::Left),
    ];
    let started = paper.state.stages.first().map_or(paper.state.last_at, |(_, at)| *at);
    let cells = |row: &Row| vec![stamp(row.at, paper), number_of_day(started, row.at), row.text.clone()];
    blocks.push(table(&columns, rows.iter().map(cells).collect()));
    if left > 0 {
        blocks.push(Block::Small(say("paper.timeline_left", &[("count", &left.to_string())])));
    }
    blocks.extend(pieces(paper));
    blocks.extend(readings(paper));
    Ok(blocks)
}

fn stamp(at: DateTime<Utc>, paper: &Paper<'_>) -> String {
    calendar::stamp_of_year(at.with_timezone(&paper.asking.zone()).naive_local())
}

/// The first is day 1.
fn number_of_day(started: DateTime<Utc>, at: DateTime<Utc>) -> String {
    ((at - started).num_days() + 1).to_string()
}

/// The batch's own entries. Notes and readings of pH stand apart; weighings of one moment are one row.
fn happenings(paper: &Paper<'_>) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    let weighed = |event: &&Event| matches!(event.what, Happening::Weighed { .. });
    let weighings: Vec<&Event> = paper.events.iter().filter(weighed).collect();
    for together in weighings.chunk_by(|one, other| one.at == other.at) {
        let Some(first) = together.first() else { continue };
        let count = together.len().to_string();
        let text = match together {
            [only] => say("paper.weighed_one", &[("weight", &describe(&only.what, paper.asking))]),
            _ => say("paper.weighed", &[("count", &count)]),
        };
        rows.push(Row { at: first.at, text, is_reading: true });
    }
    for event in paper.events.iter().filter(|event| !weighed(event)) {
        if !matches!(event.what, Happening::Noted { .. } | Happening::PhRead { .. }) {
            rows.push(Row { at: event.at, text: said(&event.what, paper), is_reading: false });
        }
    }
    rows
}

/// An entry in words. Of many pieces hung the table of pieces says the weights.
fn said(what: &Happening, paper: &Paper<'_>) -> String {
    match what {
        Happening::PiecesHung { pieces } if pieces.len() > 3 => {
            say("paper.hung", &[("count", &pieces.len().to_string())])
        }
        Happening::Cured { dose } => {
            let holes = [
                ("cure", &*small_weight(dose.cure, paper.asking)),
                ("meat", &describe::mass(dose.meat, paper.asking)),
                ("method", &super::mixture::method(&dose.method)),
            ];
            say("paper.cured", &holes)
        }
        _ => describe(what, paper.asking),
    }
}

/// How its chambers were set, and when they were without power, while it was in them.
async fn air(paper: &Paper<'_>, services: &Services) -> Result<Vec<Row>, CommandError> {
    let state = paper.state;
    let over = Some(state.stage()).filter(|(stage, _)| stage.is_over()).map(|(_, at)| at);
    let ends = state.stays.iter().skip(1).map(|(_, next)| Some(*next)).chain([over]);
    let mut rows = Vec::new();
    for ((chamber, from), to) in state.stays.iter().zip(ends) {
        let to = to.unwrap_or(paper.asking.now);
        let events = services.store.chamber_events(*chamber, *from, to).await?;
        let counts = |event: &&Event| {
            let is_of_note = matches!(event.what, Happening::RoomSet { .. } | Happening::PowerOut { .. });
            is_of_note && *from <= event.at && event.at <= to
        };
        rows.extend(events.iter().filter(counts).map(|event| {
            let text = say("paper.chamber", &[("what", &describe(&event.what, paper.asking))]);
            Row { at: event.at, text, is_reading: false }
        }));
    }
    Ok(rows)
}

/// Takes out readings from the middle of each stretch of them, then rows from the middle of everything that is still too
/// much. Gives back how many were taken out.
fn thinned(rows: &mut Vec<Row>, together: usize) -> usize {
    let before = rows.len();
    let mut kept: Vec<Row> = Vec::new();
    let mut stretch: Vec<Row> = Vec::new();
    for row in rows.drain(..) {
        if row.is_reading {
            stretch.push(row);
        } else {
            kept.extend(ends(std::mem::take(&mut stretch), together));
            kept.push(row);
        }
    }
    kept.extend(ends(stretch, together));
    rows.extend(ends(kept, MOST_HAPPENINGS));
    before - rows.len()
}

/// At most so many, the first and the last of them.
fn ends<T>(mut all: Vec<T>, most: usize) -> Vec<T> {
    if all.len() > most {
        all.drain(most / 2..all.len() - most.div_ceil(2));
    }
    all
}

fn pieces(paper: &Paper<'_>) -> Vec<Block> {
    let mut columns = vec![
        ("paper.column.piece", 9.0, Align::Left),
        ("paper.column.hung", 15.0, Align::Right),
        ("paper.column.tare", 11.0, Align::Right),
        ("paper.column.net", 15.0, Align::Right),
        ("paper.column.last", 15.0, Align::Right),
        ("paper.column.weighed", 22.0, Align::Left),
        ("paper.column.loss", 11.0, Align::Right),
        ("paper.column.fate", 20.0, Align::Left),
    ];
    if paper.state.pieces.is_empty() {
        return vec![Block::Small(say("paper.no_pieces", &[]))];
    }
    let mut rows: Vec<Vec<String>> = paper.state.pieces.iter().map(|piece| piece_row(piece, paper)).collect();
    // Where all are there and the batch is over, the last column says nothing.
    if rows.iter().all(|row| row.last().is_none_or(String::is_empty)) {
        columns.pop();
        for row in &mut rows {
            row.pop();
        }
    }
    vec![Block::Heading(say("paper.pieces", &[])), table(&columns, rows)]
}

fn piece_row(piece: &Piece, paper: &Paper<'_>) -> Vec<String> {
    let asking = paper.asking;
    let mass = |mass| describe::mass(mass, asking);
    let is_weighed = !piece.since_hung().is_empty();
    let (_, at) = piece.last_gross();
    let lost = lost(piece).map_or_else(String::new, |lost| format::percent_with(lost, 1));
    let fate = match piece.left {
        Some((fate, at)) => say("paper.left", &[("fate", &words::fate(fate)), ("when", &date(at, asking))]),
        None if paper.state.stage().0 >= BatchStage::Finished => String::new(),
        None => say("paper.hangs", &[]),
    };
    vec![
        piece.hung.number.to_string(),
        mass(piece.hung.hung),
        mass(piece.hung.tare),
        mass(piece.green()),
        if is_weighed { mass(piece.last_net()) } else { String::new() },
        if is_weighed { date(at, asking) } else { say("paper.not_weighed", &[]) },
        lost,
        fate,
    ]
}

fn readings(paper: &Paper<'_>) -> Vec<Block> {
    let all = &paper.state.ph;
    if all.is_empty() {
        return Vec::new();
    }
    let columns = [
        ("paper.column.when", 22.0, Align::Left),
        ("paper.column.ph", 9.0, Align::Right),
        ("paper.column.read_with", 16.0, Align::Left),
        ("paper.column.sample", 22.0, Align::Right),
        ("paper.column.check", 40.0, Align::Left),
    ];
    let left = all.len().saturating_sub(MOST_READINGS);
    let kept = ends(all.iter().collect(), MOST_READINGS);
    let rows = kept.into_iter().map(|read| reading_row(read, paper)).collect();
    let mut blocks = vec![Block::Heading(say("paper.ph", &[])), table(&columns, rows)];
    if left > 0 {
        blocks.push(Block::Small(say("paper.ph_left", &[("count", &left.to_string())])));
    }
    blocks
}

fn reading_row(read: &PhReading, paper: &Paper<'_>) -> Vec<String> {
    let with = match (read.instrument, read.from_sample) {
        (Instrument::Strip, _) => say("paper.strip", &[]),
        (Instrument::Meter, false) => say("paper.meter", &[]),
        (Instrument::Meter, true) => say("paper.meter_sample", &[]),
    };
    vec![
        stamp(read.at, paper),
        format::ph_exact(read.ph),
        with,
        read.sample_temperature.map_or_else(String::new, |read| describe::temperature(read, paper.asking)),
        read.calibration.map_or_else(String::new, describe::check).trim_start_matches(", ").to_owned(),
    ]
}
