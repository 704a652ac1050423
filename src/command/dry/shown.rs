//! A finish window as figures, as days, and with what it rests on.

use crate::command::status::finish::{far_end, is_prior_alone, open, sentence};
use crate::curing::Level;
use crate::curing::drying::forecast::{NoWindow, Window};
use crate::quantity::{Fraction, format};
use crate::reply::{Figure, Reply, say, unit};

/// What a window is worth, and what went into it.
pub(super) fn explain(reply: &mut Reply, window: &Window, lost: Fraction) {
    if is_prior_alone(window, lost) {
        reply.note(Level::Notice, say("dry.forecast.prior", &[]));
    }
    reply.lines.push(say("dry.forecast.meaning", &[]));
    reply.working.push(say("dry.forecast.how", &[]));
    if window.batches > 0 {
        reply.working.push(say("dry.forecast.how_batches", &[("count", &window.batches.to_string())]));
    }
    if window.by_air {
        reply.working.push(say("dry.forecast.how_air", &[]));
    }
}

pub(super) const fn key_of(error: NoWindow) -> &'static str {
    match error {
        NoWindow::Impossible => "dry.forecast.impossible",
        NoWindow::Gain => "dry.forecast.gain",
        NoWindow::NothingLost => "dry.forecast.nothing_lost",
        NoWindow::Reached => "dry.forecast.reached",
    }
}

pub(super) fn days(window: &Window) -> String {
    let day =
        |days: Option<f64>| days.map(|days| say("dry.forecast.day", &[("day", &format::number(days, 0))]));
    sentence(window, day(window.p10), day(window.p50), day(far_end(window)))
}

pub(super) fn figures_of(window: &Window) -> [Figure; 4] {
    let label = |id: &str| say(&format!("label.{id}"), &[]);
    let day = |id: &'static str, days: Option<f64>| {
        let shown = days.map_or_else(|| "—".to_owned(), |days| format!("{} d", format::number(days, 1)));
        Figure::number(id, label(id), open(days), unit::DAY, shown)
    };
    let never = window.chance_never * 100.0;
    [
        day("finish_p10", window.p10),
        day("finish_p50", window.p50),
        day("finish_p90", window.p90),
        Figure::number(
            "chance_never",
            label("chance_never"),
            never,
            unit::PERCENT,
            format!("{} %", format::number(never, 0)),
        ),
    ]
}
