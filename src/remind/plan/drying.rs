//! Drying: weighings, and pieces that have reached their target.

use super::PlanInput;
use crate::curing::drying::{Green, Target};
use crate::quantity::compare;
use crate::quantity::{Fraction, Length, Mass};
use crate::record::state::{Piece, Weighing};
use crate::record::{PlannedReminder, ReminderKind};
use crate::reply::say;
use crate::wall;
use chrono::{DateTime, TimeDelta, Utc};

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
    let every = every_days(input);
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

/// Days between weighings.
pub(super) fn every_days(input: &PlanInput<'_>) -> u32 {
    if is_thin(input) || is_near_target(input) { OFTEN_DAYS } else { SELDOM_DAYS }
}

/// The morning after the weighing that reached the target; the occurrence is the piece's number, 0 for a batch
/// that is weighed as a whole.
fn targets(input: &PlanInput<'_>) -> Vec<PlannedReminder> {
    let Some(loss) = input.state.plan.target_loss else {
        return Vec::new();
    };
    let flagged = |occurrence: u32, piece: &str, at: DateTime<Utc>| {
        let due = wall::morning_after(at, 1, input.zone);
        let key = (ReminderKind::TargetReached, occurrence);
        input.reminder(key, due, "remind.target_reached", &[("piece", piece)])
    };
    let of_piece = |piece: &Piece| {
        let number = piece.hung.number;
        let at = reached_at(input, piece.since_hung(), target(piece, loss)?)?;
        Some(flagged(number.0, &number.to_string(), at))
    };
    let of_whole = || {
        let at = reached_at(input, &input.state.total_weighings, whole(input)?.target(loss).ok()?)?;
        Some(flagged(0, &say("remind.all_pieces", &[]), at))
    };
    input.state.hanging().filter_map(of_piece).chain(of_whole()).collect()
}

fn target(piece: &Piece, loss: Fraction) -> Option<Target> {
    Green::from_scale(piece.hung.hung, piece.hung.tare).ok()?.target(loss).ok()
}

/// All pieces together, as long as none has left.
fn whole(input: &PlanInput<'_>) -> Option<Green> {
    let pieces = &input.state.pieces;
    if pieces.iter().any(|piece| piece.left.is_some()) {
        return None;
    }
    let gross: Mass = pieces.iter().map(|piece| piece.hung.hung).sum();
    let tare: Mass = pieces.iter().map(|piece| piece.hung.tare).sum();
    Green::from_scale(gross, tare).ok()
}

/// The first of the last weighings that all show the target reached: one that shows more again starts it anew. So does
/// a batch that is put to dry once more: what it had reached before is no news.
fn reached_at(input: &PlanInput<'_>, weighings: &[Weighing], target: Target) -> Option<DateTime<Utc>> {
    let dries_again = (input.stays_before() > 0).then(|| input.since());
    let counts = |weighing: &&Weighing| {
        is_reached(target, weighing.gross) && dries_again.is_none_or(|since| weighing.at >= since)
    };
    weighings.iter().rev().take_while(counts).last().map(|weighing| weighing.at)
}

fn is_reached(target: Target, on_scale: Mass) -> bool {
    target.green().loss_at(on_scale).is_ok_and(|loss| target.is_reached_at(loss))
}

fn everything_reached(input: &PlanInput<'_>) -> bool {
    let Some(loss) = input.state.plan.target_loss else {
        return false;
    };
    let mut hanging = input.state.hanging().peekable();
    let reached = |piece: &Piece| {
        target(piece, loss).is_some_and(|target| reached_at(input, piece.since_hung(), target).is_some())
    };
    hanging.peek().is_some() && hanging.all(reached)
}

fn is_thin(input: &PlanInput<'_>) -> bool {
    let thickness = input.state.plan.thickness.map(Length::as_millimetres);
    thickness.is_some_and(|mm| compare::with_tolerance(mm, THIN_MM).is_lt())
}

/// Whether the furthest piece, or the batch as a whole, is past this part of its way.
fn is_near_target(input: &PlanInput<'_>) -> bool {
    let Some(loss) = input.state.plan.target_loss else {
        return false;
    };
    let near = Fraction::of_one(loss.as_one() * NEAR_TARGET);
    let piece_near = |piece: &Piece| {
        let last = piece.since_hung().last();
        target(piece, near).zip(last).is_some_and(|(target, last)| is_reached(target, last.gross))
    };
    let whole_near = || {
        let target = whole(input).and_then(|green| green.target(near).ok());
        let last = input.state.total_weighings.last();
        target.zip(last).is_some_and(|(target, last)| is_reached(target, last.gross))
    };
    input.state.hanging().any(piece_near) || whole_near()
}

fn last_weighing(input: &PlanInput<'_>) -> Option<DateTime<Utc>> {
    let of_pieces = input.state.pieces.iter().flat_map(|piece| &piece.weighings);
    of_pieces.chain(&input.state.total_weighings).map(|weighing| weighing.at).max()
}
