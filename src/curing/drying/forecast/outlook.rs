//! What the weighed curves say of the days that remain.

use super::grid::{self, BENDS, PACES};

/// Curves that weigh less than this part of the heaviest are left out.
const LIGHT: f64 = 1e-5;
/// What remains may go faster or slower than any curve: factors `exp(SPREAD · z)` of six equal parts of a normal
/// distribution.
const SPREAD: f64 = 0.28;
const PARTS: [f64; 6] = [-1.6449, -0.8416, -0.2533, 0.2533, 0.8416, 1.6449];
/// Enough to part two times that differ in the fourth digit: minutes of a month.
const HALVINGS: usize = 18;

/// What the curves say of the days that remain.
#[derive(Debug)]
pub(super) struct Outlook {
    curves: Vec<Curve>,
    /// The part of all curves that end before the target.
    pub(super) never: f64,
}

/// Curves of one end and bend.
#[derive(Debug)]
struct Curve {
    /// The logarithm of the days that remain at the first pace of the grid, in steps of the grid.
    place: f64,
    /// The part of all that is of this pace or a faster one.
    up_to: [f64; PACES],
}

impl Outlook {
    /// From weights in the grid's order, between two losses.
    pub(super) fn of(weights: &[f64], from: f64, to: f64) -> Self {
        let light = LIGHT * weights.iter().copied().fold(0.0, f64::max);
        let heavy = |weight: &f64| if *weight >= light { *weight } else { 0.0 };
        let all: f64 = weights.iter().map(heavy).sum();
        let (mut curves, mut never) = (Vec::new(), 0.0);
        for (index, weights) in weights.chunks(PACES).enumerate() {
            let of_curve: f64 = weights.iter().map(heavy).sum();
            if of_curve <= 0.0 {
                continue;
            }
            let (end, bend) = (grid::end(index / BENDS), grid::bend(index % BENDS));
            let Some((from, to)) = days_of_one(from, end, bend).zip(days_of_one(to, end, bend)) else {
                never += of_curve / all;
                continue;
            };
            let mut up_to = [0.0; PACES];
            let mut sum = 0.0;
            for (up_to, weight) in up_to.iter_mut().zip(weights) {
                sum += heavy(weight) / all;
                *up_to = sum;
            }
            // A target that the floor of the loss has passed is there at once: as good as no time.
            let log_days = (to - from).max(1e-9).ln() + grid::log_pace(0);
            curves.push(Curve { place: log_days / step(), up_to });
        }
        Self { curves, never }
    }

    /// Days that remain until so many of all are done; `None`: never at this rate.
    pub(super) fn remaining(&self, quantile: f64) -> Option<f64> {
        let places = || self.curves.iter().map(|curve| curve.place);
        let parts = PARTS.map(|part| SPREAD * part / step());
        let mut low = places().fold(f64::INFINITY, f64::min) + parts[0] - 1.0;
        let mut high = places().fold(f64::NEG_INFINITY, f64::max) + parts[5] + PACES as f64;
        if self.done_within(high, &parts) < quantile {
            return None;
        }
        // Halved until nothing is left between: the shortest time by which so many are done.
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if self.done_within(middle, &parts) >= quantile { high = middle } else { low = middle }
        }
        Some((high * step()).exp())
    }

    /// The part of all that is done within a time, by its logarithm in steps of the grid.
    fn done_within(&self, time: f64, parts: &[f64; 6]) -> f64 {
        let of_curve = |curve: &Curve| {
            let of_part = |part: &f64| {
                let place = time - curve.place - part;
                if place < 0.0 { 0.0 } else { curve.up_to[(place as usize).min(PACES - 1)] }
            };
            parts.iter().map(of_part).sum::<f64>()
        };
        self.curves.iter().map(of_curve).sum::<f64>() / parts.len() as f64
    }
}

/// From one pace of the grid to the next, on the logarithm.
fn step() -> f64 {
    grid::log_pace(1) - grid::log_pace(0)
}

/// Days to a loss on a curve whose pace is one day; `None`: it ends before.
fn days_of_one(loss: f64, end: f64, bend: f64) -> Option<f64> {
    let part = loss / end;
    (part < 1.0).then(|| (part / (1.0 - part)).powf(1.0 / bend))
}
