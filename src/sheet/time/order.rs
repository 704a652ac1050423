//! Which number of a date is the day: decided once, for the whole file.

use super::super::refused::{Place, Refused};
use super::super::understood::{DateOrder, DecidedBy};
use super::date::{Date, Numbers};
use super::written::Written;
use chrono::{DateTime, Datelike, NaiveDateTime, TimeDelta, Utc};

/// A moment with its place in the file.
#[derive(Debug, Clone, Copy)]
pub(in crate::sheet) struct Read<'a> {
    pub(in crate::sheet) line: u32,
    /// The index of the cell with the date.
    pub(in crate::sheet) index: usize,
    pub(in crate::sheet) text: &'a str,
    pub(in crate::sheet) written: Written,
}

/// A date whose order is open, with what the clock showed.
type Open<'r, 'a> = (&'r Read<'a>, Numbers);

/// What else speaks for an order.
#[derive(Debug, Clone, Copy)]
pub(in crate::sheet) struct Hints {
    pub(in crate::sheet) now: DateTime<Utc>,
    /// The head spells it out: `dd/mm/yyyy`.
    pub(in crate::sheet) head: Option<DateOrder>,
    /// The member said so.
    pub(in crate::sheet) asked: Option<DateOrder>,
}

/// Decides the order of every date of a file.
pub(in crate::sheet) fn decide(reads: &[Read<'_>], hints: Hints) -> Result<(DateOrder, DecidedBy), Refused> {
    let open: Vec<Open<'_, '_>> = reads
        .iter()
        .filter_map(|read| match read.written {
            Written::Shown(Date::Numbers(numbers), _) => Some((read, numbers)),
            _ => None,
        })
        .collect();
    let candidates = candidates(&open, hints.now);
    let readable: Vec<Open<'_, '_>> = open
        .into_iter()
        .filter(|(_, numbers)| candidates.iter().any(|order| numbers.under(*order).is_some()))
        .collect();
    if readable.is_empty() {
        return Ok((DateOrder::YearFirst, DecidedBy::Form));
    }
    let fails = |order: DateOrder| readable.iter().find(|(_, numbers)| numbers.under(order).is_none());
    let left: Vec<DateOrder> = candidates.iter().copied().filter(|order| fails(*order).is_none()).collect();
    match left.as_slice() {
        [] => Err(mixed(candidates.iter().filter_map(|order| fails(*order)))),
        [only] => Ok((*only, DecidedBy::DayOverTwelve)),
        _ => among(&left, &readable, hints),
    }
}

/// The orders to try. With two figures each, the year may come first, but that is only asked about where the last
/// number is no year of lately: `13/01/26` in 2026 is nobody's 26 January 2013.
fn candidates(open: &[Open<'_, '_>], now: DateTime<Utc>) -> Vec<DateOrder> {
    let lately = |numbers: &Numbers| {
        let year = i32::try_from(2000 + numbers.last).unwrap_or(i32::MAX);
        (now.year() - 1..=now.year()).contains(&year)
    };
    let mut orders = vec![DateOrder::DayFirst, DateOrder::MonthFirst];
    if open.iter().all(|(_, numbers)| numbers.short) && !open.iter().all(|(_, numbers)| lately(numbers)) {
        orders.push(DateOrder::YearFirst);
    }
    orders
}

/// More than one order gives a date everywhere.
fn among(
    left: &[DateOrder],
    readable: &[Open<'_, '_>],
    hints: Hints,
) -> Result<(DateOrder, DecidedBy), Refused> {
    let unlike = readable.iter().find(|(_, numbers)| {
        left.iter().any(|order| numbers.under(*order) != left.first().and_then(|first| numbers.under(*first)))
    });
    let (Some((read, numbers)), Some(first)) = (unlike, left.first()) else {
        return Ok((left.first().copied().unwrap_or(DateOrder::DayFirst), DecidedBy::SameEitherWay));
    };
    if let Some(order) = hints.head.filter(|order| left.contains(order)) {
        return Ok((order, DecidedBy::Head));
    }
    let only = |fits: &dyn Fn(DateOrder) -> bool| {
        let mut fitting = left.iter().copied().filter(|order| fits(*order));
        fitting.next().filter(|_| fitting.next().is_none())
    };
    if let Some(order) = only(&|order| in_order(order, readable)) {
        return Ok((order, DecidedBy::OrderInTime));
    }
    if *first == DateOrder::DayFirst && readable.iter().all(|(_, numbers)| numbers.points) {
        return Ok((DateOrder::DayFirst, DecidedBy::Points));
    }
    // A day of grace, because the zone is not known yet.
    let latest = (hints.now + TimeDelta::days(1)).naive_utc();
    if let Some(order) = only(&|order| moments(order, readable).all(|shown| shown <= latest)) {
        return Ok((order, DecidedBy::NotInFuture));
    }
    if let Some(order) = hints.asked.filter(|order| left.contains(order)) {
        return Ok((order, DecidedBy::Asked));
    }
    let readings = left.iter().filter_map(|order| Some((*order, numbers.under(*order)?))).collect();
    Err(Refused::DayOrMonth { place: Place::new(read.line, read.index, read.text), readings })
}

fn moments<'r>(order: DateOrder, readable: &'r [Open<'_, '_>]) -> impl Iterator<Item = NaiveDateTime> + 'r {
    readable.iter().filter_map(move |(read, numbers)| {
        let Written::Shown(_, clock) = read.written else { return None };
        Some(numbers.under(order)?.and_time(clock.map(|clock| clock.time).unwrap_or_default()))
    })
}

/// Whether the rows stand in the order of time, forwards or backwards. Steps of up to an hour against it are those of
/// clocks that are put back.
fn in_order(order: DateOrder, readable: &[Open<'_, '_>]) -> bool {
    let hour = TimeDelta::hours(1);
    let (mut forwards, mut backwards) = (true, true);
    let mut before: Option<NaiveDateTime> = None;
    for shown in moments(order, readable) {
        if let Some(before) = before {
            forwards &= shown >= before - hour;
            backwards &= shown <= before + hour;
        }
        before = Some(shown);
    }
    forwards || backwards
}

fn mixed<'r, 'a: 'r>(mut unreadable: impl Iterator<Item = &'r Open<'r, 'a>>) -> Refused {
    let place = |open: Option<&Open<'_, '_>>| {
        open.map_or(Place::new(0, 0, ""), |(read, _)| Place::new(read.line, read.index, read.text))
    };
    let (first, second) = (place(unreadable.next()), place(unreadable.next()));
    if first.line <= second.line {
        Refused::DatesMixed { first, second }
    } else {
        Refused::DatesMixed { first: second, second: first }
    }
}
