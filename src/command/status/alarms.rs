//! What stands against a batch that dries, on its card; and what of it is new after an entry.

use super::Look;
use super::fermentation::climates;
use super::observation::add_advice;
use crate::command::asking::Asking;
use crate::command::chamber::air::doubt_key;
use crate::command::error::CommandError;
use crate::command::{describe, lookup, time};
use crate::curing::drying::alarm::{Alarm, RoomHumidity, Scene, StallReason, What, alarms, humidities, news};
use crate::curing::finding::Advice;
use crate::curing::hygrometer::HumidityDoubt;
use crate::curing::{Finding, Level};
use crate::quantity::{Mass, format};
use crate::record::climate::Climate;
use crate::record::{BatchStage, BatchState, ChamberId, PieceNumber, hours_between};
use crate::remind::plan::{PlanInput, weigh_every_days};
use crate::reply::{Reply, say};
use chrono::{DateTime, Utc};
use std::collections::BTreeMap;

/// Adds everything that stands.
pub fn add_standing(
    reply: &mut Reply,
    state: &BatchState,
    climates: &BTreeMap<ChamberId, Climate>,
    asking: &Asking,
) {
    let room = humidities(&state.stays, climates);
    let found = standing(state, &room, asking, asking.now, None);
    let told: Vec<&Alarm> = found.iter().collect();
    if let Some(read) = add(reply, state, &told, &room, asking) {
        add_doubts(reply, read);
    }
}

/// Adds what stands with the entries of this request and did not stand at the entry before it.
///
/// What the answer to a weighing says anyway (a piece at its target), and what a weighing is just about to end (pieces
/// not weighed), is left to the card. Gives back the humidity that what was said leans on, whose doubts are to be said
/// once, however many batches hang in it: [`add_doubts`].
///
/// # Errors
/// [`CommandError`] where the record cannot be read.
pub async fn add_news(
    reply: &mut Reply,
    state: &BatchState,
    look: Look<'_>,
) -> Result<Option<RoomHumidity>, CommandError> {
    if state.stage().0 != BatchStage::Drying {
        return Ok(None);
    }
    let Some(from) = state.in_hand_since() else { return Ok(None) };
    let asking = look.asking;
    let kept = Look { pending: &[], ..look };
    let is_air = look.pending.iter().any(|event| event.subject.chamber().is_some());
    let room = humidities(&state.stays, &climates(look, state, from, asking.now).await?);
    let room_before = if is_air {
        humidities(&state.stays, &climates(kept, state, from, asking.now).await?)
    } else {
        room.clone()
    };
    let Some(state_before) = lookup::as_of_now(look.services, asking, state.id).await? else {
        return Ok(None);
    };
    let last_read = room_before.last().map_or(state_before.last_at, |read| read.at);
    let before = standing(&state_before, &room_before, asking, state_before.last_at.max(last_read), None);
    let after = standing(state, &room, asking, asking.now, is_air.then_some(&*room_before));
    let told: Vec<&Alarm> =
        news(&before, &after).into_iter().filter(|alarm| is_for_answer(alarm, is_air)).collect();
    Ok(add(reply, state, &told, &room, asking).cloned())
}

fn standing(
    state: &BatchState,
    room: &[RoomHumidity],
    asking: &Asking,
    now: DateTime<Utc>,
    room_before: Option<&[RoomHumidity]>,
) -> Vec<Alarm> {
    let input = PlanInput { state, climate: &Climate::default(), zone: asking.zone(), quiet: asking.quiet() };
    alarms(&Scene { state, room, now, weigh_every_days: weigh_every_days(&input), room_before })
}

const fn is_for_answer(alarm: &Alarm, is_air: bool) -> bool {
    match alarm.what {
        What::AtTarget { .. } => alarm.piece.is_none(),
        What::Overdue { .. } => is_air,
        _ => true,
    }
}

/// Adds alarms, those of one sort in one sentence; gives back the humidity they lean on.
fn add<'a>(
    reply: &mut Reply,
    state: &BatchState,
    told: &[&Alarm],
    room: &'a [RoomHumidity],
    asking: &Asking,
) -> Option<&'a RoomHumidity> {
    let mut groups: Vec<Vec<&Alarm>> = Vec::new();
    for alarm in told {
        match groups.iter_mut().find(|group| group.first().is_some_and(|first| is_alike(first, alarm))) {
            Some(group) => group.push(alarm),
            None => groups.push(vec![alarm]),
        }
    }
    for group in &groups {
        tell(reply, state, group, asking);
    }
    room.last().filter(|_| told.iter().any(|alarm| alarm.what.leans_on_humidity()))
}

/// Of one sort, against one row, so that one sentence is true of both.
fn is_alike(one: &Alarm, other: &Alarm) -> bool {
    let row = |alarm: &Alarm| alarm.mark.map(|(row, _)| (&row.id, row.above.map(f64::to_bits)));
    one.what.word() == other.what.word() && row(one) == row(other)
}

/// Adds what takes trust from a humidity that was leaned on.
pub fn add_doubts(reply: &mut Reply, read: &RoomHumidity) {
    if !read.is_checked {
        add_advice(reply, Level::Notice, say("dry.air.unchecked", &[]));
    }
    // That a single reading was not corrected is said where it is kept.
    for doubt in read.doubts.iter().filter(|doubt| **doubt != HumidityDoubt::OutOfReach) {
        add_advice(reply, Level::Notice, say(doubt_key(*doubt), &[]));
    }
}

/// One sentence for alarms of one sort; its numbers are those of the worst.
fn tell(reply: &mut Reply, state: &BatchState, group: &[&Alarm], asking: &Asking) {
    let Some(worst) = worst(group) else { return };
    let mut holes = holes(&worst.what, asking);
    let is_same = group.iter().all(|alarm| self::holes(&alarm.what, asking) == holes);
    holes.push(("pieces", if is_same { pieces(group, state) } else { worst_first(worst, group) }));
    let key = key(&worst.what);
    if let Some((row, measured)) = worst.mark {
        let advice = Advice { key, holes };
        reply.findings.push(Finding::judge(row, measured).at_level(worst.what.level()).advising(advice));
    } else {
        let holes: Vec<(&str, &str)> = holes.iter().map(|(name, text)| (*name, text.as_str())).collect();
        reply.note(worst.what.level(), say(key, &holes));
    }
    reply.judges |= worst.what.level() >= Level::Caution;
}

fn worst<'a>(group: &[&'a Alarm]) -> Option<&'a Alarm> {
    let badness = |alarm: &Alarm| match (alarm.what, alarm.mark) {
        (What::Stalled { .. }, Some((_, percent))) => -percent,
        (What::Overdue { days, .. }, _) => days,
        (What::AtTarget { since }, _) => -hours_between(DateTime::UNIX_EPOCH, since),
        (_, mark) => mark.map_or(0.0, |(_, measured)| measured),
    };
    group.iter().copied().max_by(|one, other| badness(one).total_cmp(&badness(other)))
}

const fn key(what: &What) -> &'static str {
    match what {
        What::RimRisk { .. } => "alarm.rim_risk",
        What::FastInUnknownRoom => "alarm.fast_in_unknown_room",
        What::FastOfUnknownRecipe => "alarm.fast_of_unknown_recipe",
        What::FastMuscle => "alarm.fast_muscle",
        What::DryRoom => "alarm.dry_room",
        What::DryForPiece { .. } => "alarm.dry_for_piece",
        What::NoDrying { .. } => "alarm.no_drying",
        What::OutOfReach { .. } => "alarm.out_of_reach",
        What::Stalled { reason: StallReason::RoomLimit { .. }, .. } => "alarm.stalled_by_room",
        What::Stalled { reason: StallReason::Rim, .. } => "alarm.stalled_by_rim",
        What::Stalled { reason: StallReason::Unknown, .. } => "alarm.stalled",
        What::Gained { .. } => "alarm.gained",
        What::AtTarget { .. } => "alarm.at_target",
        What::Overdue { .. } => "alarm.overdue",
    }
}

fn holes(what: &What, asking: &Asking) -> Vec<(&'static str, String)> {
    let mass = |mass: Mass| describe::weight(mass, asking);
    let day = |at| time::day(at, asking.now, asking.zone());
    match *what {
        What::RimRisk { points, at_least } => vec![
            ("points", format::trimmed(points, 1)),
            ("at_least", format!("{} %", format::number(at_least.as_percent().ceil(), 0))),
        ],
        What::DryForPiece { room } | What::NoDrying { room } => {
            vec![("room", format::relative_humidity(room))]
        }
        What::OutOfReach { driest, column, ends_at_percent } => vec![
            ("driest", format::relative_humidity(driest)),
            ("column", format::relative_humidity(column)),
            ("end", format::trimmed(ends_at_percent, 1)),
        ],
        What::Stalled { reason, change, days } => {
            let mut holes = vec![("days", format::number(days, 0)), ("change", lost(change, mass))];
            if let StallReason::RoomLimit { ends_at_percent } = reason {
                holes.push(("end", format::trimmed(ends_at_percent, 1)));
            }
            holes
        }
        What::Gained { gain, since } => vec![("gain", mass(gain)), ("since", day(since))],
        What::AtTarget { since } => vec![("since", day(since))],
        What::Overdue { days, planned_days } => {
            vec![("days", format::number(days.floor(), 0)), ("planned", planned_days.to_string())]
        }
        _ => Vec::new(),
    }
}

fn lost(change: Mass, mass: impl Fn(Mass) -> String) -> String {
    if change.as_grams() > 0.0 {
        say("alarm.change", &[("change", &mass(change))])
    } else {
        say("alarm.nothing", &[])
    }
}

fn pieces(group: &[&Alarm], state: &BatchState) -> String {
    let numbers: Vec<PieceNumber> = group.iter().filter_map(|alarm| alarm.piece).collect();
    let count = state.hanging().count();
    if numbers.is_empty() {
        return say("alarm.all_together", &[]);
    }
    if count > 1 && numbers.len() == count {
        return say("alarm.every_piece", &[]);
    }
    numbers.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

/// Where the numbers are one piece's, that one stands in front.
fn worst_first(worst: &Alarm, group: &[&Alarm]) -> String {
    let others: Vec<String> = group
        .iter()
        .filter(|alarm| alarm.piece != worst.piece)
        .filter_map(|alarm| alarm.piece)
        .map(|piece| piece.to_string())
        .collect();
    let first = worst.piece.map_or_else(String::new, |piece| piece.to_string());
    say("alarm.worst_first", &[("first", &first), ("others", &others.join(", "))])
}
