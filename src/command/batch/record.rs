//! `/batch record`: the record of a batch on paper, as a PDF.

use crate::command::Args;
use crate::command::access::{self, Actor, Deed, may};
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{CommandError, UserError};
use crate::command::lookup::{self, Found};
use crate::command::paper;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::document::pdf;
use crate::reply::say;

/// `/batch record`
pub static SPEC: Spec = Spec {
    root: "batch",
    verb: "record",
    aliases: &["paper"],
    summary: "the record of a batch on paper: a PDF of one to three pages",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        maybe("notes", OptionKind::Choice(&["yes", "no"]), "your private notes in it too; no when not said"),
    ],
    examples: ["batch record B1", "batch record batch:Juniper stick notes:yes"],
    private: true,
};

/// A record to be put on paper.
#[derive(Debug, Clone)]
pub struct BatchRecord {
    batch: Option<String>,
    notes: bool,
}

impl BatchRecord {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let yes = |word: &str| match word {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        };
        let notes = args.choice("notes", yes)?.unwrap_or(false);
        Ok(Self { batch: args.text("batch").map(str::to_owned), notes })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let line = "batch record batch:{batch}";
        let state = match lookup::batch(services, asking, self.batch.as_deref(), Deed::LookAt, line).await? {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        let actor = Actor::of(asking);
        let thing = access::batch(services, actor, &state).await?;
        let with_notes = self.notes && may(actor, Deed::ReadNotes, &thing);
        let asking = paper::as_of(&state, asking);
        let document = paper::record(&state, with_notes, services, &asking).await?;
        let bytes = pdf::document(&document).map_err(|cause| CommandError::Internal(cause.to_string()))?;
        let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name)];
        let headline = say("batch.record.headline", &holes);
        let paper = (bytes, document.about.subject);
        let mut reply = paper::handed_out("batch record", headline, &state, "record", paper);
        if self.notes && !with_notes {
            reply.lines.push(say("batch.record.notes_are_the_owners", &[]));
        }
        Ok(Done::reply(reply))
    }
}
