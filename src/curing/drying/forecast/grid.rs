//! The curves, and how much each of them weighs.

use super::prior::{Normal, Prior};
use std::iter;

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

/// After so many weighings the misfits are scaled anew, so that their product stays a number.
const BLOCK: usize = 16;
/// A curve this much worse than the best counts for nothing, however well it does later.
const HOPELESS: f64 = 1e250;

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
    from + (to - from) * index as f64 / (count - 1) as f64
}

/// The weights of all curves, in the order of ends, bends, paces, on a common scale.
///
/// Errors after Student make each weighing a factor `1 + off² / variance / ν` of a misfit; the weight is the prior times
/// the misfit to the power of −(ν + 1) / 2, which at ν = 4 is a square and a square root: no logarithm a curve.
pub(super) fn weights(prior: &Prior, losses: &[Loss], green_g: f64) -> Vec<f64> {
    let misfits = misfits(losses, green_g);
    let least = misfits.iter().copied().fold(f64::INFINITY, f64::min);
    let of_pace = densities(prior.pace, log_pace, PACES);
    let (of_end, of_bend) = (densities(prior.end, end, ENDS), densities(prior.bend, bend, BENDS));
    let curves = of_end.iter().flat_map(|of_end| of_bend.iter().map(move |of_bend| of_end * of_bend));
    let expected = curves.flat_map(|of_curve| of_pace.iter().map(move |of_pace| of_curve * of_pace));
    let weight = |(expected, misfit): (f64, &f64)| {
        let fit = least / misfit;
        expected * fit * fit * fit.sqrt()
    };
    expected.zip(&misfits).map(weight).collect()
}

fn densities(normal: Normal, value: fn(usize) -> f64, count: usize) -> Vec<f64> {
    (0..count).map(|index| normal.logarithm(value(index)).exp()).collect()
}

fn misfits(losses: &[Loss], green_g: f64) -> Vec<f64> {
    let last = losses.iter().map(|loss| loss.day).fold(0.0, f64::max);
    let mut misfits = vec![1.0; ENDS * BENDS * PACES];
    for (number, loss) in losses.iter().enumerate() {
        let precision = 1.0 / variance(loss.day, last, green_g) / FREEDOM;
        let shapes = shapes(loss.day.ln());
        for (end_index, of_end) in misfits.chunks_mut(BENDS * PACES).enumerate() {
            let end = end(end_index);
            for (misfit, shape) in of_end.iter_mut().zip(&shapes) {
                let off = end * shape - loss.part;
                *misfit *= 1.0 + off * off * precision;
            }
        }
        if number % BLOCK == BLOCK - 1 {
            let least = misfits.iter().copied().fold(f64::INFINITY, f64::min);
            for misfit in &mut misfits {
                *misfit = (*misfit / least).min(HOPELESS);
            }
        }
    }
    misfits
}

/// `x / (1 + x)` of every bend and pace on a day: the end only scales it. From one pace to the next `x` falls by the
/// same factor.
fn shapes(log_day: f64) -> Vec<f64> {
    let step = log_pace(1) - log_pace(0);
    let of_bend = |index: usize| {
        let bend = bend(index);
        let (first, falls) = ((bend * (log_day - log_pace(0))).exp(), (-bend * step).exp());
        iter::successors(Some(first), move |x| Some(x * falls)).take(PACES)
    };
    (0..BENDS).flat_map(of_bend).map(|x| x / (1.0 + x)).collect()
}

fn variance(day: f64, last: f64, green_g: f64) -> f64 {
    let age = AGE_OFF * (last - day) / last.max(1.0);
    (SCALE_OFF_G / green_g).powi(2) + CURVE_OFF.powi(2) + age.powi(2)
}
