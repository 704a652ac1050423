//! `/batch finish`: nothing hangs any more; the record is complete, and can be shown to the group.

use super::cautions::{self, Occasion};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::UserError;
use crate::command::journal::{self, Journal};
use crate::command::lookup::{self, Found};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::{sharing, status, summary};
use crate::record::{BatchStage, BatchState, Happening, Subject};
use crate::reply::{Question, Reply, say, words};
use chrono::{DateTime, Utc};

/// `/batch finish`
pub static SPEC: Spec = Spec {
    root: "batch",
    verb: "finish",
    aliases: &[],
    summary: "close a batch's record; share:yes shows it to the group",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        maybe("share", OptionKind::Choice(&["yes", "no"]), "show the record to the group; no when not said"),
        maybe("at", OptionKind::Time, "when, if not now"),
    ],
    examples: ["batch finish batch:B1", "batch finish batch:B1 share:yes"],
    private: false,
};

/// A batch to be closed.
#[derive(Debug, Clone)]
pub struct BatchFinish {
    batch: Option<String>,
    share: bool,
    at: DateTime<Utc>,
}

impl BatchFinish {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let share = args.choice("share", |word| match word {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        })?;
        Ok(Self {
            batch: args.text("batch").map(str::to_owned),
            share: share.unwrap_or(false),
            at: args.past("at")?,
        })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let line = format!("batch finish batch:{{batch}}{}", if self.share { " share:yes" } else { "" });
        let state = match lookup::own_open_batch(services, asking, self.batch.as_deref(), &line).await? {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        if self.share {
            sharing::nothing_over(&state, services, asking).await?;
        }
        if let Some(question) = doubt(&state, asking).filter(|_| !asking.confirmed) {
            return Ok(Done::question(question));
        }
        self.close(services, asking, &state).await
    }

    async fn close(&self, services: &Services, asking: &Asking, state: &BatchState) -> Outcome {
        let mut journal = Journal::new(services, asking);
        let event = journal.event(
            Subject::Batch(state.id),
            self.at,
            Happening::StageReached { stage: BatchStage::Finished },
        );
        let stored = journal::stored(&event, "");
        journal.append(event).await?;
        let after = journal.state(state.id).cloned().unwrap_or_else(|| state.clone());
        let mut change = journal.finish().await?;
        let days = summary::days(&after).to_string();
        let mut reply = Reply::new(
            "batch finish",
            say(
                "batch.finish.done",
                &[("batch", &state.id.to_string()), ("name", &state.plan.name), ("days", &days)],
            ),
        );
        reply.lines = summary::record_lines(&after, services, asking).await?;
        status::carry_over(&mut reply, &after);
        reply.stored.push(stored);
        reply.judges = true;
        if self.share {
            cautions::add(&mut reply, &after.plan, Occasion::Sharing);
            change.shares.push(sharing::write(&after, &reply.lines, asking));
            reply.next = Some(say("batch.finish.shared", &[("batch", &state.id.to_string())]));
        } else {
            reply.next = Some(say("batch.finish.next", &[("batch", &state.id.to_string())]));
        }
        Ok(Done::keeping(change, reply))
    }
}

/// Pieces that have not reached their target, or that still hang, are asked about.
fn doubt(state: &BatchState, asking: &Asking) -> Option<Question> {
    let progress = status::progress(state, asking);
    let short = progress.pieces.iter().filter(|piece| piece.target.is_some() && !piece.reached).count();
    let hanging = progress.pieces.len();
    let stage = state.stage().0;
    let key = if stage < BatchStage::Drying {
        "batch.finish.not_dried"
    } else if short > 0 {
        "batch.finish.short_of_target"
    } else if hanging > 0 && state.stage().0 < BatchStage::Equalising {
        "batch.finish.still_hanging"
    } else {
        return None;
    };
    let holes = [
        ("batch", &*state.id.to_string()),
        ("short", &short.to_string()),
        ("hanging", &hanging.to_string()),
        ("stage", &*words::stage(stage)),
    ];
    Some(Question {
        code: "confirm_finish",
        text: say(key, &holes),
        example: "yes".to_owned(),
        choices: Vec::new(),
        answers: Vec::new(),
        line: String::new(),
    })
}
