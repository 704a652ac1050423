//! `/batch discard`: a batch is thrown away, with a reason.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::UserError;
use crate::command::journal::{self, Journal};
use crate::command::lookup::{self, Found};
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::curing::Level;
use crate::record::{BatchState, Happening, Subject};
use crate::reply::{Question, Reply, say};
use chrono::{DateTime, Utc};

/// `/batch discard`
pub static SPEC: Spec = Spec {
    root: "batch",
    verb: "discard",
    aliases: &[],
    summary: "throw a batch away and keep the reason",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        maybe("at", OptionKind::Time, "when, if not now"),
        needed("reason", OptionKind::Rest, "why, to the end of the line"),
    ],
    examples: [
        "batch discard batch:B1 reason:degree-hours exceeded, pH never reached",
        "batch discard batch:B2 reason:smells sour at the bone",
    ],
    private: false,
};

/// A batch to be thrown away.
#[derive(Debug, Clone)]
pub struct BatchDiscard {
    batch: Option<String>,
    at: DateTime<Utc>,
    reason: String,
}

impl BatchDiscard {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        Ok(Self {
            batch: args.text("batch").map(str::to_owned),
            at: args.past("at")?,
            reason: args.needed("reason")?.to_owned(),
        })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let line = format!("batch discard batch:{{batch}} reason:{}", self.reason);
        let state = match lookup::own_open_batch(services, asking, self.batch.as_deref(), &line).await? {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        if !asking.confirmed {
            return Ok(Done::question(confirm(&state, &self.reason)));
        }
        let mut journal = Journal::new(services, asking);
        let event = journal.event(
            Subject::Batch(state.id),
            self.at,
            Happening::Discarded { reason: self.reason.clone() },
        );
        let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name), ("reason", &self.reason)];
        let mut reply = Reply::new("batch discard", say("batch.discard.done", &holes));
        reply.note(Level::Caution, say("batch.discard.how", &[]));
        reply.stored.push(journal::stored(&event, ""));
        journal.append(event).await?;
        Ok(Done::keeping(journal.finish().await?, reply))
    }
}

fn confirm(state: &BatchState, reason: &str) -> Question {
    let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name), ("reason", reason)];
    Question {
        code: "confirm_discard",
        text: say("batch.discard.confirm", &holes),
        example: "yes".to_owned(),
        choices: Vec::new(),
        answers: Vec::new(),
        line: String::new(),
    }
}
