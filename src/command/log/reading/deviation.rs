//! What went wrong with the room of a batch on its clock: the power was out, or it is out of the band it was set to. What
//! it means for a batch off its clock is a warm spell's business.

use super::setting::Setting;
use crate::command::chamber::air::Air;
use crate::command::error::CommandError;
use crate::command::intake::{Item, Understood, Unsaid, What};
use crate::command::status::Look;
use crate::command::status::fermentation::alarms::room_shown;
use crate::curing::Level;
use crate::curing::fermentation::alarm::beside;
use crate::quantity::Temperature;
use crate::record::climate::RoomSetting;
use crate::reply::{Reply, say};
use chrono::{DateTime, TimeDelta, Utc};

/// A thermometer's word that is older than this was another day's: a night's sleep.
const STILL_KNOWN: TimeDelta = TimeDelta::hours(14);

/// Adds what to do. Only a reply that shows how many hours are left speaks of a clock that runs and is within its limits:
/// past them the advice is another. Where no hours can be said, the batch's own news speak of the room.
///
/// # Errors
/// [`CommandError`] where the record cannot be read.
pub(super) async fn add(
    reply: &mut Reply,
    setting: &Setting,
    understood: &Understood,
    look: Look<'_>,
) -> Result<(), CommandError> {
    if !reply.figures.iter().any(|figure| figure.id == "hours_left") {
        return Ok(());
    }
    let items = &understood.items;
    if items.iter().any(|item| matches!(item.what, What::PowerOut { .. })) {
        reply.note(Level::Notice, say("ferment.deviation.power", &[]));
    }
    let Some(set) = in_force(setting.in_force) else { return Ok(()) };
    let Some(now) = items.iter().find_map(read).and_then(|room| beside(&set, room)) else { return Ok(()) };
    let at = understood.at.as_ref().map_or(look.asking.now, |when| when.at);
    let last = Air::at(look.services, setting.chamber.id, at).await?.temperature;
    let before = last.filter(|(_, read_at)| at - *read_at <= STILL_KNOWN);
    let before = before.and_then(|(room, _)| beside(&set, room));
    // Once said, it is said again only when it got worse.
    if !before.is_some_and(|before| now.is_no_worse_than(&before)) {
        reply.note(Level::Notice, room_shown(&now, look.asking));
    }
    Ok(())
}

/// What the chamber is set to, as the band it makes.
fn in_force(in_force: Unsaid) -> Option<RoomSetting> {
    in_force.set_temperature.map(|temperature| RoomSetting {
        at: DateTime::<Utc>::MIN_UTC,
        temperature,
        hysteresis_celsius: in_force.hysteresis_celsius,
    })
}

/// The room as an item has it.
fn read(item: &Item) -> Option<Temperature> {
    match item.what {
        What::Room { temperature, .. } => temperature,
        What::Extremes { max, .. } => Some(max),
        _ => None,
    }
}
