//! The curves, and how much each of them weighs.

use super::prior::Prior;

pub(super) const ENDS: usize = 15;
pub(super) const BENDS: usize = 12;
pub(super) const PACES: usize = 72;

/// Degrees of freedom of the errors.
const FREEDOM: f64 = 4.0;
/// What a kitchen scale may be off, in grams.
const SCALE_OFF_G: f64 = 2.0;
/// What a curve may be off of a loss, as a part of the green weight.
const CURVE_OFF: f64 = 0.006;
/// How much more a weighing of the beginning may be off at the end.
const AGE_OFF: f64 = 0.03;

/// A loss at a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Loss {
    pub(super) day: f64,
    pub(super) part: f64,
}

pub(super) fn end(index: usize) -> f64 {
    linear(0.36, 0.92, index, ENDS)
}

pub(super) fn bend(index: usize) -> f64 {
    linear(0.50, 1.60, index, BENDS)
}

pub(super) fn log_pace(index: usize) -> f64 {
    linear(2.0_f64.ln(), 600.0_f64.ln(), index, PACES)
}

fn linear(from: f64, to: f64, index: usize, count: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a place in a grid")]
    let part = index as f64 / (count - 1) as f64;
    from + (to - from) * part
}

/// The weights of all curves, the highest 1, in the order of ends, bends, paces.
pub(super) fn weights(prior: &Prior, losses: &[Loss], green_g: f64) -> Vec<f64> {
    let last = losses.iter().map(|loss| loss.day).fold(0.0, f64::max);
    let precision: Vec<f64> = losses.iter().map(|loss| 1.0 / variance(loss.day, last, green_g)).collect();
    let shapes = shapes(losses);
    let mut logarithms = Vec::with_capacity(ENDS * BENDS * PACES);
    for end_index in 0..ENDS {
        let of_end = prior.end.logarithm(end(end_index));
        for bend_index in 0..BENDS {
            let of_bend = of_end + prior.bend.logarithm(bend(bend_index));
            for pace_index in 0..PACES {
                let of_pace = of_bend + prior.pace.logarithm(log_pace(pace_index));
                let from = (bend_index * PACES + pace_index) * losses.len();
                let through = shapes.get(from..from + losses.len()).unwrap_or_default();
                logarithms.push(of_pace + fit(end(end_index), through, losses, &precision));
            }
        }
    }
    let highest = logarithms.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    logarithms.iter().map(|logarithm| (logarithm - highest).exp()).collect()
}

/// `x / (1 + x)` of every bend and pace at every weighing: the end only scales it.
fn shapes(losses: &[Loss]) -> Vec<f64> {
    let mut shapes = Vec::with_capacity(BENDS * PACES * losses.len());
    for bend_index in 0..BENDS {
        for pace_index in 0..PACES {
            shapes.extend(losses.iter().map(|loss| {
                let x = (bend(bend_index) * (loss.day.ln() - log_pace(pace_index))).exp();
                x / (1.0 + x)
            }));
        }
    }
    shapes
}

/// The logarithm of how well a curve goes through the weighings: one logarithm of a product.
fn fit(end: f64, shapes: &[f64], losses: &[Loss], precision: &[f64]) -> f64 {
    let mut product = 1.0;
    for ((shape, loss), precision) in shapes.iter().zip(losses).zip(precision) {
        let off = end * shape - loss.part;
        product *= 1.0 + off * off * precision / FREEDOM;
    }
    -0.5 * (FREEDOM + 1.0) * product.ln()
}

fn variance(day: f64, last: f64, green_g: f64) -> f64 {
    let age = AGE_OFF * (last - day) / last.max(1.0);
    (SCALE_OFF_G / green_g).powi(2) + CURVE_OFF.powi(2) + age.powi(2)
}
