//! Every row with its instant.

use super::faults::Faults;
use super::heads::Head;
use super::layout::{Layout, Taken, TimeCells, heads, layout, time_cells};
use super::refused::{Refused, What, is_formula};
use super::split::Record;
use super::time::instant::instants;
use super::time::order::{Hints, Read, decide};
use super::time::written::{Written, date_and_time, moment};
use super::understood::{DateOrder, DecidedBy, DoubledHour, ZoneFrom};
use super::{Asked, FUTURE_GRACE_MINUTES};
use chrono::{DateTime, Days, FixedOffset, NaiveDate, NaiveDateTime, TimeDelta, Utc};

/// A row and its instant.
#[derive(Debug)]
pub(super) struct Timed<'r, 'a> {
    pub(super) record: &'r Record<'a>,
    /// The index of the heads it stands under.
    pub(super) layout: usize,
    pub(super) at: DateTime<Utc>,
}

/// Every row that has an instant, in the order of the file, and what was understood of the times.
#[derive(Debug)]
pub(super) struct Timeline<'r, 'a> {
    pub(super) rows: Vec<Timed<'r, 'a>>,
    pub(super) date_order: DateOrder,
    pub(super) date_order_by: DecidedBy,
    pub(super) zone: ZoneFrom,
    pub(super) doubled_hour: DoubledHour,
    pub(super) twelve_hours: bool,
    pub(super) days_only: bool,
}

/// A row whose time is read, and not yet an instant.
struct Line<'r, 'a> {
    record: &'r Record<'a>,
    layout: usize,
    read: Read<'r>,
}

/// Reads the time of every record under the first heads, and under those that are repeated further down.
pub(super) fn timeline<'r, 'a>(
    records: &'r [Record<'a>],
    layouts: &mut Vec<Layout>,
    zone_before: Option<FixedOffset>,
    asked: &Asked,
    faults: &mut Faults,
) -> Result<Timeline<'r, 'a>, Refused> {
    let lines = lines(records, layouts, asked, faults)?;
    let reads: Vec<Read<'_>> = lines.iter().map(|line| line.read).collect();
    let head = layouts.first().and_then(|layout| layout.date_order);
    let hints = Hints { now: asked.now, head, asked: asked.date_order };
    let (date_order, date_order_by) = decide(&reads, hints)?;
    let said = layouts.first().and_then(|layout| layout.zone).or(zone_before);
    let mut clock =
        Clock { asked, order: date_order, said, local: Vec::new(), twelve_hours: false, days_only: false };
    let placed: Vec<Placed> = reads.iter().map(|read| clock.placed(read)).collect();
    let (local, doubled_hour) = instants(&clock.local, asked.zone);
    let mut rows = Vec::with_capacity(lines.len());
    let mut by_rows = 0_usize;
    for (line, placed) in lines.iter().zip(placed) {
        let at = match placed {
            Placed::At(at, of_row) => {
                by_rows += usize::from(of_row);
                Ok(at)
            }
            Placed::Local(index) => local.get(index).copied().flatten().ok_or(What::SkippedHour),
            Placed::Nowhere => Err(What::NotATime),
        };
        match at.and_then(|at| in_time(at, asked)) {
            Ok(at) => rows.push(Timed { record: line.record, layout: line.layout, at }),
            Err(what) => faults.add(line.read.line, line.read.index, line.read.text, what),
        }
    }
    let zone = match (said, by_rows) {
        (_, found) if found == lines.len() => ZoneFrom::Rows,
        (Some(said), _) => ZoneFrom::Head(said),
        (None, 0) => ZoneFrom::Member(asked.zone),
        (None, _) => ZoneFrom::RowsAndMember(asked.zone),
    };
    let (twelve_hours, days_only) = (clock.twelve_hours, clock.days_only);
    Ok(Timeline { rows, date_order, date_order_by, zone, doubled_hour, twelve_hours, days_only })
}

fn in_time(at: DateTime<Utc>, asked: &Asked) -> Result<DateTime<Utc>, What> {
    let latest = asked.now + TimeDelta::minutes(FUTURE_GRACE_MINUTES);
    if at > latest { Err(What::InFuture { at }) } else { Ok(at) }
}

fn lines<'r, 'a>(
    records: &'r [Record<'a>],
    layouts: &mut Vec<Layout>,
    asked: &Asked,
    faults: &mut Faults,
) -> Result<Vec<Line<'r, 'a>>, Refused> {
    let mut lines = Vec::with_capacity(records.len());
    for (index, record) in records.iter().enumerate() {
        let Some(current) = layouts.last() else { break };
        if let Some(time) = repeated(record, current) {
            let below = records.get(index + 1..).unwrap_or_default();
            let again = again(record, time, below, current, asked)?;
            layouts.extend(again);
            continue;
        }
        let (found, expected) = (record.filled(), current.width);
        let last_taken = current.taken.indices().into_iter().max().unwrap_or_default();
        if found > expected || record.cells.len() <= last_taken.max(current.time.first()) {
            let count = |cells: usize| u32::try_from(cells).unwrap_or(u32::MAX);
            let found = if found > expected { found } else { record.cells.len() };
            let what = What::Cells { found: count(found), expected: count(expected) };
            faults.add(record.line, 0, record.cell(0), what);
            continue;
        }
        let (index, text, written) = written(record, current.time);
        match written {
            Some(written) => {
                let read = Read { line: record.line, index, text, written };
                lines.push(Line { record, layout: layouts.len() - 1, read });
            }
            None if is_formula(text) => faults.add(record.line, index, text, What::Formula),
            None => faults.add(record.line, index, text, What::NotATime),
        }
    }
    Ok(lines)
}

/// The time of a record, and the cell to name where it is none.
fn written<'r>(record: &'r Record<'_>, time: TimeCells) -> (usize, &'r str, Option<Written>) {
    match time {
        TimeCells::One(index) => (index, record.cell(index), moment(record.cell(index))),
        TimeCells::Two { date, time } => {
            let written = date_and_time(record.cell(date), record.cell(time));
            let is_time_wrong = written.is_none() && moment(record.cell(date)).is_some();
            let named = if is_time_wrong { time } else { date };
            (named, record.cell(named), written)
        }
    }
}

/// The heads of a record that are heads again: loggers write them anew after every restart.
fn repeated(record: &Record<'_>, current: &Layout) -> Option<TimeCells> {
    let head = &current.head_of_time;
    if head.is_empty() || record.cell(current.time.first()) != head {
        return None;
    }
    time_cells(&heads(record))
}

/// The columns under repeated heads; `None` where they are the same.
fn again(
    record: &Record<'_>,
    time: TimeCells,
    below: &[Record<'_>],
    current: &Layout,
    asked: &Asked,
) -> Result<Option<Layout>, Refused> {
    let heads: Vec<Head> = heads(record);
    let sample = below.get(..super::SAMPLED.min(below.len())).unwrap_or_default();
    let new = layout(record, &heads, time, sample, asked)?;
    let is_same = new.columns == current.columns;
    match (&current.taken, &new.taken) {
        _ if is_same => Ok(None),
        (Taken::Air { .. }, Taken::Air { .. }) => Ok(Some(new)),
        _ => Err(Refused::HeadsChanged { line: record.line }),
    }
}

/// Where a moment lies before the zone's clocks were asked.
enum Placed {
    /// An instant; true where the row itself says the zone.
    At(DateTime<Utc>, bool),
    /// The index among those that the member's clocks showed.
    Local(usize),
    /// No date under the order of the file.
    Nowhere,
}

struct Clock<'t> {
    asked: &'t Asked,
    order: DateOrder,
    /// The offset that a head or a line before it says.
    said: Option<FixedOffset>,
    local: Vec<NaiveDateTime>,
    twelve_hours: bool,
    days_only: bool,
}

impl Clock<'_> {
    fn placed(&mut self, read: &Read<'_>) -> Placed {
        let (date, clock) = match read.written {
            Written::Instant(at) => return Placed::At(at, true),
            Written::Shown(date, clock) => (date, clock),
        };
        let Some(date) = date.under(self.order) else { return Placed::Nowhere };
        let next_day = clock.is_some_and(|clock| clock.next_day);
        let Some(date) = date.checked_add_days(Days::new(u64::from(next_day))) else {
            return Placed::Nowhere;
        };
        self.twelve_hours |= clock.is_some_and(|clock| clock.twelve_hours);
        self.days_only |= clock.is_none();
        let shown = clock.map_or_else(|| self.on(date), |clock| date.and_time(clock.time));
        // A day alone is the member's own day, whatever zone a head speaks of.
        let offset = clock.and_then(|clock| clock.offset.or(self.said));
        if let Some(utc) = offset.and_then(|offset| shown.checked_sub_offset(offset)) {
            return Placed::At(utc.and_utc(), clock.is_some_and(|clock| clock.offset.is_some()));
        }
        self.local.push(shown);
        Placed::Local(self.local.len() - 1)
    }

    /// When a row of a day without a time was: today no later than now, so that what was weighed before breakfast does
    /// not lie in the future.
    fn on(&self, date: NaiveDate) -> NaiveDateTime {
        let shown = date.and_time(self.asked.time_of_day);
        let now = self.asked.now.with_timezone(&self.asked.zone).naive_local();
        if date == now.date() { shown.min(now) } else { shown }
    }
}
