//! The finish window of a batch, in words.

use crate::command::asking::Asking;
use crate::command::time;
use crate::curing::drying::forecast::{Class, NoWindow, Piece, Weighed, Window, window};
use crate::quantity::Fraction;
use crate::record::state::Piece as Hung;
use crate::record::{BatchKind, BatchStage, BatchState, hours_between};
use crate::reply::say;
use chrono::{DateTime, TimeDelta, Utc};

/// Below this loss the weighings say less than what is expected of such a piece.
const TOO_EARLY: Fraction = Fraction::percent(2.0);
/// From this chance on the far end is left open.
const OPEN_FROM: f64 = 0.10;
/// The windows of all pieces that hang.
pub(in crate::command) fn windows(
    state: &BatchState,
    target: Fraction,
) -> Vec<(&Hung, Result<Window, NoWindow>)> {
    state.hanging().map(|hung| (hung, window(&piece_of(state, hung, target)))).collect()
}

/// The piece that takes longest.
pub(in crate::command) fn slowest<'a>(
    windows: &[(&'a Hung, Result<Window, NoWindow>)],
) -> Option<(&'a Hung, Window)> {
    let found = windows.iter().filter_map(|(hung, found)| found.ok().map(|window| (*hung, window)));
    found.max_by(|(_, one), (_, other)| open(one.p50).total_cmp(&open(other.p50)))
}

/// What the card says while a batch dries, once its weighings say anything.
pub(in crate::command) fn line(state: &BatchState, asking: &Asking) -> Option<String> {
    if state.stage().0 != BatchStage::Drying {
        return None;
    }
    let windows = windows(state, state.plan.target_loss?);
    let (hung, window) = slowest(&windows)?;
    let says_something = !is_prior_alone(&window, lost(hung));
    says_something.then(|| say("status.finish", &[("when", &dates(&window, hung.hung_at, asking))]))
}

/// A piece as the forecast takes it.
pub(in crate::command) fn piece_of(state: &BatchState, hung: &Hung, target: Fraction) -> Piece {
    let green = hung.hung.hung - hung.hung.tare;
    let weighed = hung.weighings.iter().map(|weighing| Weighed {
        day: hours_between(hung.hung_at, weighing.at) / 24.0,
        net: weighing.gross - hung.hung.tare,
    });
    let class = match state.plan.kind {
        BatchKind::FermentedSausage | BatchKind::DriedSausage => Class::Sausage,
        BatchKind::WholeMuscle => Class::WholeMuscle,
    };
    Piece { class, diameter: state.plan.thickness, green, weighings: weighed.collect(), target }
}

pub(in crate::command) fn lost(hung: &Hung) -> Fraction {
    let green = (hung.hung.hung - hung.hung.tare).as_grams();
    Fraction::of_one(1.0 - hung.last_net().as_grams() / green)
}

/// With no weighing, or hardly any loss, the window is what is expected of any such piece.
pub(in crate::command) fn is_prior_alone(window: &Window, lost: Fraction) -> bool {
    window.weighings == 0 || lost < TOO_EARLY
}

pub(in crate::command) fn open(days: Option<f64>) -> f64 {
    days.unwrap_or(f64::INFINITY)
}

/// The far end, open where it may never get there.
pub(in crate::command) fn far_end(window: &Window) -> Option<f64> {
    window.p90.filter(|_| window.chance_never <= OPEN_FROM)
}

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

#[expect(clippy::cast_possible_truncation, reason = "days of at most some years, in minutes")]
fn date(days: f64, hung_at: DateTime<Utc>, asking: &Asking) -> String {
    const LONGEST_MINUTES: f64 = 1e8;
    let minutes = (days * 1440.0).clamp(0.0, LONGEST_MINUTES) as i64;
    let moment = time::moment(hung_at + TimeDelta::minutes(minutes), asking.now, asking.zone());
    moment.rsplit_once(' ').map_or_else(|| moment.clone(), |(day, _)| day.to_owned())
}

pub(in crate::command) fn sentence(
    window: &Window,
    from: Option<String>,
    middle: Option<String>,
    to: Option<String>,
) -> String {
    let key = match window.weighings {
        0 => "dry.forecast.before_any",
        1 => "dry.forecast.from_one",
        _ => "dry.forecast.from_several",
    };
    let count = say(key, &[("count", &window.weighings.to_string())]);
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
