//! The weighings of a piece, and the steps between them.

use crate::curing::drying::target::{Green, Target, loss};
use crate::quantity::{Fraction, Mass};
use crate::record::hours_between;
use crate::record::ids::PieceNumber;
use crate::record::state::{BatchState, Piece, Weighing};
use chrono::{DateTime, Utc};

/// Weighings closer than this give no rate: what the scale is off would be all of it. Rule of this project, no source.
const SHORTEST_STEP_DAYS: f64 = 0.75;

/// A weight at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Point {
    pub(super) at: DateTime<Utc>,
    /// Days since drying began; before it below zero.
    pub(super) day: f64,
    pub(super) net: Mass,
}

/// From one weighing to the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Step {
    pub(super) from: f64,
    pub(super) to: f64,
    /// The part of the green weight that went; below zero for a gain.
    pub(super) lost: f64,
    pub(super) since: DateTime<Utc>,
    pub(super) until: DateTime<Utc>,
}

impl Step {
    /// Percent of the green weight a day.
    pub(super) fn percent_a_day(&self) -> f64 {
        100.0 * self.lost / (self.to - self.from)
    }
}

/// All that was weighed of one piece since it was hung, or of all pieces together where only that was weighed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Series {
    pub(super) piece: Option<PieceNumber>,
    pub(super) green: Green,
    /// In the order of time; the first is the hanging.
    pub(super) points: Vec<Point>,
    /// As `points`, without what is closer to the next than a rate needs; the last one always counts.
    apart: Vec<Point>,
}

/// Every piece that hangs; or all together, as long as none was weighed by itself and none has left.
pub(super) fn of_batch(state: &BatchState, began: DateTime<Utc>) -> Vec<Series> {
    let apart: Vec<Series> = state.hanging().filter_map(|piece| of_piece(piece, began)).collect();
    let is_weighed = apart.iter().any(|series| series.points.len() > 1);
    if is_weighed || state.total_weighings.is_empty() || state.pieces.iter().any(|piece| piece.left.is_some())
    {
        return apart;
    }
    of_whole(state, began).map_or(apart, |whole| vec![whole])
}

fn of_piece(piece: &Piece, began: DateTime<Utc>) -> Option<Series> {
    let green = Green::from_scale(piece.hung.hung, piece.hung.tare).ok()?;
    let origin = began.max(piece.hung_at);
    Some(Series::of(Some(piece.hung.number), green, (piece.hung_at, origin), piece.since_hung()))
}

fn of_whole(state: &BatchState, began: DateTime<Utc>) -> Option<Series> {
    let gross: Mass = state.pieces.iter().map(|piece| piece.hung.hung).sum();
    let tare: Mass = state.pieces.iter().map(|piece| piece.hung.tare).sum();
    let green = Green::from_scale(gross, tare).ok()?;
    let hung_at = state.pieces.iter().map(|piece| piece.hung_at).max()?;
    let since: Vec<Weighing> =
        state.total_weighings.iter().filter(|weighing| weighing.at >= hung_at).copied().collect();
    Some(Series::of(None, green, (hung_at, began.max(hung_at)), &since))
}

impl Series {
    fn of(
        piece: Option<PieceNumber>,
        green: Green,
        (hung_at, origin): (DateTime<Utc>, DateTime<Utc>),
        weighings: &[Weighing],
    ) -> Self {
        let day = |at| hours_between(origin, at) / 24.0;
        let mut since: Vec<&Weighing> = weighings.iter().collect();
        since.sort_by_key(|weighing| (weighing.at, weighing.event));
        let mut points = vec![Point { at: hung_at, day: day(hung_at), net: green.net() }];
        points.extend(since.into_iter().filter_map(|weighing| {
            let net = green.net_at(weighing.gross).ok()?;
            Some(Point { at: weighing.at, day: day(weighing.at), net })
        }));
        let apart = apart(&points);
        Self { piece, green, points, apart }
    }

    /// The steps of at least most of a day, in order.
    pub(super) fn steps(&self) -> impl DoubleEndedIterator<Item = Step> {
        self.apart.windows(2).filter_map(|pair| {
            let [one, next] = pair else { return None };
            let lost = (one.net.as_grams() - next.net.as_grams()) / self.green.net().as_grams();
            Some(Step { from: one.day, to: next.day, lost, since: one.at, until: next.at })
        })
    }

    /// The last two steps, the later one last; `None` with fewer.
    pub(super) fn last_two(&self) -> Option<[Step; 2]> {
        let mut back = self.steps().rev();
        let last = back.next()?;
        Some([back.next()?, last])
    }

    /// The last weighing at least so many days before the last one.
    pub(super) fn before_last(&self, days: f64) -> Option<&Point> {
        let last = self.last();
        self.points.iter().rev().find(|point| last.day - point.day >= days)
    }

    /// The last weighing, or the hanging.
    pub(super) fn last(&self) -> Point {
        self.points.last().copied().unwrap_or(Point {
            at: DateTime::UNIX_EPOCH,
            day: 0.0,
            net: self.green.net(),
        })
    }

    /// The loss by the last weighing.
    pub(super) fn loss(&self) -> Fraction {
        loss(self.green.net(), self.last().net)
    }

    /// The loss by the last weighing before a moment.
    pub(super) fn loss_at(&self, moment: DateTime<Utc>) -> Fraction {
        let known = self.points.iter().rfind(|point| point.at <= moment);
        loss(self.green.net(), known.map_or(self.green.net(), |point| point.net))
    }

    /// Since which weighing it is at its target without a break; `None` where it is not.
    pub(super) fn reached_at(&self, target: Fraction) -> Option<DateTime<Utc>> {
        let target: Target = self.green.target(target).ok()?;
        let is_reached = |point: &&Point| target.is_reached_at(loss(self.green.net(), point.net));
        self.points.iter().rev().take_while(is_reached).last().map(|point| point.at)
    }
}

/// From the last weighing back, each far enough from the one after it; and the hanging.
fn apart(points: &[Point]) -> Vec<Point> {
    let Some((hung, weighed)) = points.split_first() else { return Vec::new() };
    let mut kept: Vec<Point> = Vec::with_capacity(points.len());
    for point in weighed.iter().rev() {
        if kept.last().is_none_or(|next| next.day - point.day >= SHORTEST_STEP_DAYS)
            && point.day - hung.day >= SHORTEST_STEP_DAYS
        {
            kept.push(*point);
        }
    }
    kept.push(*hung);
    kept.reverse();
    kept
}
