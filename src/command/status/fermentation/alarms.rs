//! What stands against a batch that ferments, on its card; and what of it is new after an entry.

use super::{Look, Outlook, Seen, seen};
use crate::command::asking::Asking;
use crate::command::error::CommandError;
use crate::command::{lookup, time};
use crate::curing::Level;
use crate::curing::fermentation::alarm::{Alarm, Mark, OutOfBand, Scene, Spent, alarms, news};
use crate::curing::fermentation::{Systems, assess};
use crate::curing::hygrometer::HumidityDoubt;
use crate::quantity::format;
use crate::record::climate::Climate;
use crate::record::{BatchStage, BatchState, ReminderKind};
use crate::remind::plan::{PlanInput, plan};
use crate::reply::{Reply, say};
use chrono::{DateTime, Utc};

/// Adds everything that stands, and when the pH will be where it is aimed at.
pub fn add_standing(reply: &mut Reply, state: &BatchState, seen: &Seen, asking: &Asking) {
    if state.stage().0 != BatchStage::Fermenting {
        return;
    }
    if let Some(outlook) = Outlook::of(state, &seen.fermentation, asking.now) {
        outlook.add_window(reply, None);
        reply.notes.extend(outlook.note(None));
    }
    for alarm in standing(state, seen, asking, asking.now) {
        add(reply, alarm, asking);
    }
}

/// What an answer compares with: how the batch stood at the entry before the ones of this request.
#[derive(Debug, Default)]
pub struct Before {
    alarms: Vec<Alarm>,
    outlook: Option<Outlook>,
}

impl Before {
    /// Of a batch as it is kept; `acid`: whether an answer will speak of the pH.
    pub async fn of(look: Look<'_>, batch: &BatchState, acid: bool) -> Result<Self, CommandError> {
        let kept = Look { pending: &[], ..look };
        let Some(state) = lookup::as_of_now(look.services, look.asking, batch.id).await? else {
            return Ok(Self::default());
        };
        let Some(now) = seen(kept, &state, Systems::Strict).await? else { return Ok(Self::default()) };
        let moment = last_entry(&state, &now).min(look.asking.now);
        let Some(fermentation) = assess(&state, &now.climates, moment, Systems::Strict) else {
            return Ok(Self::default());
        };
        let outlook = if acid { Outlook::of(&state, &fermentation, moment) } else { None };
        let then = Seen { fermentation, climates: now.climates };
        Ok(Self { alarms: standing(&state, &then, look.asking, moment), outlook })
    }

    /// Adds what stands now and did not stand then. The rest is spoken of elsewhere: the hygrometer, and the room where the
    /// answer says how many hours are left, once for all batches in it; what keeps a pH from counting with the pH itself;
    /// and of a reading that is overdue the reminder spoke.
    pub fn add_news(&self, reply: &mut Reply, state: &BatchState, seen: &Seen, asking: &Asking) {
        let now = standing(state, seen, asking, asking.now);
        let says_hours = seen.fermentation.degree_hours.hours_left().is_some();
        let is_for_answer = |alarm: &Alarm| match alarm {
            Alarm::Spent(_) => true,
            Alarm::Room(_) => !says_hours,
            Alarm::Overdue { .. } | Alarm::Meter { .. } | Alarm::Hygrometer(_) => false,
        };
        for alarm in news(&self.alarms, now).into_iter().filter(is_for_answer) {
            add(reply, alarm, asking);
        }
    }

    /// Where the pH was going then.
    pub const fn outlook(&self) -> Option<&Outlook> {
        self.outlook.as_ref()
    }
}

/// The time of the last that was kept of a batch or of its air.
fn last_entry(state: &BatchState, seen: &Seen) -> DateTime<Utc> {
    let of_air = |climate: &Climate| {
        let read = climate.readings.iter().map(|read| read.at);
        let set = climate.settings.iter().map(|set| set.at);
        let remembered = climate.extremes.iter().map(|extreme| extreme.at);
        read.chain(set).chain(remembered).max()
    };
    seen.climates.values().filter_map(of_air).fold(state.last_at, DateTime::max)
}

fn standing(state: &BatchState, seen: &Seen, asking: &Asking, now: DateTime<Utc>) -> Vec<Alarm> {
    if state.stage().0 != BatchStage::Fermenting {
        return Vec::new();
    }
    let along = Climate::along(&state.stays, &seen.climates);
    let planned = plan(&PlanInput { state, climate: &along, zone: asking.zone(), quiet: asking.quiet() });
    let checks = planned.iter().filter(|reminder| reminder.kind == ReminderKind::PhCheck);
    let planned = checks.map(|reminder| reminder.due).min();
    let chamber = state.chamber_at(now).and_then(|chamber| seen.climates.get(&chamber));
    let Some(climate) = chamber else { return Vec::new() };
    alarms(&Scene { fermentation: &seen.fermentation, climate, planned, now })
}

fn add(reply: &mut Reply, alarm: Alarm, asking: &Asking) {
    let text = match alarm {
        Alarm::Spent(spent) => {
            let text = spent_shown(&spent);
            reply.findings.push(spent.finding());
            text
        }
        Alarm::Room(out) => room_shown(&out, asking),
        Alarm::Overdue { due } => {
            say("ferment.alarm.overdue", &[("when", &time::shown(due, asking.now, asking.zone()))])
        }
        Alarm::Meter { age: Some(age) } => say("ferment.alarm.meter_old", &[("age", &format::hours(age))]),
        Alarm::Meter { age: None } => say("ferment.alarm.meter_unknown", &[]),
        Alarm::Hygrometer(HumidityDoubt::Old) => say("ferment.alarm.hygrometer_old", &[]),
        Alarm::Hygrometer(_) => say("ferment.alarm.hygrometer_off", &[]),
    };
    reply.note(Level::Notice, text);
}

/// "Half of the degree-hours are spent (52 %): …".
fn spent_shown(spent: &Spent) -> String {
    let part = match spent.mark {
        Mark::Half => "ferment.spent.half",
        Mark::FourFifths => "ferment.spent.four_fifths",
        Mark::Nearly => "ferment.spent.nearly",
    };
    let percent = format::number(spent.percent.floor(), 0);
    let part = say(part, &[("percent", &percent)]);
    match spent.left {
        Some(left) => {
            say("ferment.spent.within", &[("part", &part), ("hours", &left.whole_hours().to_string())])
        }
        None => say("ferment.spent.now", &[("part", &part)]),
    }
}

/// A room out of its band, in the member's scale.
pub fn room_shown(out: &OutOfBand, asking: &Asking) -> String {
    let scale = asking.member.settings.temperature;
    let shown = |temperature| format::temperature(temperature, scale);
    let holes = [("room", &*shown(out.room)), ("set", &shown(out.set)), ("edge", &shown(out.edge))];
    if out.beyond_celsius > 0.0 {
        say("ferment.deviation.warm", &holes)
    } else {
        say("ferment.deviation.cold", &holes)
    }
}
