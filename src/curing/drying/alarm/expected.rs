//! The pace that was expected of a piece when it was hung.

use crate::curing::drying::forecast::{Class, Piece, base_window};
use crate::quantity::Mass;
use crate::record::BatchPlan;

/// The loss that the forecast expected a day, as a part of the green weight: the loss aimed at over the days to it that
/// half of such pieces take by the base engine, before any weighing. `None` without a loss aimed at, or where the forecast has none.
///
/// Pieces slow down, so a stall near the end is held against more than was expected just there; the quarter it is held
/// against leaves room for that.
pub(super) fn a_day(plan: &BatchPlan) -> Option<f64> {
    let target = plan.target_loss?;
    // Before any weighing the green weight does not count.
    let green = Mass::grams(1000.0);
    let class = Class::of(plan.kind);
    let piece = Piece { class, diameter: plan.thickness, green, weighings: Vec::new(), target };
    let days = base_window(&piece).ok()?.p50?;
    (days > 0.0).then(|| target.as_one() / days)
}
