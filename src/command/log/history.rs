//! `/log history`: every entry of a batch, also what was undone or changed.

use super::own;
use crate::command::Args;
use crate::command::access::{self, Actor, Deed};
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::describe::describe;
use crate::command::error::{CommandError, UserError};
use crate::command::journal;
use crate::command::lookup::{self, Found};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::record::correction::corrected;
use crate::record::{BatchState, Event, EventId, Happening};
use crate::reply::{Reply, Stored, calendar, say};
use chrono::{DateTime, Datelike, Utc};
use std::collections::{BTreeMap, BTreeSet};

/// `/log history`
pub static SPEC: Spec = Spec {
    root: "log",
    verb: "history",
    aliases: &[],
    summary: "every entry of a batch with its number, also what was undone or changed",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        maybe("before", OptionKind::Text, "only entries before this number"),
    ],
    examples: ["log history batch:B1", "log history batch:B1 before:40"],
    private: true,
};

/// Entries in one answer.
const MOST: usize = 25;

/// A look at a batch's entries.
#[derive(Debug, Clone)]
pub struct LogHistory {
    batch: Option<String>,
    before: Option<i64>,
}

impl LogHistory {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let before = args.text("before").map(|typed| args.whole_number("before", typed)).transpose()?;
        Ok(Self { batch: args.text("batch").map(str::to_owned), before })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let state = match lookup::batch(
            services,
            asking,
            self.batch.as_deref(),
            Deed::ReadHistory,
            "log history batch:{batch}",
        )
        .await?
        {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        let mut events = services.store.events_of_batch(state.id).await?;
        let actor = Actor::of(asking);
        let thing = access::batch(services, actor, &state).await?;
        own::leave_out_hidden(&mut events, actor, &thing);
        let mut corrections = Corrections::default();
        corrections.add(&events);
        events.extend(air_of_stays(&state, services, &mut corrections).await?);
        events.retain(|event| self.before.is_none_or(|before| event.id.0 < before));
        events.sort_by_key(|event| std::cmp::Reverse(event.id));
        let holes = [
            ("batch", &*state.id.to_string()),
            ("name", &state.plan.name),
            ("count", &events.len().to_string()),
        ];
        let mut reply = Reply::new("log history", say("log.history.headline", &holes));
        for event in events.iter().take(MOST) {
            let of = own::subject(services, event).await?;
            let what = match event.what {
                Happening::Moved { chamber } => {
                    let name = lookup::chamber_name(services, chamber).await?;
                    say("log.history.moved", &[("name", &name)])
                }
                _ => describe(&event.what, asking),
            };
            let by = by(event, &state, services);
            reply.lines.push(corrections.line(event, &of, &format!("{what}{by}"), asking));
            reply.stored.push(Stored { of, ..journal::stored(event, "") });
        }
        if let Some(last) = events.get(MOST - 1).filter(|_| events.len() > MOST) {
            let holes = [("batch", &*state.id.to_string()), ("before", &last.id.to_string())];
            reply.next = Some(say("log.history.next", &holes));
        }
        Ok(Done::reply(reply))
    }
}

/// Who made an entry, where that is not the batch's owner.
fn by(event: &Event, state: &BatchState, services: &Services) -> String {
    let name = match event.author {
        Some(author) if author == state.plan.owner => return String::new(),
        Some(author) => lookup::member_name(services, author, state.plan.group),
        None => say("member.former_helper", &[]),
    };
    say("log.history.by", &[("member", &name)])
}

/// What was said of a chamber while the batch was in it counts for the batch, so it can be put right from here; and
/// so does the setting that held when it came in.
async fn air_of_stays(
    state: &BatchState,
    services: &Services,
    corrections: &mut Corrections,
) -> Result<Vec<Event>, CommandError> {
    let over = Some(state.stage()).filter(|(stage, _)| stage.is_over()).map(|(_, at)| at);
    let ends = state.stays.iter().skip(1).map(|(_, next)| Some(*next)).chain([over]);
    let mut found: BTreeMap<EventId, Event> = BTreeMap::new();
    for ((chamber, from), to) in state.stays.iter().zip(ends) {
        let events = services.store.events_of_chamber(*chamber).await?;
        corrections.add(&events);
        found.extend(during(events, *from, to).into_iter().map(|event| (event.id, event)));
    }
    Ok(found.into_values().collect())
}

/// A chamber's entries that counted during a stay, with their corrections.
fn during(mut events: Vec<Event>, from: DateTime<Utc>, to: Option<DateTime<Utc>>) -> Vec<Event> {
    let held = events
        .iter()
        .filter(|event| event.at <= from && matches!(event.what, Happening::RoomSet { .. }))
        .max_by_key(|event| (event.at, event.id))
        .map(|event| event.id);
    let is_inside = |event: &Event| from <= event.at && to.is_none_or(|to| event.at < to);
    let mut counting: BTreeSet<EventId> = events
        .iter()
        .filter(|event| corrected(&event.what).is_none())
        .filter(|event| is_inside(event) || Some(event.id) == held)
        .map(|event| event.id)
        .collect();
    // A correction goes with what it corrects, and may be corrected itself; numbers only go up.
    events.sort_by_key(|event| event.id);
    for event in &events {
        if corrected(&event.what).is_some_and(|of| counting.contains(&of)) {
            counting.insert(event.id);
        }
    }
    events.retain(|event| counting.contains(&event.id));
    events
}

/// What is corrected by which entry.
#[derive(Debug, Default)]
struct Corrections {
    undone: BTreeMap<EventId, EventId>,
    changed: BTreeMap<EventId, EventId>,
}

impl Corrections {
    fn add(&mut self, events: &[Event]) {
        self.undone.extend(own::undone_by(events));
        self.changed.extend(own::changed_by(events));
    }

    fn line(&self, event: &Event, of: &str, what: &str, asking: &Asking) -> String {
        let (id, when) = (event.id.to_string(), stamp(event, asking));
        let line = say("log.history.line", &[("id", &id), ("when", &when), ("of", of), ("what", what)]);
        match (self.undone.get(&event.id), self.changed.get(&event.id)) {
            (Some(by), _) => format!("{line}{}", say("log.history.undone", &[("by", &by.to_string())])),
            (None, Some(by)) => format!("{line}{}", say("log.history.changed", &[("by", &by.to_string())])),
            (None, None) => line,
        }
    }
}

/// When it happened; of a correction, when it was written down. Short, because a history is read in columns.
fn stamp(event: &Event, asking: &Asking) -> String {
    let at = if corrected(&event.what).is_some() { event.recorded_at } else { event.at };
    let local = at.with_timezone(&asking.zone());
    let this_year = asking.now.with_timezone(&asking.zone()).year();
    let shown = if local.year() == this_year { calendar::stamp } else { calendar::stamp_of_year };
    shown(local.naive_local())
}
