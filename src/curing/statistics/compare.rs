//! One batch beside the group's of its class and band, and beside its owner's earlier ones of its class. No verdict.

use super::dryings::{CURVE_DAYS, OnDay, chosen, curve, loss_on, losses_on, median_loss};
use super::enough::Missing;
use super::quartiles::Quartiles;
use crate::curing::drying::finished::{DriedBatch, Ended, LossCurve};
use crate::quantity::Fraction;
use crate::record::{BatchKind, BatchState, PieceNumber};

/// Pieces weighed so shortly before the last one were weighed in the same round, in days.
const ONE_ROUND_DAYS: f64 = 0.5;

/// A batch beside others: what is said, and what a chart of it needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Days since hanging at its last weighing.
    pub day: f64,
    /// The loss of its median piece then.
    pub loss: Fraction,
    /// The losses of each of its pieces.
    pub pieces: Vec<(PieceNumber, LossCurve)>,
    /// What the group's batches had lost on that day; `None` where its thickness is not known.
    pub group: Option<Result<Quartiles, Missing>>,
    /// The group's losses by day.
    pub band: Vec<OnDay>,
    /// What its owner's earlier batches had lost on that day, the latest first.
    pub own: Vec<Fraction>,
}

/// Kinds that dry alike: of one class.
pub const fn class_of(kind: BatchKind) -> &'static [BatchKind] {
    match kind {
        BatchKind::FermentedSausage | BatchKind::DriedSausage => {
            &[BatchKind::FermentedSausage, BatchKind::DriedSausage]
        }
        BatchKind::WholeMuscle => &[BatchKind::WholeMuscle],
    }
}

impl Comparison {
    /// Of a batch, with what its group shows and what is its owner's own, in which it may stand itself; `None` before a
    /// piece of it was weighed.
    pub fn of(state: &BatchState, shown: &[DriedBatch], own: &[DriedBatch]) -> Option<Self> {
        let pieces: Vec<(PieceNumber, LossCurve)> = state
            .pieces
            .iter()
            .filter_map(|piece| LossCurve::of_piece(piece).map(|curve| (piece.hung.number, curve)))
            .collect();
        let last_day = |curve: &LossCurve| curve.points().last().map(|point| point.day);
        let day = pieces.iter().filter_map(|(_, curve)| last_day(curve)).max_by(f64::total_cmp)?;
        let loss = median_loss(pieces.iter().map(|(_, curve)| curve), |curve| loss_by_round(curve, day))?;
        let mut group = chosen(shown, class_of(state.plan.kind), state.plan.thickness);
        group.retain(|batch| batch.id != state.id);
        let days: Vec<f64> = CURVE_DAYS.into_iter().map(f64::from).collect();
        let has_band = state.plan.thickness.is_some();
        Some(Self {
            day,
            loss: Fraction::of_one(loss),
            group: has_band.then(|| losses_on(&group, day)),
            band: if has_band { curve(&group, &days) } else { Vec::new() },
            own: earlier(state, own, day),
            pieces,
        })
    }
}

/// A piece's loss on a day, or when it was weighed in the same round shortly before.
fn loss_by_round(curve: &LossCurve, day: f64) -> Option<f64> {
    let last = curve.points().last()?;
    let on_day = curve.loss_at(day).map(Fraction::as_one);
    on_day.or_else(|| (day - last.day <= ONE_ROUND_DAYS).then(|| last.loss.as_one()))
}

fn earlier(state: &BatchState, own: &[DriedBatch], day: f64) -> Vec<Fraction> {
    let hung_at = state.pieces.iter().map(|piece| piece.hung_at).min();
    let mut earlier: Vec<&DriedBatch> = own
        .iter()
        .filter(|batch| batch.id != state.id && batch.owner == state.plan.owner)
        .filter(|batch| batch.ended == Ended::Finished && class_of(state.plan.kind).contains(&batch.kind))
        .filter(|batch| batch.hung_at < hung_at)
        .collect();
    earlier.sort_by_key(|batch| std::cmp::Reverse((batch.hung_at, batch.id)));
    earlier.into_iter().filter_map(|batch| loss_on(batch, day)).map(Fraction::of_one).collect()
}
