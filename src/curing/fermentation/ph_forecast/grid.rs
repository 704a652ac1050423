//! The sticks, and how much each of them weighs.
//!
//! `g = w · (softplus((τ − λ) / w) − softplus(−λ / w))` with `w = 2.5 + 0.15 λ` are the hours of falling at τ equivalent
//! hours after a lag λ, and `pH = F + A · exp(−r · (g − g₁) / A)` with `A = pH₁ + p − F`: from the first reading on, which
//! may be off by p, it falls by r an hour towards the floor F, from which it is far (a straight line) or not so far.

use super::points::SourReading;

pub(super) const LAGS: usize = 26;
pub(super) const RATES: usize = 34;

/// Floors with the share of each. The first is so far away that the line is straight.
const FLOORS: [(f64, f64); 4] = [(-10.0, 0.80), (4.6, 0.07), (4.85, 0.07), (5.1, 0.06)];
/// What the first reading may be off, in its own widths, and how that is spread: 0.06 and 0.05 by a meter.
const OFFSETS: [f64; 3] = [-0.06 / 0.045, 0.0, 0.06 / 0.045];
const OFFSET_SPREAD: f64 = 0.05 / 0.045;
/// The least that lies between the first reading and a floor.
const LEAST_DEPTH: f64 = 0.15;
/// Lags and rates: the ends of the grid, the middle of what is expected, and its width in the logarithm.
const LAG_HOURS: (f64, f64, f64, f64) = (1.5, 90.0, 12.0, 0.8);
const RATE_PER_HOUR: (f64, f64, f64, f64) = (0.003, 0.25, 0.032, 0.65);
/// Degrees of freedom of the errors.
const FREEDOM: f64 = 4.0;
/// How much more a reading of the beginning may be off at the end, in pH.
const AGE_OFF: f64 = 0.06;
/// Sticks that weigh less than this part of the heaviest are left out.
const LIGHT: f64 = 1e-5;

/// The shape of a lag: where the line bends, how softly, and what was fallen by the beginning.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bend {
    lag: f64,
    softness: f64,
    at_start: f64,
}

/// One stick with its weight.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stick {
    pub(super) weight: f64,
    pub(super) rate: f64,
    bend: Bend,
    floor: f64,
    depth: f64,
    /// Hours of falling at the first reading.
    first: f64,
}

impl Bend {
    fn of(lag: f64) -> Self {
        let softness = 2.5 + 0.15 * lag;
        Self { lag, softness, at_start: softplus(-lag / softness) }
    }

    /// Hours of falling.
    fn fallen(self, hours: f64) -> f64 {
        self.softness * (softplus((hours - self.lag) / self.softness) - self.at_start)
    }

    /// The equivalent hours at which there were so many hours of falling.
    fn hours(self, fallen: f64) -> f64 {
        let soft = fallen / self.softness + self.at_start;
        // The inverse of softplus, ln(eˢ − 1), without eˢ.
        self.lag + self.softness * (soft + (-(-soft).exp()).ln_1p())
    }
}

impl Stick {
    /// The pH at a time.
    pub(super) fn ph(&self, hours: f64) -> f64 {
        self.floor + self.depth * (-self.rate * (self.bend.fallen(hours) - self.first) / self.depth).exp()
    }

    /// When a pH is reached, in equivalent hours from the beginning; `None`: never.
    pub(super) fn reaches(&self, ph: f64) -> Option<f64> {
        let left = ph - self.floor;
        if left <= 0.0 {
            return None;
        }
        let fallen = self.first + (self.depth / self.rate) * (self.depth / left).ln();
        Some(if fallen <= 0.0 { 0.0 } else { self.bend.hours(fallen) })
    }
}

fn softplus(value: f64) -> f64 {
    value.max(0.0) + (-value.abs()).exp().ln_1p()
}

/// The sticks that weigh anything, their weights summing to 1. Readings in order of time, at least two.
pub(super) fn weigh(readings: &[SourReading]) -> Vec<Stick> {
    let Some((first, later)) = readings.split_first() else { return Vec::new() };
    let last = later.last().map_or(first.hours, |reading| reading.hours);
    let precision: Vec<f64> = later.iter().map(|reading| 1.0 / variance(reading, last)).collect();
    let mut sticks = Vec::with_capacity(LAGS * RATES * FLOORS.len() * OFFSETS.len());
    let mut logarithms = Vec::with_capacity(sticks.capacity());
    for lag_index in 0..LAGS {
        let (lag, of_lag) = node(lag_index, LAGS, LAG_HOURS);
        let bend = Bend::of(lag);
        let start = bend.fallen(first.hours);
        let fallen: Vec<f64> = later.iter().map(|reading| bend.fallen(reading.hours) - start).collect();
        for rate_index in 0..RATES {
            let (rate, of_rate) = node(rate_index, RATES, RATE_PER_HOUR);
            for (floor, share) in FLOORS {
                for offset in OFFSETS {
                    let depth = (first.ph + offset * first.width - floor).max(LEAST_DEPTH);
                    let of_offset = -0.5 * (offset / OFFSET_SPREAD).powi(2);
                    let through = fit((floor, depth, rate), &fallen, later, &precision);
                    sticks.push(Stick { weight: share, rate, bend, floor, depth, first: start });
                    logarithms.push(of_lag + of_rate + of_offset + through);
                }
            }
        }
    }
    weighted(sticks, &logarithms)
}

fn weighted(mut sticks: Vec<Stick>, logarithms: &[f64]) -> Vec<Stick> {
    let highest = logarithms.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    for (stick, logarithm) in sticks.iter_mut().zip(logarithms) {
        stick.weight *= (logarithm - highest).exp();
    }
    let heaviest = sticks.iter().map(|stick| stick.weight).fold(0.0, f64::max);
    sticks.retain(|stick| stick.weight >= heaviest * LIGHT);
    let all: f64 = sticks.iter().map(|stick| stick.weight).sum();
    for stick in &mut sticks {
        stick.weight /= all;
    }
    sticks
}

/// A node of a grid that is even in the logarithm, and the logarithm of how much is expected of it.
fn node(index: usize, count: usize, (from, to, middle, width): (f64, f64, f64, f64)) -> (f64, f64) {
    let part = index as f64 / (count - 1) as f64;
    let logarithm = from.ln() + (to / from).ln() * part;
    (logarithm.exp(), -0.5 * ((logarithm - middle.ln()) / width).powi(2))
}

/// The logarithm of how well a stick goes through the readings: one logarithm of a product.
fn fit(
    (floor, depth, rate): (f64, f64, f64),
    fallen: &[f64],
    readings: &[SourReading],
    precision: &[f64],
) -> f64 {
    let mut product = 1.0;
    for ((fallen, reading), precision) in fallen.iter().zip(readings).zip(precision) {
        let off = floor + depth * (-rate * fallen / depth).exp() - reading.ph;
        product *= 1.0 + off * off * precision / FREEDOM;
    }
    -0.5 * (FREEDOM + 1.0) * product.ln()
}

fn variance(reading: &SourReading, last: f64) -> f64 {
    let age = AGE_OFF * (last - reading.hours) / last.max(1.0);
    reading.width.powi(2) + age.powi(2)
}

/// The fall an hour that is expected after all.
pub(super) fn expected_rate(sticks: &[Stick]) -> f64 {
    sticks.iter().map(|stick| stick.weight * stick.rate).sum()
}
