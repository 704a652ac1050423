//! Days from hanging to the target, and losses by day, over batches.

use super::band::Band;
use super::enough::{self, Missing, OfBatch};
use super::quartiles::{Quartiles, median};
use crate::curing::drying::finished::{DriedBatch, Ended, LossCurve};
use crate::quantity::{Fraction, Length};
use crate::record::BatchKind;
use std::collections::BTreeMap;

/// The days since hanging at which typical losses are told: often at first, when most is lost (this project's choice).
pub const CURVE_DAYS: [u32; 10] = [3, 7, 14, 21, 28, 42, 60, 90, 120, 180];

/// A kind and a band of thickness, and how long its batches took.
#[derive(Debug, Clone, PartialEq)]
pub struct Cell {
    /// Which kind.
    pub kind: BatchKind,
    /// How thick; `None`: its owners did not say.
    pub band: Option<Band>,
    /// Days from hanging to the target.
    pub days: Result<Quartiles, Missing>,
}

/// Losses on a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnDay {
    /// Days since hanging.
    pub day: f64,
    /// The part of the green weight that was gone.
    pub loss: Quartiles,
}

/// How batches of one formulation ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcomes {
    /// How many there were.
    pub batches: usize,
    /// How many were thrown away.
    pub discarded: usize,
    /// Days from hanging to the target, where enough got there.
    pub days: Option<Quartiles>,
}

/// Kind and band of a batch.
pub fn cell_of(batch: &DriedBatch) -> (BatchKind, Option<Band>) {
    (batch.kind, batch.thickness.map(Band::of))
}

/// Every cell that has a batch, by kind and band.
pub fn cells(batches: &[&DriedBatch]) -> Vec<Cell> {
    let mut found: BTreeMap<_, Vec<&DriedBatch>> = BTreeMap::new();
    for batch in batches {
        let (kind, band) = cell_of(batch);
        found.entry((place(kind), band)).or_default().push(batch);
    }
    let of = |batches: Vec<&DriedBatch>| {
        let (kind, band) = cell_of(batches.first()?);
        Some(Cell { kind, band, days: days_to_target(&batches) })
    };
    found.into_values().filter_map(of).collect()
}

fn place(kind: BatchKind) -> Option<usize> {
    BatchKind::ALL.iter().position(|other| *other == kind)
}

/// Days from hanging to the target, over finished batches.
pub fn days_to_target(batches: &[&DriedBatch]) -> Result<Quartiles, Missing> {
    over(batches, target_day)
}

/// Losses on a day, over finished batches: of each the median of its pieces that still hung and were weighed then or
/// later.
pub fn losses_on(batches: &[&DriedBatch], day: f64) -> Result<Quartiles, Missing> {
    over(batches, |batch| loss_on(batch, day))
}

/// The losses on each of some days on which enough batches still hung.
pub fn curve(batches: &[&DriedBatch], days: &[f64]) -> Vec<OnDay> {
    let on = |day: &f64| losses_on(batches, *day).ok().map(|loss| OnDay { day: *day, loss });
    days.iter().filter_map(on).collect()
}

/// How batches ended: enough of them, or what is missing.
pub fn outcomes(batches: &[&DriedBatch]) -> Result<Outcomes, Missing> {
    enough::enough(batches.iter().map(|batch| batch.owner))?;
    let discarded = batches.iter().filter(|batch| batch.ended == Ended::Discarded).count();
    Ok(Outcomes { batches: batches.len(), discarded, days: days_to_target(batches).ok() })
}

/// Days from hanging to a batch's target: of the median of its pieces that got there.
pub fn target_day(batch: &DriedBatch) -> Option<f64> {
    median(batch.pieces.iter().filter_map(|piece| piece.target_day).collect())
}

/// A batch's loss on a day: that of its median piece.
pub(super) fn loss_on(batch: &DriedBatch, day: f64) -> Option<f64> {
    median_loss(batch.pieces.iter().map(|piece| &piece.curve), |curve| {
        curve.loss_at(day).map(Fraction::as_one)
    })
}

pub(super) fn median_loss<'a>(
    curves: impl Iterator<Item = &'a LossCurve>,
    loss: impl Fn(&LossCurve) -> Option<f64>,
) -> Option<f64> {
    median(curves.filter_map(loss).collect())
}

fn over(batches: &[&DriedBatch], value: impl Fn(&DriedBatch) -> Option<f64>) -> Result<Quartiles, Missing> {
    let finished = batches.iter().filter(|batch| batch.ended == Ended::Finished);
    let values = finished.filter_map(|batch| {
        value(batch).map(|value| OfBatch {
            batch: batch.id,
            member: batch.owner,
            ended_at: batch.ended_at,
            value,
        })
    });
    enough::quartiles(values.collect())
}

/// The batches of some kinds, and of the band a thickness lies in where one is named.
pub fn chosen<'a>(
    batches: &'a [DriedBatch],
    kinds: &[BatchKind],
    thickness: Option<Length>,
) -> Vec<&'a DriedBatch> {
    let band = thickness.map(Band::of);
    let is_in_band = |batch: &DriedBatch| band.is_none() || batch.thickness.map(Band::of) == band;
    batches.iter().filter(|batch| kinds.contains(&batch.kind) && is_in_band(batch)).collect()
}
