//! How far the pieces of a batch are, and the batch as a whole.

use super::target::{self, Green, Target};
use crate::quantity::{Fraction, Mass};
use crate::record::ids::PieceNumber;
use crate::record::state::{BatchState, Piece};
use chrono::{DateTime, NaiveDate, Utc};

/// How far one piece is.
#[derive(Debug, Clone, PartialEq)]
pub struct PieceProgress {
    /// Its number.
    pub number: PieceNumber,
    /// As it was hung.
    pub green: Green,
    /// Its last net weight; the green weight until it is weighed.
    pub now: Mass,
    /// When that was.
    pub weighed_at: DateTime<Utc>,
    /// The part of the green weight that is gone.
    pub loss: Fraction,
    /// Its target, where the batch has a target loss.
    pub target: Option<Target>,
    /// How much is still to go to it.
    pub left_to_lose: Option<Mass>,
    /// Whether it is there.
    pub reached: bool,
}

/// The loss of a batch on one day.
#[derive(Debug, Clone, PartialEq)]
pub struct BatchLoss {
    /// The last weighing that counts.
    pub at: DateTime<Utc>,
    /// 1 − sum of weights now ÷ sum of green weights, over the same pieces.
    pub loss: Fraction,
    /// The pieces it is over.
    pub pieces: Vec<PieceNumber>,
    /// Whether the batch was weighed as a whole.
    pub weighed_as_a_whole: bool,
}

/// How far a batch is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BatchProgress {
    /// The pieces that still hang, by number.
    pub pieces: Vec<PieceProgress>,
    /// Its loss on the last day on which anything was weighed.
    pub batch: Option<BatchLoss>,
}

impl BatchProgress {
    /// Looks at a batch. `day_of` says on which day, in the member's zone, a moment falls.
    pub fn of(batch: &BatchState, day_of: impl Fn(DateTime<Utc>) -> NaiveDate) -> Self {
        let pieces: Vec<_> =
            batch.hanging().filter_map(|piece| piece_progress(piece, batch.plan.target_loss)).collect();
        let apart = loss_of_pieces(&pieces, batch, &day_of);
        let whole = loss_of_whole(batch);
        let batch = match (apart, whole) {
            (Some(apart), Some(whole)) if whole.at > apart.at => Some(whole),
            (None, whole) => whole,
            (apart, _) => apart,
        };
        Self { pieces, batch }
    }

    /// Whether every piece that still hangs has reached its target. A batch without pieces has not.
    pub fn all_reached(&self) -> bool {
        !self.pieces.is_empty() && self.pieces.iter().all(|piece| piece.reached)
    }
}

/// `None` for a piece whose kept weights are impossible (a tare set later that is heavier than the piece).
fn piece_progress(piece: &Piece, target_loss: Option<Fraction>) -> Option<PieceProgress> {
    let green = Green::from_scale(piece.hung.hung, piece.hung.tare).ok()?;
    let last = piece.since_hung().last();
    let on_scale = last.map_or(piece.hung.hung, |weighing| weighing.gross);
    let now = green.net_at(on_scale).ok()?;
    let loss = target::loss(green.net(), now);
    let target = target_loss.and_then(|loss| green.target(loss).ok());
    Some(PieceProgress {
        number: piece.hung.number,
        green,
        now,
        weighed_at: last.map_or(piece.hung_at, |weighing| weighing.at),
        loss,
        target,
        left_to_lose: target.and_then(|target| target.left_to_lose(on_scale).ok()),
        reached: target.is_some_and(|target| target.is_reached_at(loss)),
    })
}

/// Over the pieces weighed on the last day on which any was, and no others.
fn loss_of_pieces(
    pieces: &[PieceProgress],
    batch: &BatchState,
    day_of: &impl Fn(DateTime<Utc>) -> NaiveDate,
) -> Option<BatchLoss> {
    let weighed = pieces.iter().filter(|piece| {
        let kept = batch.piece(piece.number);
        kept.is_some_and(|kept| kept.since_hung().last().is_some())
    });
    let weighed: Vec<_> = weighed.collect();
    let at = weighed.iter().map(|piece| piece.weighed_at).max()?;
    let that_day = weighed.into_iter().filter(|piece| day_of(piece.weighed_at) == day_of(at));
    let that_day: Vec<_> = that_day.collect();
    let green: Mass = that_day.iter().map(|piece| piece.green.net()).sum();
    let now: Mass = that_day.iter().map(|piece| piece.now).sum();
    Some(BatchLoss {
        at,
        loss: target::loss(green, now),
        pieces: that_day.iter().map(|piece| piece.number).collect(),
        weighed_as_a_whole: false,
    })
}

/// The last weighing of the whole batch, over the pieces that hung at that time.
fn loss_of_whole(batch: &BatchState) -> Option<BatchLoss> {
    let total = batch.total_weighings.last()?;
    let hung_then = |piece: &&Piece| {
        piece.hung_at <= total.at && piece.left.is_none_or(|(_, left_at)| left_at > total.at)
    };
    let then: Vec<_> = batch.pieces.iter().filter(hung_then).collect();
    let tare: Mass = then.iter().map(|piece| piece.hung.tare).sum();
    let gross: Mass = then.iter().map(|piece| piece.hung.hung).sum();
    let green = Green::from_scale(gross, tare).ok()?;
    Some(BatchLoss {
        at: total.at,
        loss: green.loss_at(total.gross).ok()?,
        pieces: then.iter().map(|piece| piece.hung.number).collect(),
        weighed_as_a_whole: true,
    })
}

#[cfg(test)]
mod tests;
