//! The window that members see: the base engine, with what finished batches and the logged air add to it.

use super::air::{AirAt, FeltDays};
use super::base::{self, NoWindow, Piece, Window};
use super::calibration::{self, Calibration};
use super::experience::Expectation;
use super::grid::Loss;
use super::prior::Prior;

/// A loss that a kitchen scale hardly tells from none, as a part of the green weight. Our choice, no source.
const NOTHING: f64 = 0.005;

/// More weighings than this say nothing more; of so many, some evenly among them are looked at.
const MOST: usize = 60;

/// What is known beside a piece's own weighings.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Knowledge {
    /// The pace that finished batches let expect.
    pub expectation: Expectation,
    /// The air of its room since it was hung; empty where nothing was read.
    pub air: Vec<AirAt>,
}

/// The window of a piece.
///
/// # Errors
/// [`NoWindow`] where there is nothing to forecast.
pub fn window(piece: &Piece, knowledge: &Knowledge) -> Result<Window, NoWindow> {
    let losses = base::losses(piece)?;
    if losses.len() > 1 && losses.iter().all(|loss| loss.part < NOTHING) {
        return Err(NoWindow::NothingLost);
    }
    let last_day = base::last_day(&losses);
    let felt = if losses.is_empty() { None } else { FeltDays::of(&knowledge.air, last_day) };
    let felt_day = |day: f64| felt.as_ref().map_or(day, |felt| felt.at(day));
    let as_felt: Vec<Loss> = evenly(&losses).map(|loss| Loss { day: felt_day(loss.day), ..*loss }).collect();
    let prior = Prior::expecting(piece.class, piece.diameter, &knowledge.expectation);
    let outlook = base::outlook(piece, &as_felt, &prior);
    let progress = (base::last_loss(&losses) / piece.target.as_one()).clamp(0.0, 1.0);
    let calibration = Calibration::of(piece.class, progress);
    let middle = outlook.remaining(0.5).map(|days| {
        let straight = calibration::straight(&losses, piece.target.as_one());
        (days, calibration.middle(days, straight))
    });
    let day = |quantile| {
        let days = outlook.remaining(quantile)?;
        let of_middle = |(middle, set_right)| calibration.quantile(days, middle, set_right);
        Some(last_day + middle.map_or(days, of_middle))
    };
    Ok(Window {
        p10: day(0.1),
        p50: day(0.5),
        p90: day(0.9),
        chance_never: outlook.never,
        weighings: losses.len(),
        batches: knowledge.expectation.batches,
        by_air: felt.is_some(),
    })
}

/// At most [`MOST`] of them, the first and the last among them.
fn evenly(losses: &[Loss]) -> impl Iterator<Item = &Loss> {
    let kept = losses.len().min(MOST);
    (0..kept).filter_map(move |number| losses.get(number * (losses.len() - 1) / (kept - 1).max(1)))
}
