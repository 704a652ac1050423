//! `/batch note`: a private note.

use crate::command::Args;
use crate::command::access::Deed;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::UserError;
use crate::command::journal::{self, Journal};
use crate::command::lookup::{self, Found};
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::record::{Happening, Subject};
use crate::reply::{Reply, say};
use chrono::{DateTime, Utc};

/// `/batch note`
pub static SPEC: Spec = Spec {
    root: "batch",
    verb: "note",
    aliases: &[],
    summary: "keep a private note with a batch",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        maybe("at", OptionKind::Time, "when, if not now"),
        needed("text", OptionKind::Rest, "the note, to the end of the line"),
    ],
    examples: [
        "batch note batch:B1 text:fat smeared a little, grind colder next time",
        "batch note batch:B1 at:yesterday 18:00 text:cold smoked for 4 h",
    ],
    private: true,
};

/// A note to be kept.
#[derive(Debug, Clone)]
pub struct BatchNote {
    batch: Option<String>,
    at: DateTime<Utc>,
    text: String,
}

impl BatchNote {
    /// Of words that were said beside a reading.
    pub fn of(batch: Option<String>, at: DateTime<Utc>, text: &str) -> Self {
        Self { batch, at, text: text.to_owned() }
    }

    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        Ok(Self {
            batch: args.text("batch").map(str::to_owned),
            at: args.past("at")?,
            text: args.needed("text")?.to_owned(),
        })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let line = format!("batch note batch:{{batch}} text:{}", self.text);
        let state = match lookup::batch(services, asking, self.batch.as_deref(), Deed::Run, &line).await? {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        let mut journal = Journal::new(services, asking);
        let event =
            journal.event(Subject::Batch(state.id), self.at, Happening::Noted { text: self.text.clone() });
        let mut reply = Reply::new(
            "batch note",
            say("batch.note.kept", &[("batch", &state.id.to_string()), ("name", &state.plan.name)]),
        );
        reply.stored.push(journal::stored_as(&event, "", self.text.clone()));
        journal.append(event).await?;
        Ok(Done::keeping(journal.finish().await?, reply))
    }
}
