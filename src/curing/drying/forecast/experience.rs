//! What finished batches say of the curve to expect: one's own, of this chamber or another, and those that others shared.
//!
//! A batch that took longer or shorter than its class and diameter let expect, or whose curve bent otherwise, did so for
//! several reasons, and each has its part of the variance: what the whole group has in common (its climate, its casings),
//! what one member does, what one chamber does, and what belongs to that batch alone. The parts add up to the variance of
//! a piece of which nothing is known, so that without a finished batch the forecast is the base engine's. What to expect
//! is the normal distribution under the condition of all batches that were seen: one batch moves it a little, ten of the
//! same chamber most of the way, and those of others less than one's own.

use super::prior::{Class, Normal, Prior};
use crate::curing::drying::finished::FinishedDrying;
use crate::quantity::{Fraction, Length};
use crate::record::ChamberId;
use std::collections::BTreeMap;

/// Who made a batch, and where it hung. Numbers without a meaning outside one forecast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Maker {
    /// The member; 0 is who asks.
    pub member: usize,
    /// The chamber.
    pub chamber: ChamberId,
}

/// A batch that reached its target.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FinishedBatch {
    /// What it was.
    pub class: Class,
    /// Diameter or thickness when hung.
    pub diameter: Option<Length>,
    /// The loss it reached.
    pub lost: Fraction,
    /// Days since it was hung when it had lost half of that, where weighings tell.
    pub days_to_half: Option<f64>,
    /// Days since it was hung when it had lost all of that.
    pub days: f64,
    /// Whose.
    pub maker: Maker,
}

impl FinishedBatch {
    /// From finished pieces: a batch counts once, by its middle piece. One's own come first, the newest before the older.
    pub fn all(dryings: &[FinishedDrying]) -> Vec<Self> {
        let mut batches: BTreeMap<_, Vec<Self>> = BTreeMap::new();
        for drying in dryings {
            let place = (!drying.is_own, std::cmp::Reverse(drying.batch));
            batches.entry(place).or_default().extend(Self::of(drying));
        }
        let middle = |mut pieces: Vec<Self>| {
            pieces.sort_by(|one, other| one.days.total_cmp(&other.days));
            pieces.get(pieces.len().saturating_sub(1) / 2).copied()
        };
        batches.into_values().filter_map(middle).collect()
    }

    /// Of a piece that lost enough to be compared; what it lost beyond its target tells nothing of the next one.
    fn of(drying: &FinishedDrying) -> Option<Self> {
        /// Of less, the curve says little; more, and it lies near its end.
        const COMPARED: std::ops::RangeInclusive<f64> = 0.15..=0.40;
        let most = drying.curve.points().iter().map(|point| point.loss.as_one()).fold(0.0, f64::max);
        let lost = Fraction::of_one(most.min(*COMPARED.end()));
        if !COMPARED.contains(&lost.as_one()) {
            return None;
        }
        Some(Self {
            class: Class::of(drying.kind),
            diameter: drying.thickness,
            lost,
            days_to_half: drying.curve.day_of(Fraction::of_one(lost.as_one() / 2.0)),
            days: drying.curve.day_of(lost)?,
            maker: Maker { member: drying.member, chamber: drying.chamber },
        })
    }
}

/// The curve to expect beside what class and diameter say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expectation {
    /// Added to the logarithm of the pace, and the part of its variance that is left.
    pub(super) pace: Learnt,
    /// Added to the bend, and the part of its variance that is left.
    pub(super) bend: Learnt,
    /// Finished batches it rests on.
    pub batches: usize,
}

/// What was learnt of one figure of the curve, in its standard deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Learnt {
    pub(super) shift: f64,
    pub(super) variance: f64,
}

impl Learnt {
    const NOTHING: Self = Self { shift: 0.0, variance: 1.0 };

    /// A normal distribution of the class with this in it.
    pub(super) fn of(self, normal: Normal) -> Normal {
        Normal {
            middle: normal.middle + self.shift * normal.width,
            width: normal.width * self.variance.sqrt(),
        }
    }
}

/// Parts of the variance. How it parts is judgement, held against simulated groups (see DEVELOPERS.md).
const OF_GROUP: f64 = 0.25;
const OF_MEMBER: f64 = 0.25;
const OF_CHAMBER: f64 = 0.11;
const OF_BATCH: f64 = 0.39;
/// The newest batches that count: more do not change the answer.
const MOST: usize = 80;

impl Default for Expectation {
    fn default() -> Self {
        Self { pace: Learnt::NOTHING, bend: Learnt::NOTHING, batches: 0 }
    }
}

impl Expectation {
    /// What finished batches of the same class, the newest first, let expect of the next one of a maker.
    pub fn of(class: Class, maker: Maker, finished: &[FinishedBatch]) -> Self {
        let alike: Vec<&FinishedBatch> =
            finished.iter().filter(|batch| batch.class == class).take(MOST).collect();
        let paces: Vec<Seen> = alike.iter().filter_map(|batch| pace(batch)).collect();
        let bends: Vec<Seen> = alike.iter().filter_map(|batch| bend(batch)).collect();
        Self { pace: learn(maker, &paces), bend: learn(maker, &bends), batches: paces.len() }
    }
}

/// How far a figure of a finished batch lay from the middle of its class, in standard deviations.
struct Seen {
    maker: Maker,
    off: f64,
    /// Variance beside the batch's own.
    noise: f64,
}

fn pace(batch: &FinishedBatch) -> Option<Seen> {
    let prior = Prior::of(batch.class, batch.diameter);
    let expected = prior.days_of_middle(batch.lost.as_one())?;
    let known = Prior::KNOWN_DIAMETER;
    let noise = if batch.diameter.is_some() { 0.0 } else { (prior.pace.width / known).powi(2) - 1.0 };
    let off = (batch.days / expected).ln() / known;
    off.is_finite().then_some(Seen { maker: batch.maker, off, noise })
}

fn bend(batch: &FinishedBatch) -> Option<Seen> {
    /// What weighings some days apart leave open of a bend, beside the class's own variance.
    const NOISE: f64 = 1.5;
    let prior = Prior::of(batch.class, batch.diameter);
    let lost = batch.lost.as_one();
    let between = prior.rise(lost)? - prior.rise(lost / 2.0)?;
    let bend = between / (batch.days / batch.days_to_half?).ln();
    let off = (bend - prior.bend.middle) / prior.bend.width;
    // Beyond three it is a slip of the record, not a curve.
    off.is_finite().then_some(Seen { maker: batch.maker, off: off.clamp(-3.0, 3.0), noise: NOISE })
}

/// The normal distribution of the next batch under the condition of those that were seen (Cholesky).
fn learn(maker: Maker, seen: &[Seen]) -> Learnt {
    let Some(lower) = factor(seen) else { return Learnt::NOTHING };
    // Both solved down the same triangle: their products are what a full solution would give.
    let off = forward(&lower, seen.iter().map(|seen| seen.off));
    let weights = forward(&lower, seen.iter().map(|seen| in_common(maker, seen.maker)));
    let shift = weights.iter().zip(&off).map(|(weight, off)| weight * off).sum();
    let known: f64 = weights.iter().map(|weight| weight * weight).sum();
    Learnt { shift, variance: 1.0 - known }
}

fn in_common(one: Maker, other: Maker) -> f64 {
    match (one.member == other.member, one.chamber == other.chamber) {
        (true, true) => OF_GROUP + OF_MEMBER + OF_CHAMBER,
        (true, false) => OF_GROUP + OF_MEMBER,
        (false, _) => OF_GROUP,
    }
}

/// The lower triangle whose product with itself is the covariance of what was seen.
fn factor(seen: &[Seen]) -> Option<Vec<Vec<f64>>> {
    let mut lower: Vec<Vec<f64>> = Vec::with_capacity(seen.len());
    for (row, one) in seen.iter().enumerate() {
        let mut line: Vec<f64> = Vec::with_capacity(row + 1);
        for (above, other) in lower.iter().zip(seen) {
            let known: f64 = line.iter().zip(above).map(|(one, other)| one * other).sum();
            line.push((in_common(one.maker, other.maker) - known) / above.last()?);
        }
        let known: f64 = line.iter().map(|value| value * value).sum();
        let left = in_common(one.maker, one.maker) + OF_BATCH + one.noise - known;
        line.push(if left > 0.0 { left.sqrt() } else { return None });
        lower.push(line);
    }
    Some(lower)
}

fn forward(lower: &[Vec<f64>], right: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut solved: Vec<f64> = Vec::with_capacity(lower.len());
    for (line, right) in lower.iter().zip(right) {
        let known: f64 = line.iter().zip(&solved).map(|(one, other)| one * other).sum();
        solved.push((right - known) / line.last().copied().unwrap_or(1.0));
    }
    solved
}
