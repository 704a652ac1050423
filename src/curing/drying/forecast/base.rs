//! The base engine: from the curves of the grid to a window of days.

use super::grid::{self, Loss};
use super::outlook::Outlook;
use super::prior::{Class, Prior};
use crate::quantity::{Fraction, Length, Mass};

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
    /// Finished batches that what was expected of it rests on.
    pub batches: usize,
    /// Whether the air that was logged told a change of pace.
    pub by_air: bool,
}

/// Why there is no window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoWindow {
    /// The weights or days are no numbers, or not above zero, or a day is beyond what is asked about.
    Impossible,
    /// A weighing shows a gain.
    Gain,
    /// It was weighed more than once and lost nothing that a scale tells from nothing.
    NothingLost,
    /// It has lost what it was to lose.
    Reached,
}

/// The window of a piece by the base engine alone: its weighings and what is expected of any such piece, as worked cases
/// print it.
///
/// # Errors
/// [`NoWindow`] where there is nothing to forecast.
pub fn base_window(piece: &Piece) -> Result<Window, NoWindow> {
    let losses = losses(piece)?;
    let outlook = outlook(piece, &losses, &Prior::of(piece.class, piece.diameter));
    let day = |quantile| outlook.remaining(quantile).map(|days| last_day(&losses) + days);
    Ok(Window {
        p10: day(0.1),
        p50: day(0.5),
        p90: day(0.9),
        chance_never: outlook.never,
        weighings: losses.len(),
        batches: 0,
        by_air: false,
    })
}

/// The losses in the order of their days; those of the day it was hung only say what it weighed.
pub(super) fn losses(piece: &Piece) -> Result<Vec<Loss>, NoWindow> {
    let (green_g, target) = (piece.green.as_grams(), piece.target.as_one());
    let is_diameter = piece.diameter.is_none_or(|diameter| diameter.as_millimetres() > 0.0);
    if !(green_g > 0.0 && green_g.is_finite() && is_diameter && target > 0.0 && target < 1.0) {
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
    if last_loss(&losses) >= target {
        return Err(NoWindow::Reached);
    }
    Ok(losses)
}

pub(super) fn last_day(losses: &[Loss]) -> f64 {
    losses.last().map_or(0.0, |loss| loss.day)
}

pub(super) fn last_loss(losses: &[Loss]) -> f64 {
    losses.last().map_or(0.0, |loss| loss.part)
}

/// The days that remain by a piece's losses and what is expected of it.
pub(super) fn outlook(piece: &Piece, losses: &[Loss], prior: &Prior) -> Outlook {
    let weights = grid::weights(prior, losses, piece.green.as_grams());
    Outlook::of(&weights, last_loss(losses).max(LEAST_LOSS), piece.target.as_one())
}
