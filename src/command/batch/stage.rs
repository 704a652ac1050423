//! `/batch stage`: a batch goes on to another stage.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, UserError};
use crate::command::journal::{self, Journal};
use crate::command::lookup::{self, Found};
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::command::status::{self, Look};
use crate::quantity::TemperatureScale;
use crate::record::{BatchStage, BatchState, Happening, Subject};
use crate::reply::{Reply, say, words};
use chrono::{DateTime, Utc};

const STAGES: &[&str] = &["curing", "resting", "cased", "fermenting", "drying", "equalising"];

/// `/batch stage`
pub static SPEC: Spec = Spec {
    root: "batch",
    verb: "stage",
    aliases: &[],
    summary: "say that a batch goes on: curing, resting, cased, fermenting, drying, equalising",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        needed("to", OptionKind::Choice(STAGES), "the stage it goes to"),
        maybe("at", OptionKind::Time, "when, if not now"),
    ],
    examples: ["batch stage batch:B1 to:fermenting", "batch stage batch:B1 to:drying at:yesterday 21:00"],
    private: false,
};

/// A batch that goes on.
#[derive(Debug, Clone)]
pub struct BatchStageSet {
    batch: Option<String>,
    stage: BatchStage,
    at: DateTime<Utc>,
}

impl BatchStageSet {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let batch = args.text("batch").map(str::to_owned);
        let word = args.needed("to")?.to_lowercase();
        let end = match word.as_str() {
            "finished" | "finish" => Some(("batch.stage.use_finish", "batch finish")),
            "discarded" | "discard" => Some(("batch.stage.use_discard", "batch discard")),
            _ => None,
        };
        if let Some((key, command)) = end {
            let example = format!("{command} batch:{}", batch.as_deref().unwrap_or("B1"));
            return Err(UserError::new(Code::UnknownChoice, say(key, &[]), example));
        }
        let stage = args.choice("to", BatchStage::parse)?.filter(|stage| STAGES.contains(&stage.word()));
        Ok(Self {
            batch,
            stage: stage.ok_or_else(|| args.unknown_choice("to", &word))?,
            at: args.past("at")?,
        })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let line = format!("batch stage batch:{{batch}} to:{}", self.stage.word());
        let state = match lookup::own_open_batch(services, asking, self.batch.as_deref(), &line).await? {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        self.check(&state)?;
        let mut journal = Journal::new(services, asking);
        let event =
            journal.event(Subject::Batch(state.id), self.at, Happening::StageReached { stage: self.stage });
        let stored = journal::stored(&event, "");
        journal.append(event).await?;
        let after = journal.state(state.id).cloned().unwrap_or_else(|| (*state).clone());
        let holes = [
            ("batch", &*state.id.to_string()),
            ("name", &state.plan.name),
            ("stage", &*words::stage(self.stage)),
        ];
        let mut reply = Reply::new("batch stage", say("batch.stage.done", &holes));
        status::add_judgement(&mut reply, &after, Look::at_record(services, asking)).await?;
        reply.stored.push(stored);
        let next = say(next_key(self.stage), &[("batch", &state.id.to_string()), ("air", air(asking))]);
        reply.next.get_or_insert(next);
        Ok(Done::keeping(journal.finish().await?, reply))
    }

    fn check(&self, state: &BatchState) -> Result<(), UserError> {
        let example = format!("batch show {}", state.id);
        if !self.stage.suits(state.plan.kind) {
            let holes = [("kind", &*words::kind(state.plan.kind)), ("stage", &*words::stage(self.stage))];
            return Err(UserError::new(Code::DoesNotFit, say("batch.stage.does_not_suit", &holes), example));
        }
        let started = state.stages.first().map_or(state.last_at, |(_, at)| *at);
        if self.at < started {
            return Err(UserError::new(Code::TimeUnclear, say("batch.stage.before_start", &[]), example));
        }
        if state.stage().0 == self.stage {
            let holes = [("batch", &*state.id.to_string()), ("stage", &*words::stage(self.stage))];
            return Err(UserError::new(Code::DoesNotFit, say("batch.stage.already", &holes), example));
        }
        Ok(())
    }
}

/// A reading of a fermenting room, as this member would type it.
const fn air(asking: &Asking) -> &'static str {
    match asking.member.settings.temperature {
        TemperatureScale::Celsius => "24 C 88%",
        TemperatureScale::Fahrenheit => "75 F 88%",
    }
}

const fn next_key(stage: BatchStage) -> &'static str {
    match stage {
        BatchStage::Curing => "batch.stage.next_curing",
        BatchStage::Resting => "batch.stage.next_resting",
        BatchStage::Cased => "batch.stage.next_cased",
        BatchStage::Fermenting => "batch.stage.next_fermenting",
        BatchStage::Drying => "batch.stage.next_drying",
        _ => "batch.stage.next_equalising",
    }
}
