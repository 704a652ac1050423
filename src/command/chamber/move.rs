//! `/chamber move`: a batch goes to another chamber.

use super::air::Air;
use crate::command::Args;
use crate::command::access::Deed;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, UserError};
use crate::command::journal::{self, Journal};
use crate::command::lookup::{self, Found, FoundChamber, typable};
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::command::time;
use crate::quantity::TemperatureScale;
use crate::record::{BatchState, Chamber, ChamberId, Happening, Subject};
use crate::reply::{Reply, say, words};
use chrono::{DateTime, Utc};

/// `/chamber move`
pub static SPEC: Spec = Spec {
    root: "chamber",
    verb: "move",
    aliases: &[],
    summary: "hang a batch in another of your chambers",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        needed("to", OptionKind::Text, "the chamber it goes to"),
        maybe("at", OptionKind::Time, "when, if not now"),
    ],
    examples: ["chamber move batch:B1 to:drying room", "chamber move batch:B1 to:home at:yesterday 18:00"],
    private: false,
};

/// A batch that goes to another chamber.
#[derive(Debug, Clone)]
pub struct ChamberMove {
    batch: Option<String>,
    to: String,
    at: DateTime<Utc>,
}

impl ChamberMove {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        Ok(Self {
            batch: args.text("batch").map(str::to_owned),
            to: args.needed("to")?.to_owned(),
            at: args.past("at")?,
        })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let line = format!("chamber move batch:{{batch}} to:{}", self.to);
        let state = match lookup::batch(services, asking, self.batch.as_deref(), Deed::Run, &line).await? {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        let line = format!("chamber move batch:{} to:{{chamber}}", state.id);
        let chamber = match lookup::which_chamber(services, asking, Some(&self.to), &line).await? {
            FoundChamber::Chamber(chamber) => chamber,
            FoundChamber::Ask(question) => return Ok(Done::question(question)),
        };
        let before = self.check(&state, &chamber)?;
        let mut journal = Journal::new(services, asking);
        let what = Happening::Moved { chamber: chamber.id };
        let event = journal.event(Subject::Batch(state.id), self.at, what);
        let mut reply = self.reply(&state, &chamber, asking);
        let when = time::shown(self.at, asking.now, asking.zone());
        let from = lookup::chamber_name(services, before).await?;
        let id = event.id.to_string();
        let holes = [("when", &*when), ("chamber", &from), ("id", &id)];
        reply.lines.push(say("chamber.move.from", &holes));
        let air = Air::at(services, chamber.id, self.at).await?;
        reply.next = Some(next(&air, &chamber, asking));
        reply.stored.push(journal::stored(&event, ""));
        journal.append(event).await?;
        let change = journal.finish().await?;
        reply.due = journal::dues(&change);
        Ok(Done::keeping(change, reply))
    }

    /// Where the batch is now; of a move in the past, how long it stayed there when it has moved on since.
    fn reply(&self, state: &BatchState, chamber: &Chamber, asking: &Asking) -> Reply {
        let moved_on = state.stays.iter().map(|(_, since)| *since).find(|since| *since > self.at);
        let until = moved_on.map(|until| time::shown(until, asking.now, asking.zone()));
        let key = if until.is_some() { "chamber.move.was" } else { "chamber.move.done" };
        let holes = [
            ("batch", &*state.id.to_string()),
            ("name", &state.plan.name),
            ("chamber", &chamber.name),
            ("until", &until.unwrap_or_default()),
        ];
        Reply::new("chamber move", say(key, &holes))
    }

    /// Whether the batch can go there; gives the chamber it was in until then.
    fn check(&self, state: &BatchState, chamber: &Chamber) -> Result<ChamberId, UserError> {
        let example = format!("batch show {}", state.id);
        let batch = state.id.to_string();
        let reached = state.stage().0;
        if reached.is_over() {
            let holes = [("batch", &*batch), ("name", &state.plan.name), ("stage", &*words::stage(reached))];
            return Err(UserError::new(Code::DoesNotFit, say("chamber.move.over", &holes), example));
        }
        let Some(before) = state.chamber_at(self.at) else {
            let sentence = say("chamber.move.before_start", &[("batch", &batch), ("name", &state.plan.name)]);
            return Err(UserError::new(Code::TimeUnclear, sentence, example));
        };
        if before == chamber.id {
            let holes = [("batch", &*batch), ("name", &state.plan.name), ("chamber", &chamber.name)];
            return Err(UserError::new(
                Code::DoesNotFit,
                say("chamber.move.already", &holes),
                "chamber list",
            ));
        }
        Ok(before)
    }
}

/// Degree-hours and drying need the air: asked for where nothing says how warm it is there.
fn next(air: &Air, chamber: &Chamber, asking: &Asking) -> String {
    let key = match (air.is_unknown(), asking.member.settings.temperature) {
        (true, TemperatureScale::Celsius) => "chamber.move.next_set_celsius",
        (true, TemperatureScale::Fahrenheit) => "chamber.move.next_set_fahrenheit",
        (false, TemperatureScale::Celsius) => "chamber.move.next_log_celsius",
        (false, TemperatureScale::Fahrenheit) => "chamber.move.next_log_fahrenheit",
    };
    say(key, &[("chamber", &typable(&chamber.name))])
}
