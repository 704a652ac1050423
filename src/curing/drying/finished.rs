//! Dryings that are over: how much each piece had lost by which day. What later ones are held against.
//!
//! A loss between two weighings, and the day on which a loss was reached, lie on the straight line between them: derived,
//! not measured. Beyond the last weighing nothing is said.

use crate::quantity::{Fraction, Length};
use crate::record::state::Piece;
use crate::record::{BatchId, BatchKind, BatchStage, BatchState, ChamberId, MemberId, PieceFate};
use crate::record::{PieceNumber, hours_between};
use chrono::{DateTime, Utc};
use std::sync::Arc;

/// A weighing as a loss.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LossAt {
    /// Days since the piece was hung.
    pub day: f64,
    /// The part of the green weight that was gone.
    pub loss: Fraction,
}

/// The weighings of a piece since it was hung, by day; of two at one moment the later entry. Before them stands a loss
/// of nothing on day 0, which is not among them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LossCurve(Arc<[LossAt]>);

impl LossCurve {
    /// Of a piece, up to when it left; `None` where its kept weights are impossible.
    pub fn of_piece(piece: &Piece) -> Option<Self> {
        let green_g = piece.green().as_grams();
        let until = piece.left.map_or(DateTime::<Utc>::MAX_UTC, |(_, at)| at);
        let mut weighings: Vec<_> = piece
            .weighings
            .iter()
            .filter(|weighing| piece.hung_at < weighing.at && weighing.at <= until)
            .collect();
        weighings.sort_by_key(|weighing| (weighing.at, weighing.event));
        let mut curve: Vec<LossAt> = Vec::with_capacity(weighings.len());
        for weighing in weighings {
            let net_g = (weighing.gross - piece.hung.tare).as_grams();
            if !(green_g > 0.0 && net_g > 0.0) {
                return None;
            }
            let day = hours_between(piece.hung_at, weighing.at) / 24.0;
            let point = LossAt { day, loss: Fraction::of_one(1.0 - net_g / green_g) };
            match curve.last_mut() {
                Some(last) if last.day >= day => *last = point,
                _ => curve.push(point),
            }
        }
        Some(Self(curve.into()))
    }

    /// The weighings, the first first.
    pub fn points(&self) -> &[LossAt] {
        &self.0
    }

    /// The loss on a day since it was hung; `None` after its last weighing.
    pub fn loss_at(&self, day: f64) -> Option<Fraction> {
        self.spans().find(|(from, to)| from.day <= day && day <= to.day).map(|(from, to)| {
            let part = (day - from.day) / (to.day - from.day);
            Fraction::of_one(from.loss.as_one() + part * (to.loss.as_one() - from.loss.as_one()))
        })
    }

    /// The first day on which it had lost so much; `None` where it never had.
    pub fn day_of(&self, loss: Fraction) -> Option<f64> {
        let wanted = loss.as_one();
        self.spans().find(|(_, to)| to.loss.as_one() >= wanted).map(|(from, to)| {
            let part = (wanted - from.loss.as_one()) / (to.loss.as_one() - from.loss.as_one());
            from.day + part * (to.day - from.day)
        })
    }

    /// Two neighbours each, beginning with the hanging.
    fn spans(&self) -> impl Iterator<Item = (LossAt, LossAt)> {
        let hung = LossAt { day: 0.0, loss: Fraction::of_one(0.0) };
        std::iter::once(hung).chain(self.0.iter().copied()).zip(self.0.iter().copied())
    }
}

/// How a batch ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// Finished, with a piece of it kept or eaten.
    Finished,
    /// Thrown away, as a batch or piece by piece.
    Discarded,
}

/// A piece of a batch that is over.
#[derive(Debug, Clone, PartialEq)]
pub struct DriedPiece {
    /// Its number.
    pub number: PieceNumber,
    /// Its losses.
    pub curve: LossCurve,
    /// Days from hanging to the batch's target loss, on the line between the weighings around it; `None` where it left
    /// or ended before, or the batch had no target.
    pub target_day: Option<f64>,
}

/// A batch that is over.
#[derive(Debug, Clone, PartialEq)]
pub struct DriedBatch {
    /// Its number.
    pub id: BatchId,
    /// Whose it is.
    pub owner: MemberId,
    /// What its owner called it.
    pub name: String,
    /// Which kind.
    pub kind: BatchKind,
    /// Casing diameter or thickness, where it was said.
    pub thickness: Option<Length>,
    /// Where it hung longest.
    pub chamber: ChamberId,
    /// When the first of its pieces was hung; `None` where none was.
    pub hung_at: Option<DateTime<Utc>>,
    /// How it ended.
    pub ended: Ended,
    /// When it ended.
    pub ended_at: DateTime<Utc>,
    /// Its pieces by number, without those whose kept weights are impossible.
    pub pieces: Arc<[DriedPiece]>,
}

impl DriedBatch {
    /// Of a batch; `None` while it goes on.
    pub fn of(state: &BatchState) -> Option<Self> {
        let (stage, ended_at) = state.stage();
        if !stage.is_over() {
            return None;
        }
        let threw_all_away = !state.pieces.is_empty()
            && state.pieces.iter().all(|piece| matches!(piece.left, Some((PieceFate::Discarded, _))));
        let ended =
            if stage == BatchStage::Discarded || threw_all_away { Ended::Discarded } else { Ended::Finished };
        let mut pieces: Vec<DriedPiece> =
            state.pieces.iter().filter_map(|piece| dried(piece, state.plan.target_loss)).collect();
        pieces.sort_by_key(|piece| piece.number);
        Some(Self {
            id: state.id,
            owner: state.plan.owner,
            name: state.plan.name.clone(),
            kind: state.plan.kind,
            thickness: state.plan.thickness,
            chamber: hung_longest_in(state, ended_at),
            hung_at: state.pieces.iter().map(|piece| piece.hung_at).min(),
            ended,
            ended_at,
            pieces: pieces.into(),
        })
    }
}

fn dried(piece: &Piece, target: Option<Fraction>) -> Option<DriedPiece> {
    let curve = LossCurve::of_piece(piece)?;
    let target_day = target.and_then(|target| curve.day_of(target));
    Some(DriedPiece { number: piece.hung.number, curve, target_day })
}

/// The chamber of its longest stay between hanging and end.
fn hung_longest_in(state: &BatchState, ended_at: DateTime<Utc>) -> ChamberId {
    let hung_at = state.pieces.iter().map(|piece| piece.hung_at).min().unwrap_or(ended_at);
    let ends = state.stays.iter().skip(1).map(|(_, at)| *at).chain(std::iter::once(ended_at));
    let stays = state.stays.iter().zip(ends).map(|((chamber, from), to)| {
        let hours = hours_between((*from).max(hung_at), to.min(ended_at));
        (*chamber, hours)
    });
    let longest = stays.filter(|(_, hours)| *hours > 0.0).max_by(|(_, one), (_, other)| one.total_cmp(other));
    longest.map_or_else(|| state.chamber(), |(chamber, _)| chamber)
}

/// One finished drying of a piece, as later forecasts learn from it: who and which batch are numbers that only tell apart
/// and mean nothing elsewhere.
#[derive(Debug, Clone, PartialEq)]
pub struct FinishedDrying {
    /// Tells batches apart: the pieces of one have the same.
    pub batch: usize,
    /// Tells members apart.
    pub member: usize,
    /// Whether it is the asking member's own.
    pub is_own: bool,
    /// Whether its owner shows it to the group; a member's own counts for them either way.
    pub is_shared: bool,
    /// Which kind.
    pub kind: BatchKind,
    /// Casing diameter or thickness, where it was said.
    pub thickness: Option<Length>,
    /// Where it hung longest.
    pub chamber: ChamberId,
    /// Its losses.
    pub curve: LossCurve,
    /// Days from hanging to its target loss, where it got there.
    pub target_day: Option<f64>,
}

#[cfg(test)]
mod tests;
