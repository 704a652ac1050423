//! Forecasts of pieces whose end is known, beside the two rivals that anybody can draw with a ruler.
#![allow(clippy::expect_used, reason = "a trial that cannot be made fails by panicking")]

pub(crate) mod groups;
pub(crate) mod series;
pub(crate) mod simulated;

use std::fmt;
use tallyhook::curing::drying::forecast::{Class, Knowledge, Piece, Weighed, Window, base_window, window};
use tallyhook::quantity::{Fraction, Length, Mass};

/// A forecast to be made, and what came of it.
#[derive(Debug, Clone)]
pub(crate) struct Trial {
    /// Sausage or muscle.
    pub(crate) class: Class,
    /// Where the forecast is told.
    pub(crate) size_mm: Option<f64>,
    /// When hung.
    pub(crate) green_g: f64,
    /// Day and grams, since it was hung.
    pub(crate) weighings: Vec<(f64, f64)>,
    /// Loss aimed at.
    pub(crate) target: f64,
    /// The day it was there.
    pub(crate) truth: f64,
    /// Which part of the target was lost at the last weighing: the band it is counted in.
    pub(crate) progress: f64,
    /// What is known beside the weighings.
    pub(crate) knowledge: Knowledge,
}

/// Days of a forecast: one in ten, half, nine in ten.
pub(crate) type Days = [f64; 3];

impl Trial {
    fn piece(&self) -> Piece {
        let weighed =
            |(day, grams): &(f64, f64)| Weighed { day: *day, net: Mass::grams(grams.min(self.green_g)) };
        Piece {
            class: self.class,
            diameter: self.size_mm.map(Length::millimetres),
            green: Mass::grams(self.green_g),
            weighings: self.weighings.iter().map(weighed).collect(),
            target: Fraction::of_one(self.target),
        }
    }

    /// What members see.
    pub(crate) fn ours(&self) -> Days {
        days(&window(&self.piece(), &self.knowledge).expect("a window"))
    }

    /// The same without finished batches and without the air.
    pub(crate) fn of_weighings(&self) -> Days {
        days(&window(&self.piece(), &Knowledge::default()).expect("a window"))
    }

    /// With the air that was logged.
    pub(crate) fn with_air(&self) -> Days {
        let knowledge = Knowledge { air: self.knowledge.air.clone(), ..Knowledge::default() };
        days(&window(&self.piece(), &knowledge).expect("a window"))
    }

    /// The base engine.
    pub(crate) fn base(&self) -> Days {
        days(&base_window(&self.piece()).expect("a window"))
    }

    fn loss(&self, place: usize) -> (f64, f64) {
        let (day, grams) = self.weighings[place];
        (day, 1.0 - grams / self.green_g)
    }

    /// The line through the last two weighings; that of the hanging counts as one.
    pub(crate) fn line(&self) -> Days {
        let last = self.weighings.len() - 1;
        let (day, lost) = self.loss(last);
        let (day_before, lost_before) = last.checked_sub(1).map_or((0.0, 0.0), |before| self.loss(before));
        let rate = (lost - lost_before) / (day - day_before);
        [if rate > 0.0 { day + (self.target - lost) / rate } else { f64::INFINITY }; 3]
    }

    /// The straight line from the hanging.
    pub(crate) fn straight(&self) -> Days {
        let (day, lost) = self.loss(self.weighings.len() - 1);
        [if lost > 0.0 { day * self.target / lost } else { f64::INFINITY }; 3]
    }
}

fn days(window: &Window) -> Days {
    [window.p10, window.p50, window.p90].map(|day| day.unwrap_or(f64::INFINITY))
}

/// An error beyond this counts as this: a line that hardly falls would outweigh everything.
const WORST_DAYS: f64 = 400.0;

/// How a way of forecasting did.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Score {
    /// Forecasts.
    pub(crate) count: usize,
    /// Mean error in days, without its sign.
    pub(crate) mean: f64,
    /// Its median.
    pub(crate) median: f64,
    /// The part of all ends that lay in the window.
    pub(crate) covered: f64,
    /// The part that came later than the window.
    pub(crate) later: f64,
    /// The median width of the window in days.
    pub(crate) width: f64,
}

impl fmt::Display for Score {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { count, mean, median, covered, later, width } = self;
        write!(out, "{count:5} {mean:7.2} {median:7.2}   {covered:.2} {later:.2} {width:6.1}")
    }
}

/// Scores a way of forecasting.
pub(crate) fn score(trials: &[&Trial], forecast: impl Fn(&Trial) -> Days) -> Score {
    let found: Vec<(f64, Days)> = trials.iter().map(|trial| (trial.truth, forecast(trial))).collect();
    let count = found.len();
    let part = |hit: &dyn Fn(&(f64, Days)) -> bool| {
        found.iter().filter(|one| hit(one)).count() as f64 / count as f64
    };
    let errors: Vec<f64> =
        found.iter().map(|(truth, days)| (days[1] - truth).abs().min(WORST_DAYS)).collect();
    Score {
        count,
        mean: errors.iter().sum::<f64>() / count as f64,
        median: median(errors),
        covered: part(&|(truth, days)| days[0] <= *truth && *truth <= days[2]),
        later: part(&|(truth, days)| *truth > days[2]),
        width: median(found.iter().map(|(_, days)| days[2] - days[0]).collect()),
    }
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(f64::NAN)
}

/// The bands in which forecasts are counted, by the part of the target that is lost.
pub(crate) const BANDS: [(&str, f64, f64); 4] = [
    ("all", 0.0, 1.0),
    ("before half-way", 0.0, 0.5),
    ("half to three quarters", 0.5, 0.75),
    ("the last quarter", 0.75, 1.0),
];

/// The trials of a band.
pub(crate) fn band(trials: &[Trial], from: f64, to: f64) -> Vec<&Trial> {
    trials.iter().filter(|trial| (from..to).contains(&trial.progress)).collect()
}
