//! A finish window in words.

use crate::command::asking::Asking;
use crate::command::time;
use crate::curing::drying::forecast::Window;
use crate::reply::say;
use chrono::{DateTime, TimeDelta, Utc};

/// From this chance on the far end is left open.
const OPEN_FROM: f64 = 0.10;

pub(in crate::command) fn open(days: Option<f64>) -> f64 {
    days.unwrap_or(f64::INFINITY)
}

/// The far end, open where it may never get there.
pub(in crate::command) fn far_end(window: &Window) -> Option<f64> {
    window.p90.filter(|_| window.chance_never <= OPEN_FROM)
}

/// With the dates of a piece that was hung at a moment.
pub(in crate::command) fn dates(window: &Window, hung_at: DateTime<Utc>, asking: &Asking) -> String {
    let day = |days: Option<f64>| days.map(|days| date(days, hung_at, asking));
    sentence(window, day(window.p10), day(window.p50), day(far_end(window)))
}

/// The same in few words, for a chart: "18 Nov (15-22 Nov)".
pub(in crate::command) fn short_dates(window: &Window, hung_at: DateTime<Utc>, asking: &Asking) -> String {
    let day = |days: Option<f64>| {
        let date = days.map(|days| date(days, hung_at, asking))?;
        // Without the day of the week.
        Some(date.split_once(' ').map_or(date.clone(), |(_, day)| day.to_owned()))
    };
    let Some(from) = day(window.p10) else { return say("charting.drying.never", &[]) };
    match (day(window.p50), day(far_end(window))) {
        (Some(middle), Some(to)) => {
            say("charting.drying.window", &[("middle", &middle), ("from", &from), ("to", &to)])
        }
        (Some(middle), None) => say("charting.drying.open", &[("middle", &middle), ("from", &from)]),
        (None, _) => say("charting.drying.early_only", &[("from", &from)]),
    }
}

/// Whether by a window half of all such pieces would be done by now.
pub(in crate::command) fn is_past(window: &Window, hung_at: DateTime<Utc>, now: DateTime<Utc>) -> bool {
    window.p50.is_some_and(|days| moment(days, hung_at) < now)
}

fn moment(days: f64, hung_at: DateTime<Utc>) -> DateTime<Utc> {
    const LONGEST_MINUTES: f64 = 1e8;
    hung_at + TimeDelta::minutes((days * 1440.0).clamp(0.0, LONGEST_MINUTES) as i64)
}

fn date(days: f64, hung_at: DateTime<Utc>, asking: &Asking) -> String {
    let moment = time::moment(moment(days, hung_at), asking.now, asking.zone());
    moment.rsplit_once(' ').map_or_else(|| moment.clone(), |(day, _)| day.to_owned())
}

/// What it rests on: "from 3 weighings and 5 finished batches".
fn count(window: &Window) -> String {
    let key = match (window.weighings, window.batches) {
        (0, 0) => "dry.forecast.before_any",
        (0, 1) => "dry.forecast.before_any_from_batch",
        (0, _) => "dry.forecast.before_any_from_batches",
        (1, 0) => "dry.forecast.from_one",
        (_, 0) => "dry.forecast.from_several",
        (1, 1) => "dry.forecast.from_one_and_batch",
        (1, _) => "dry.forecast.from_one_and_batches",
        (_, 1) => "dry.forecast.from_several_and_batch",
        (_, _) => "dry.forecast.from_several_and_batches",
    };
    say(key, &[("count", &window.weighings.to_string()), ("batches", &window.batches.to_string())])
}

pub(in crate::command) fn sentence(
    window: &Window,
    from: Option<String>,
    middle: Option<String>,
    to: Option<String>,
) -> String {
    let count = count(window);
    let Some((from, middle)) = from.zip(middle) else {
        return say("dry.forecast.never", &[("count", &count)]);
    };
    match to {
        Some(to) => say(
            "dry.forecast.window",
            &[("middle", &middle), ("from", &from), ("to", &to), ("count", &count)],
        ),
        None => say("dry.forecast.open", &[("middle", &middle), ("from", &from), ("count", &count)]),
    }
}
