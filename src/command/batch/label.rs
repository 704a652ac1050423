//! `/batch label`: labels of a batch to print and cut apart, one for each piece.

use crate::command::Args;
use crate::command::access::Deed;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{CommandError, UserError};
use crate::command::lookup::{self, Found};
use crate::command::paper;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::document::pdf;
use crate::reply::say;

/// `/batch label`
pub static SPEC: Spec = Spec {
    root: "batch",
    verb: "label",
    aliases: &["labels"],
    summary: "labels to print, one for each piece: A4 with marks to cut by",
    options: &[maybe("batch", OptionKind::Batch, "number or name; your only open one when not said")],
    examples: ["batch label B1", "batch label batch:Juniper stick"],
    private: true,
};

/// Labels to be printed.
#[derive(Debug, Clone)]
pub struct BatchLabel {
    batch: Option<String>,
}

impl BatchLabel {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        Ok(Self { batch: args.text("batch").map(str::to_owned) })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let line = "batch label batch:{batch}";
        let state = match lookup::batch(services, asking, self.batch.as_deref(), Deed::LookAt, line).await? {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        let asking = paper::as_of(&state, asking);
        let sheet = paper::sheet(&state, services, &asking).await?;
        let bytes = pdf::labels(&sheet).map_err(|cause| CommandError::Internal(cause.to_string()))?;
        let holes = [
            ("labels", &*sheet.labels.len().to_string()),
            ("batch", &state.id.to_string()),
            ("name", &state.plan.name),
        ];
        let headline = say("batch.label.headline", &holes);
        let paper = (bytes, sheet.about.subject);
        Ok(Done::reply(paper::handed_out("batch label", headline, &state, "labels", paper)))
    }
}
