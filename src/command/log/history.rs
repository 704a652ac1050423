//! `/log history`: every entry of a batch, also what was undone or changed.

use super::chamber_name_of;
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::describe::describe;
use crate::command::error::{CommandError, UserError};
use crate::command::journal;
use crate::command::lookup::{self, Found};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::time;
use crate::record::correction::effective;
use crate::record::{BatchState, Event, EventId, Happening};
use crate::reply::{Reply, say};
use std::collections::BTreeSet;

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
        let state = match lookup::batch(services, asking, self.batch.as_deref(), "log history batch:{batch}")
            .await?
        {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        lookup::owner_only(&state, asking)?;
        let mut events = services.store.events_of_batch(state.id).await?;
        events.extend(air_of_stays(&state, services).await?);
        let counting: BTreeSet<EventId> = effective(&events).iter().map(|event| event.id).collect();
        events.retain(|event| self.before.is_none_or(|before| event.id.0 < before));
        events.sort_by_key(|event| std::cmp::Reverse(event.id));
        let holes = [
            ("batch", &*state.id.to_string()),
            ("name", &state.plan.name),
            ("count", &events.len().to_string()),
        ];
        let mut reply = Reply::new("log history", say("log.history.headline", &holes));
        for event in events.iter().take(MOST) {
            let chamber = chamber_name_of(services, event).await?;
            reply.lines.push(line(event, &counting, &chamber, asking));
            reply.stored.push(journal::stored(event, &chamber));
        }
        if let Some(last) = events.get(MOST - 1).filter(|_| events.len() > MOST) {
            let holes = [("batch", &*state.id.to_string()), ("before", &last.id.to_string())];
            reply.next = Some(say("log.history.next", &holes));
        }
        Ok(Done::reply(reply))
    }
}

/// What was said of a chamber while the batch was in it counts for the batch, so it can be put right from here.
async fn air_of_stays(state: &BatchState, services: &Services) -> Result<Vec<Event>, CommandError> {
    let mut air = Vec::new();
    let ends = state.stays.iter().skip(1).map(|(_, next)| Some(*next)).chain([None]);
    for ((chamber, from), to) in state.stays.iter().zip(ends) {
        let events = services.store.events_of_chamber(*chamber).await?;
        let during = |event: &Event| *from <= event.at && to.is_none_or(|to| event.at < to);
        air.extend(events.into_iter().filter(during));
    }
    Ok(air)
}

fn line(event: &Event, counting: &BTreeSet<EventId>, chamber: &str, asking: &Asking) -> String {
    let correction = matches!(event.what, Happening::Undone { .. } | Happening::Changed { .. });
    let key =
        if counting.contains(&event.id) || correction { "log.history.line" } else { "log.history.void" };
    let of = journal::subject_shown(event.subject, chamber);
    let when = time::shown(event.at, asking.now, asking.zone());
    say(
        key,
        &[
            ("id", &event.id.to_string()),
            ("when", &when),
            ("of", &of),
            ("what", &describe(&event.what, asking)),
        ],
    )
}
