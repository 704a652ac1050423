//! From the curves to a window of days.

use super::grid::{self, BENDS, ENDS, Loss, PACES};
use super::prior::{Class, Prior};
use crate::quantity::{Fraction, Length, Mass};

/// Curves that weigh less than this part of the heaviest are left out.
const LIGHT: f64 = 1e-5;
/// What remains may go faster or slower than any curve: factors `exp(SPREAD · z)` of six equal parts of a normal
/// distribution.
const SPREAD: f64 = 0.28;
const PARTS: [f64; 6] = [-1.6449, -0.8416, -0.2533, 0.2533, 0.8416, 1.6449];
/// A piece that lost less than this counts as if it had.
const LEAST_LOSS: f64 = 0.001;
/// A gain beyond this part of the green weight is no weighing to build on.
const GAIN: f64 = 0.005;
/// The longest time that is asked about, in days.
const LONGEST_DAYS: f64 = 1000.0;

/// A weighing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighed {
    /// Days since it was hung.
    pub day: f64,
    /// Its net weight.
    pub net: Mass,
}

/// A piece and what it is to lose.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// What it is.
    pub class: Class,
    /// Its diameter or thickness when hung, where it is known.
    pub diameter: Option<Length>,
    /// Its net weight when hung.
    pub green: Mass,
    /// Its weighings since; none is needed.
    pub weighings: Vec<Weighed>,
    /// The loss it is to reach.
    pub target: Fraction,
}

/// When a piece reaches its target, in days since it was hung.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// One in ten is done by then; `None`: never at this rate.
    pub p10: Option<f64>,
    /// Half are.
    pub p50: Option<f64>,
    /// Nine in ten are.
    pub p90: Option<f64>,
    /// The chance that it never gets there at this rate.
    pub chance_never: f64,
    /// Weighings since it was hung that this rests on.
    pub weighings: usize,
}

/// Why there is no window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoWindow {
    /// The weights or days are no numbers, or not above zero, or a day is beyond what is asked about.
    Impossible,
    /// A weighing shows a gain.
    Gain,
    /// It has lost what it was to lose.
    Reached,
}

/// The window of a piece.
///
/// # Errors
/// [`NoWindow`] where there is nothing to forecast.
pub fn window(piece: &Piece) -> Result<Window, NoWindow> {
    let losses = losses(piece)?;
    let (last_day, last_loss) = losses.last().map_or((0.0, 0.0), |loss| (loss.day, loss.part));
    let target = piece.target.as_one();
    if !(target > 0.0 && target < 1.0) {
        return Err(NoWindow::Impossible);
    }
    if last_loss >= target {
        return Err(NoWindow::Reached);
    }
    let prior = Prior::of(piece.class, piece.diameter);
    let weights = grid::weights(&prior, &losses, piece.green.as_grams());
    let (remaining, never) = remaining(&weights, last_loss.max(LEAST_LOSS), target);
    let at = |quantile: f64| quantile_of(&remaining, never, quantile).map(|days| last_day + days);
    Ok(Window { p10: at(0.1), p50: at(0.5), p90: at(0.9), chance_never: never, weighings: losses.len() })
}

/// The losses in the order of their days; those of the day it was hung only say what it weighed.
fn losses(piece: &Piece) -> Result<Vec<Loss>, NoWindow> {
    let green_g = piece.green.as_grams();
    let is_diameter = piece.diameter.is_none_or(|diameter| diameter.as_millimetres() > 0.0);
    if !(green_g > 0.0 && green_g.is_finite() && is_diameter) {
        return Err(NoWindow::Impossible);
    }
    let mut losses = Vec::with_capacity(piece.weighings.len());
    for weighed in &piece.weighings {
        let part = 1.0 - weighed.net.as_grams() / green_g;
        if !((0.0..=LONGEST_DAYS).contains(&weighed.day) && part < 1.0) {
            return Err(NoWindow::Impossible);
        }
        if part < -GAIN {
            return Err(NoWindow::Gain);
        }
        if weighed.day > 0.0 {
            losses.push(Loss { day: weighed.day, part });
        }
    }
    losses.sort_by(|one, other| one.day.total_cmp(&other.day));
    Ok(losses)
}

/// Days that remain on each curve with its weight, the shortest first; and the part of curves that end before the target.
fn remaining(weights: &[f64], last_loss: f64, target: f64) -> (Vec<(f64, f64)>, f64) {
    let mut remaining = Vec::new();
    let (mut all, mut never) = (0.0, 0.0);
    let mut each = weights.iter();
    for end_index in 0..ENDS {
        let end = grid::end(end_index);
        for bend_index in 0..BENDS {
            let bend = grid::bend(bend_index);
            let from = days_of_one(last_loss, end, bend);
            let to = days_of_one(target, end, bend);
            for pace_index in 0..PACES {
                let Some(weight) = each.next().copied().filter(|weight| *weight >= LIGHT) else { continue };
                all += weight;
                match (from, to) {
                    (Some(from), Some(to)) => {
                        let days = (to - from).max(0.0) * grid::log_pace(pace_index).exp();
                        remaining.push((days, weight));
                    }
                    _ => never += weight,
                }
            }
        }
    }
    let mut spread: Vec<(f64, f64)> = Vec::with_capacity(remaining.len() * PARTS.len());
    for part in PARTS {
        let factor = (SPREAD * part).exp();
        spread.extend(remaining.iter().map(|(days, weight)| (days * factor, weight / all / 6.0)));
    }
    spread.sort_by(|one, other| one.0.total_cmp(&other.0));
    (spread, never / all)
}

/// Days to a loss on a curve whose pace is one day; `None`: it ends before.
fn days_of_one(loss: f64, end: f64, bend: f64) -> Option<f64> {
    let part = loss / end;
    (part < 1.0).then(|| (part / (1.0 - part)).powf(1.0 / bend))
}

fn quantile_of(remaining: &[(f64, f64)], never: f64, quantile: f64) -> Option<f64> {
    if 1.0 - never < quantile {
        return None;
    }
    let mut sum = 0.0;
    remaining.iter().find_map(|(days, weight)| {
        sum += weight;
        (sum >= quantile).then_some(*days)
    })
}
