//! Whole muscle in the cure and at rest: turning the bag, cure done, rest done.

use super::PlanInput;
use crate::curing::cure::{CureTime, Method, time_of_batch};
use crate::record::{BatchStage, PlannedReminder, ReminderKind};
use crate::remind::wall;
use chrono::{DateTime, Utc};

/// How many days the bag is turned where no thickness says when the cure is done. Our choice, no source.
const TURNS_WITHOUT_THICKNESS: u32 = 14;
/// How often the bag is turned then, in days. Common practice, no source.
const TURN_EVERY_DAYS: u32 = 1;
/// The most days of turning that are planned; a cure that is to last longer than this was misread.
const TURN_AT_MOST_DAYS: u32 = 120;

/// The bag is turned in the morning until the cure is done by the custom for its thickness and weight.
pub(super) fn in_the_cure(input: &PlanInput<'_>) -> Vec<PlannedReminder> {
    let since = input.since();
    let custom = custom(input, since);
    let done = custom.as_ref().map(|custom| (custom.days, done_on(input, since, custom.days)));
    let every = custom.as_ref().map_or(TURN_EVERY_DAYS, |custom| custom.turn_every_days.max(1));
    let days = done.map_or(TURNS_WITHOUT_THICKNESS, |(days, _)| days.min(TURN_AT_MOST_DAYS));
    let mut planned: Vec<_> = (1..=days / every)
        .map(|turn| turn * every)
        .map(|day| (day, wall::morning_after(since, u64::from(day), input.zone)))
        .filter(|(_, due)| done.is_none_or(|(_, done)| *due < done))
        .map(|(day, due)| {
            let holes = [("day", &*day.to_string())];
            input.reminder((ReminderKind::TurnCureBag, day), due, "remind.turn_cure_bag", &holes)
        })
        .collect();
    if let Some((days, done)) = done {
        let holes = [("days", &*days.to_string())];
        planned.push(input.reminder((ReminderKind::CureDone, 0), done, "remind.cure_done", &holes));
    }
    planned
}

/// The rest lasts as long as the custom asks; where no thickness is known, as long as the cure did (common
/// practice, no source).
pub(super) fn at_rest(input: &PlanInput<'_>) -> Vec<PlannedReminder> {
    let since = input.since();
    let by_custom = custom(input, since).map(|custom| custom.rest_days);
    let Some(days) = by_custom.or_else(|| days_in_the_cure(input, since)) else {
        return Vec::new();
    };
    let holes = [("days", &*days.to_string())];
    let done = done_on(input, since, days);
    vec![input.reminder((ReminderKind::RestDone, 0), done, "remind.rest_done", &holes)]
}

/// The custom for the batch's thickness and its heaviest piece.
fn custom(input: &PlanInput<'_>, since: DateTime<Utc>) -> Option<CureTime> {
    let day = wall::shown(since, input.zone).date();
    let method = input.state.doses.last().and_then(|dose| Method::parse(&dose.method));
    time_of_batch(input.state, method, day)
}

/// The first morning on which so many whole days are over.
fn done_on(input: &PlanInput<'_>, since: DateTime<Utc>, days: u32) -> DateTime<Utc> {
    wall::next_morning(wall::days_later(since, u64::from(days), input.zone), input.zone)
}

/// How long the cure really lasted, in days begun.
fn days_in_the_cure(input: &PlanInput<'_>, until: DateTime<Utc>) -> Option<u32> {
    let since = input.state.reached(BatchStage::Curing)?;
    let minutes = (until - since).num_minutes();
    u32::try_from(minutes.checked_add(24 * 60 - 1)? / (24 * 60)).ok().filter(|days| *days > 0)
}
