//! Fermentation: pH checks, and a warning before the degree-hours are spent.

use super::PlanInput;
use super::budget::{self, Budget};
use crate::quantity::compare;
use crate::record::{PlannedReminder, ReminderKind};
use crate::remind::quiet;
use crate::reply::calendar;
use chrono::{DateTime, TimeDelta, Utc};

/// From this room temperature on a fermentation is fast. Common practice, no source.
const WARM_CELSIUS: f64 = 26.0;
/// First pH check and distance of the later ones in a warm room, in hours. Common practice, no source.
const WARM_STEP_HOURS: u32 = 6;
/// The same in a cooler room. Common practice, no source.
const COOL_STEP_HOURS: u32 = 12;
/// Checks asked for after the last reading; who lets all of them pass is left alone until the degree-hours are
/// nearly spent. Our choice.
const CHECKS_AHEAD: usize = 8;
/// Nobody ferments for longer than this many hours; it only ends a search.
const LAST_HOUR: u32 = 40 * 24;
/// Two checks closer than this are one. Our choice.
const CLOSE: TimeDelta = TimeDelta::hours(2);
/// The occurrence of the check at half of the degree-hours. Those by the hour count in steps of six hours, from 1.
const AT_HALF: u32 = 0;

pub(super) fn plan(input: &PlanInput<'_>) -> Vec<PlannedReminder> {
    let since = input.since();
    let budget = Budget::of(input, since);
    if budget.is_sour {
        return Vec::new();
    }
    let mut checks = by_the_hour(input, since);
    let last = last_reading(input, since);
    checks.extend(budget.half.filter(|half| *half > last).map(|half| (AT_HALF, half)));
    for (_, due) in &mut checks {
        *due = check_time(input, *due, last, budget.all);
    }
    let mut planned: Vec<_> = apart(checks).into_iter().map(|check| ph_check(input, since, check)).collect();
    planned.extend(budget.nearly_all.map(|moment| nearly_all_spent(input, moment)));
    planned
}

/// Every six or twelve hours from the beginning. A reading up to a third of the distance early counts for its
/// check.
fn by_the_hour(input: &PlanInput<'_>, since: DateTime<Utc>) -> Vec<(u32, DateTime<Utc>)> {
    let step = if is_warm(input) { WARM_STEP_HOURS } else { COOL_STEP_HOURS };
    let counted = last_reading(input, since) + TimeDelta::hours(i64::from(step / 3));
    (1..=LAST_HOUR / step)
        .map(|count| count * step)
        .map(|hour| (hour / WARM_STEP_HOURS, since + TimeDelta::hours(i64::from(hour))))
        .filter(|(_, due)| *due > counted)
        .take(CHECKS_AHEAD)
        .collect()
}

/// A room of which nothing is known counts as warm: the earlier check is the careful one.
fn is_warm(input: &PlanInput<'_>) -> bool {
    budget::room(input).is_none_or(|room| compare::with_tolerance(room.as_celsius(), WARM_CELSIUS).is_ge())
}

/// The last pH reading of this fermentation, or its beginning.
fn last_reading(input: &PlanInput<'_>, since: DateTime<Utc>) -> DateTime<Utc> {
    input.state.ph.iter().map(|reading| reading.at).max().map_or(since, |at| at.max(since))
}

/// A check at night waits for the morning, unless the degree-hours run out before: then it comes before the night,
/// if that is still after the last reading.
fn check_time(
    input: &PlanInput<'_>,
    due: DateTime<Utc>,
    last: DateTime<Utc>,
    all_spent: Option<DateTime<Utc>>,
) -> DateTime<Utc> {
    let early = quiet::earlier(due, input.zone, input.quiet);
    let late = quiet::later(due, input.zone, input.quiet);
    let too_late = all_spent.is_some_and(|spent| due < spent && spent <= late);
    if too_late && early > last { early } else { late }
}

/// Leaves out a check that follows another closely. At one time the one at half of the degree-hours goes first,
/// then the later one.
fn apart(mut checks: Vec<(u32, DateTime<Utc>)>) -> Vec<(u32, DateTime<Utc>)> {
    checks.sort_by_key(|(occurrence, due)| (*due, *occurrence != AT_HALF, std::cmp::Reverse(*occurrence)));
    let mut kept: Vec<(u32, DateTime<Utc>)> = Vec::new();
    for check in checks {
        if kept.last().is_none_or(|before| check.1 - before.1 >= CLOSE) {
            kept.push(check);
        }
    }
    kept
}

fn ph_check(
    input: &PlanInput<'_>,
    since: DateTime<Utc>,
    (occurrence, due): (u32, DateTime<Utc>),
) -> PlannedReminder {
    let key = if occurrence == AT_HALF { "remind.ph_check_at_half" } else { "remind.ph_check" };
    let hours = (due - since).num_hours().to_string();
    input.reminder((ReminderKind::PhCheck, occurrence), due, key, &[("hours", &hours)])
}

/// At night this one comes earlier, never later: in the morning it could be too late.
fn nearly_all_spent(input: &PlanInput<'_>, moment: DateTime<Utc>) -> PlannedReminder {
    let due = quiet::earlier(moment, input.zone, input.quiet);
    let time = calendar::clock(moment, input.zone);
    let key = "remind.degree_hours_nearly_spent";
    input.reminder((ReminderKind::DegreeHoursNearlySpent, 0), due, key, &[("time", &time)])
}
