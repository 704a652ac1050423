//! Finds the line of heads behind what a logger says about itself, and with it what stands between cells.

use super::Asked;
use super::cell::{Cell, Unit, cell};
use super::heads::Head;
use super::heads::words::Sense;
use super::layout::{TimeCells, heads, time_cells};
use super::refused::{Place, Refused};
use super::split::{Record, Records};
use super::time::clock::offset;
use super::time::written::{date_and_time, is_time_of_day, moment};
use super::understood::Delimiter;
use super::{cell, heads::words::folded};
use crate::quantity::TemperatureScale;
use chrono::FixedOffset;

/// Lines that are looked at for the heads.
const LOOKED_AT: usize = 200;
/// Lines under the heads of which one has to hold a time.
const CONFIRMING: usize = 12;

/// Where the rows begin, and under which heads.
#[derive(Debug)]
pub(super) struct Start {
    pub(super) delimiter: Delimiter,
    /// The index of the record with the heads; `None` where the file has none.
    pub(super) header: Option<usize>,
    /// The index of the first record that may be a row.
    pub(super) first_row: usize,
    pub(super) heads: Vec<Head>,
    pub(super) time: TimeCells,
    /// How much was recognised: decides between delimiters.
    score: usize,
}

/// Finds the heads under each delimiter and takes the one under which most is recognised.
pub(super) fn start(text: &str, asked: &Asked) -> Result<Start, Refused> {
    let told = told_delimiter(text);
    let samples: Vec<(Delimiter, Vec<Record<'_>>)> = Delimiter::ALL
        .into_iter()
        .filter(|delimiter| told.is_none_or(|told| told == *delimiter))
        .map(|delimiter| (delimiter, Records::new(text, delimiter.byte()).sample(LOOKED_AT)))
        .collect();
    let best = |find: &dyn Fn(Delimiter, &[Record<'_>]) -> Option<Start>| {
        // `rev`, because of equals `max_by_key` takes the last, and here the first is wanted.
        samples
            .iter()
            .rev()
            .filter_map(|(delimiter, records)| find(*delimiter, records))
            .max_by_key(|start| start.score)
    };
    if let Some(start) = best(&with_heads) {
        return Ok(start);
    }
    if let Some(start) = best(&|delimiter, records| without_heads(delimiter, records, asked)) {
        return Ok(start);
    }
    Err(samples.iter().find_map(|(_, records)| without_date(records)).unwrap_or_else(|| no_time(text)))
}

/// `sep=;`, which spreadsheets write and read in the first line (common practice, no source).
fn told_delimiter(text: &str) -> Option<Delimiter> {
    let first = text.lines().next()?.trim().trim_matches('"');
    let sign = first.strip_prefix("sep=").or_else(|| first.strip_prefix("SEP="))?;
    Delimiter::ALL.into_iter().find(|delimiter| sign.as_bytes() == [delimiter.byte()])
}

fn with_heads(delimiter: Delimiter, records: &[Record<'_>]) -> Option<Start> {
    let mut best: Option<Start> = None;
    for (index, record) in records.iter().enumerate() {
        if record.filled() < 2 || record.cells.iter().any(|cell| moment(cell).is_some()) {
            continue;
        }
        let heads = heads(record);
        let Some(time) = time_cells(&heads) else { continue };
        let rows = records.get(index + 1..).unwrap_or_default();
        let is_confirmed = rows.iter().take(CONFIRMING).any(|row| holds_time(row, time));
        let values = heads
            .iter()
            .filter(|head| matches!(head.sense, Some(Sense::Temperature | Sense::Humidity | Sense::Weight)))
            .count();
        if !is_confirmed
            && (values == 0
                || is_elapsed(&heads)
                || rows.iter().take(CONFIRMING).any(|row| is_only_time(row, time)))
        {
            continue;
        }
        let score = usize::from(is_confirmed) * 1000 + values * 10 + heads.len().min(9);
        if best.as_ref().is_none_or(|best| score > best.score) {
            best = Some(Start { delimiter, header: Some(index), first_row: index + 1, heads, time, score });
        }
    }
    best
}

fn holds_time(row: &Record<'_>, time: TimeCells) -> bool {
    match time {
        TimeCells::One(index) => moment(row.cell(index)).is_some(),
        TimeCells::Two { date, time } => date_and_time(row.cell(date), row.cell(time)).is_some(),
    }
}

/// A count or a time of day where date and time are wanted.
fn is_only_time(row: &Record<'_>, time: TimeCells) -> bool {
    let TimeCells::One(index) = time else { return false };
    is_time_of_day(row.cell(index)) || matches!(cell(row.cell(index)), Cell::Number { unit: None, .. })
}

fn is_elapsed(heads: &[Head]) -> bool {
    heads.iter().any(|head| head.sense == Some(Sense::Elapsed))
}

/// A file that begins with its rows: a time, and values that bear their units or whose columns the member chose.
fn without_heads(delimiter: Delimiter, records: &[Record<'_>], asked: &Asked) -> Option<Start> {
    let (index, record) = records
        .iter()
        .enumerate()
        .find(|(_, record)| record.filled() > 1 && record.cells.iter().any(|cell| moment(cell).is_some()))?;
    let date = record.cells.iter().position(|cell| moment(cell).is_some())?;
    let time = match date + 1 {
        next if date_and_time(record.cell(date), record.cell(next)).is_some() => {
            TimeCells::Two { date, time: next }
        }
        _ => TimeCells::One(date),
    };
    let unit = |text: &str| match cell(text) {
        Cell::Number { unit, .. } => unit,
        _ => None,
    };
    let sense = |index: usize, text: &str| match unit(text) {
        _ if time == TimeCells::One(index) || index == date => None,
        Some(Unit::Scale(_)) => Some(Sense::Temperature),
        Some(Unit::Percent | Unit::PercentHumidity) => Some(Sense::Humidity),
        _ => None,
    };
    let heads: Vec<Head> = (0..record.filled())
        .map(|index| Head {
            sense: sense(index, record.cell(index)),
            unit: None,
            zone: None,
            date_order: None,
            name: String::new(),
            piece: None,
        })
        .collect();
    let found = heads.iter().filter(|head| head.sense.is_some()).count();
    let chosen = asked.temperature_column.or(asked.humidity_column).is_some();
    (found > 0 || chosen).then(|| {
        let score = found * 10 + heads.len().min(9);
        Start { delimiter, header: None, first_row: index, heads, time, score }
    })
}

/// Heads that name a count since the start, or times without a date.
fn without_date(records: &[Record<'_>]) -> Option<Refused> {
    for (index, record) in records.iter().enumerate().filter(|(_, record)| record.filled() > 1) {
        let heads = heads(record);
        let place = |at: usize| Place::new(record.line, at, record.cell(at));
        if let Some(at) = heads.iter().position(|head| head.sense == Some(Sense::Elapsed)) {
            return Some(Refused::Elapsed(place(at)));
        }
        let Some(TimeCells::One(at)) = time_cells(&heads) else { continue };
        let mut below = records.iter().skip(index + 1).take(CONFIRMING).map(|row| row.cell(at));
        if below.clone().any(|text| matches!(cell(text), Cell::Number { unit: None, .. })) {
            return Some(if below.all(is_time_of_day) {
                Refused::NoDate(place(at))
            } else {
                Refused::Elapsed(place(at))
            });
        }
        if below.any(is_time_of_day) {
            return Some(Refused::NoDate(place(at)));
        }
    }
    None
}

fn no_time(text: &str) -> Refused {
    // A mark that is never closed swallows the rows, and then nothing looks like one.
    let open =
        Delimiter::ALL.into_iter().find_map(|delimiter| Records::new(text, delimiter.byte()).all().err());
    if let Some(refused @ Refused::QuoteOpen { .. }) = open {
        return refused;
    }
    let first = text.lines().enumerate().find(|(_, line)| !line.trim().is_empty());
    let (index, line) = first.unwrap_or((0, ""));
    Refused::NoTime { first_line: Place::new(u32::try_from(index + 1).unwrap_or(u32::MAX), 0, line) }
}

/// Takes the units of a line under the heads that holds nothing else; true where it was one.
pub(super) fn take_unit_line(heads: &mut [Head], record: &Record<'_>, time: TimeCells) -> bool {
    let units: Vec<Unit> = record.cells.iter().map(|text| cell::unit(text)).collect();
    let is_known = |index: usize| matches!(units.get(index), Some(unit) if *unit != Unit::Other);
    let known = (0..units.len()).filter(|index| is_known(*index)).count();
    let filled = record.cells.iter().filter(|text| !text.is_empty()).count();
    // The column of the time may say how it is written there: "hh:mm".
    let beside = if record.cell(time.first()).is_empty() { 0 } else { 2 };
    if known == 0 || filled > known + beside || holds_time(record, time) {
        return false;
    }
    for (index, head) in heads.iter_mut().enumerate().filter(|(index, _)| is_known(*index)) {
        head.unit = head.unit.or(units.get(index).copied());
    }
    true
}

/// What lines before the heads say of the time zone: `Time zone;UTC+1`.
pub(super) fn zone_before(records: &[Record<'_>]) -> Option<FixedOffset> {
    said(records, &["zone", "zeitzone", "fuseau", "fuso", "huso"], offset)
}

/// What lines before the heads say of the scale: `Temperature unit,F`.
pub(super) fn scale_before(records: &[Record<'_>]) -> Option<TemperatureScale> {
    said(records, &["unit", "units", "einheit", "unite", "unita", "unidad"], |text| match cell::unit(text) {
        Unit::Scale(scale) => Some(scale),
        _ => None,
    })
}

/// A value in a line before the heads one of whose words is among these.
fn said<T>(records: &[Record<'_>], words: &[&str], value: impl Fn(&str) -> Option<T>) -> Option<T> {
    records.iter().find_map(|record| {
        let mut parts = record
            .cells
            .iter()
            .flat_map(|cell| [cell.as_ref()].into_iter().chain(cell.split_once(':').map(|(_, after)| after)));
        let is_named = record.cells.iter().any(|cell| {
            folded(cell).split(|letter: char| !letter.is_alphanumeric()).any(|word| words.contains(&word))
        });
        if is_named { parts.find_map(|part| value(part.trim())) } else { None }
    })
}
