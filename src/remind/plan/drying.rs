//! Drying: weighings, and pieces that have reached their target.

use super::PlanInput;
use crate::quantity::compare;
use crate::quantity::{Fraction, Mass};
use crate::record::state::{Piece, Weighing};
use crate::record::{PlannedReminder, ReminderKind};
use crate::remind::wall;
use crate::reply::say;
use chrono::{DateTime, TimeDelta, Utc};
use std::cmp::Ordering;

/// Below this thickness a piece dries fast and is weighed often. Common practice, no source.
const THIN_MM: f64 = 45.0;
/// From this part of the target loss on every piece is weighed often. Common practice, no source.
const NEAR_TARGET: f64 = 0.6;
/// Days between weighings of a piece that is thin or near its target. Common practice, no source.
const OFTEN_DAYS: u32 = 3;
/// Days between weighings else. Common practice, no source.
const SELDOM_DAYS: u32 = 7;
/// Weighings asked for after the last one that was made; who lets all of them pass is left alone. Our choice.
const WEIGHINGS_AHEAD: usize = 4;
/// Nobody dries for longer than this; it only ends a search.
const LAST_DAY: u32 = 3 * 365;

pub(super) fn plan(input: &PlanInput<'_>) -> Vec<PlannedReminder> {
    let mut planned = weighings(input);
    planned.extend(targets(input));
    planned
}

/// Mornings at fixed distances from the day drying began; the occurrence is the day of drying.
///
/// A weighing on the day before counts for its morning, so that who weighed in the evening is not asked again.
fn weighings(input: &PlanInput<'_>) -> Vec<PlannedReminder> {
    let state = input.state;
    let nothing_hangs = !state.pieces.is_empty() && state.hanging().next().is_none();
    if nothing_hangs || everything_reached(input) {
        return Vec::new();
    }
    let since = input.since();
    let every = if is_thin(input) || is_near_target(input) { OFTEN_DAYS } else { SELDOM_DAYS };
    let last = last_weighing(input).map(|at| wall::shown(at, input.zone).date());
    let is_open = |due: &DateTime<Utc>| {
        last.is_none_or(|last| wall::shown(*due, input.zone).date() - last > TimeDelta::days(1))
    };
    (1..=LAST_DAY / every)
        .map(|step| step * every)
        .map(|day| (day, wall::morning_after(since, u64::from(day), input.zone)))
        .filter(|(_, due)| is_open(due))
        .take(WEIGHINGS_AHEAD)
        .map(|(day, due)| {
            let holes = [("day", &*day.to_string())];
            input.reminder((ReminderKind::Weigh, day), due, "remind.weigh", &holes)
        })
        .collect()
}

/// The morning after the weighing that reached the target; the occurrence is the piece's number, 0 for a batch
/// that is weighed as a whole.
fn targets(input: &PlanInput<'_>) -> Vec<PlannedReminder> {
    let Some(loss) = input.state.plan.target_loss else { return Vec::new() };
    let mut planned = Vec::new();
    for piece in input.state.hanging() {
        let target = target_net(piece.green(), loss);
        if let Some(at) = reached_at(&piece.weighings, piece.hung.tare, target) {
            let holes = [("piece", &*piece.hung.number.to_string())];
            let key = (ReminderKind::TargetReached, piece.hung.number.0);
            let due = wall::morning_after(at, 1, input.zone);
            planned.push(input.reminder(key, due, "remind.target_reached", &holes));
        }
    }
    if let Some((green, tare)) = whole(input)
        && let Some(at) = reached_at(&input.state.total_weighings, tare, target_net(green, loss))
    {
        let holes = [("piece", &*say("remind.all_pieces", &[]))];
        let due = wall::morning_after(at, 1, input.zone);
        planned.push(input.reminder((ReminderKind::TargetReached, 0), due, "remind.target_reached", &holes));
    }
    planned
}

/// Green weight and tare of all pieces together, as long as none has left.
fn whole(input: &PlanInput<'_>) -> Option<(Mass, Mass)> {
    let pieces = &input.state.pieces;
    let complete = !pieces.is_empty() && pieces.iter().all(|piece| piece.left.is_none());
    complete.then(|| {
        (pieces.iter().map(Piece::green).sum(), pieces.iter().map(|piece| piece.hung.tare).sum())
    })
}

/// The first of the last weighings that all show the target reached: one that shows more again starts it anew.
fn reached_at(weighings: &[Weighing], tare: Mass, target: Mass) -> Option<DateTime<Utc>> {
    let at_target = |weighing: &&Weighing| is_at_most(weighing.gross - tare, target);
    weighings.iter().rev().take_while(at_target).last().map(|weighing| weighing.at)
}

fn everything_reached(input: &PlanInput<'_>) -> bool {
    let Some(loss) = input.state.plan.target_loss else { return false };
    let mut hanging = input.state.hanging().peekable();
    hanging.peek().is_some()
        && hanging.all(|piece| {
            let target = target_net(piece.green(), loss);
            reached_at(&piece.weighings, piece.hung.tare, target).is_some()
        })
}

fn is_thin(input: &PlanInput<'_>) -> bool {
    let thickness = input.state.plan.thickness.map(|thickness| thickness.as_millimetres());
    thickness.is_some_and(|mm| compare::with_tolerance(mm, THIN_MM) == Ordering::Less)
}

/// Whether the furthest piece, or the batch as a whole, is past this part of its way.
fn is_near_target(input: &PlanInput<'_>) -> bool {
    let Some(loss) = input.state.plan.target_loss else { return false };
    let near = Fraction::of_one(loss.as_one() * NEAR_TARGET);
    let piece_near = |piece: &Piece| is_at_most(piece.last_net(), target_net(piece.green(), near));
    let whole_near = || {
        let last = input.state.total_weighings.last();
        whole(input).zip(last).is_some_and(|((green, tare), last)| {
            is_at_most(last.gross - tare, target_net(green, near))
        })
    };
    input.state.hanging().any(piece_near) || whole_near()
}

fn last_weighing(input: &PlanInput<'_>) -> Option<DateTime<Utc>> {
    let of_pieces = input.state.pieces.iter().flat_map(|piece| &piece.weighings);
    of_pieces.chain(&input.state.total_weighings).map(|weighing| weighing.at).max()
}

fn target_net(green: Mass, loss: Fraction) -> Mass {
    Mass::grams(green.as_grams() * (1.0 - loss.as_one()))
}

fn is_at_most(net: Mass, target: Mass) -> bool {
    target.as_grams() > 0.0 && compare::with_tolerance(net.as_grams(), target.as_grams()) != Ordering::Greater
}
