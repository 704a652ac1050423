//! What went wrong with the room of a batch on its clock: the power was out, or it is warmer than it was set to. What it
//! means for a batch off its clock is a warm spell's business.

use super::setting::Setting;
use crate::command::asking::Asking;
use crate::command::intake::{Item, Unsaid, What};
use crate::curing::Level;
use crate::quantity::{Temperature, compare, format};
use crate::reply::{Reply, say};

/// Adds what to do. Only a reply that shows how many hours are left speaks of a clock that runs and is within its limits:
/// past them the advice is another.
pub(super) fn add(reply: &mut Reply, setting: &Setting, items: &[Item], asking: &Asking) {
    if !reply.figures.iter().any(|figure| figure.id == "hours_left") {
        return;
    }
    if items.iter().any(|item| matches!(item.what, What::PowerOut { .. })) {
        reply.note(Level::Notice, say("ferment.deviation.power", &[]));
    }
    if let Some(text) = items.iter().find_map(|item| too_warm(item, setting.in_force, asking)) {
        reply.note(Level::Notice, text);
    }
}

fn too_warm(item: &Item, in_force: Unsaid, asking: &Asking) -> Option<String> {
    let (What::Room { temperature: Some(read), .. } | What::Extremes { max: read, .. }) = item.what else {
        return None;
    };
    let set = in_force.set_temperature?;
    let highest = set.as_celsius() + in_force.hysteresis_celsius;
    if !compare::with_tolerance(read.as_celsius(), highest).is_gt() {
        return None;
    }
    let scale = asking.member.settings.temperature;
    let highest = format::temperature(Temperature::celsius(highest), scale);
    let holes = [
        ("room", &*format::temperature(read, scale)),
        ("set", &format::temperature(set, scale)),
        ("highest", &highest),
    ];
    Some(say("ferment.deviation.warm", &holes))
}
