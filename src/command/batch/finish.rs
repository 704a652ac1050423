//! `/batch finish`: nothing hangs any more; the record is complete, can be judged, and can be shown to the group.

use super::cautions::{self, Occasion};
use crate::command::Args;
use crate::command::access::Deed;
use crate::command::appraisal::{self, read_rating};
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::describe;
use crate::command::error::UserError;
use crate::command::journal::{self, Journal};
use crate::command::lookup::{self, Found};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::{sharing, status, summary, tap};
use crate::record::{Appraisal, BatchStage, BatchState, Event, Happening, Subject};
use crate::reply::{Question, Reply, say, words};
use chrono::{DateTime, Utc};

/// The points of a rating.
const POINTS: &[&str] = &["1", "2", "3", "4", "5"];

/// `/batch finish`
pub static SPEC: Spec = Spec {
    root: "batch",
    verb: "finish",
    aliases: &[],
    summary: "close a batch's record and say how it turned out; share:yes shows it to the group",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        maybe("yield", OptionKind::Mass, "what all of it weighs; by its last weighings when not said"),
        maybe("taste", OptionKind::Choice(POINTS), "1 poor, 2 fair, 3 good, 4 very good, 5 excellent"),
        maybe("texture", OptionKind::Choice(POINTS), "how it bites and cuts, 1 poor to 5 excellent"),
        maybe("look", OptionKind::Choice(POINTS), "how the slice looks, 1 poor to 5 excellent"),
        maybe("share", OptionKind::Choice(&["yes", "no"]), "show the record to the group; no when not said"),
        maybe("at", OptionKind::Time, "when, if not now"),
        maybe("notes", OptionKind::Rest, "what to do otherwise next time; only you see it"),
    ],
    examples: [
        "batch finish batch:B1 yield:1.24 kg taste:4 texture:3 look:5",
        "batch finish batch:B1 share:yes",
    ],
    private: false,
};

/// A finished batch weighs less than this part of its raw meat or more than that one only by a slip (judgement, no
/// source: the greatest loss a batch can be started with is 65 %, and what is mixed in adds a few percent).
const LIKELY_YIELD: std::ops::RangeInclusive<f64> = 0.25..=1.1;

/// A batch to be closed, or one that is closed and is judged now.
#[derive(Debug, Clone)]
pub struct BatchFinish {
    batch: Option<String>,
    appraisal: Appraisal,
    notes: Option<String>,
    share: bool,
    at: DateTime<Utc>,
    line: String,
}

impl BatchFinish {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let share = args.choice("share", |word| match word {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        })?;
        let appraisal = Appraisal {
            finished_weight: args.mass("yield")?,
            taste: args.choice("taste", read_rating)?,
            texture: args.choice("texture", read_rating)?,
            look: args.choice("look", read_rating)?,
        };
        Ok(Self {
            batch: args.text("batch").map(str::to_owned),
            appraisal,
            notes: args.text("notes").map(str::to_owned),
            share: share.unwrap_or(false),
            at: args.past("at")?,
            line: args.line().for_batch(),
        })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let of = self.batch.as_deref();
        let state = match lookup::batch(services, asking, of, Deed::Run, &self.line).await? {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        let is_finished = state.stage().0 == BatchStage::Finished;
        if !(is_finished && self.says_something()) {
            lookup::still_open(&state)?;
        }
        if self.share {
            sharing::nothing_over(&state, services, asking).await?;
        }
        if let Some(question) = self.doubt(&state, asking).filter(|_| !asking.confirmed) {
            return Ok(Done::question(question));
        }
        self.close(services, asking, &state).await
    }

    /// Whether it says how the batch turned out.
    fn says_something(&self) -> bool {
        !self.appraisal.is_empty() || self.notes.is_some()
    }

    async fn close(&self, services: &Services, asking: &Asking, state: &BatchState) -> Outcome {
        let mut journal = Journal::new(services, asking);
        let events = self.events(&journal, state);
        let stored: Vec<_> = events.iter().map(|event| journal::stored(event, "")).collect();
        for event in events {
            journal.append(event).await?;
        }
        let after = journal.state(state.id).cloned().unwrap_or_else(|| state.clone());
        let mut change = journal.finish().await?;
        let mut reply = Reply::new("batch finish", headline(state, &after));
        let record = summary::record_lines(&after, services, asking).await?;
        reply.lines.clone_from(&record);
        if let Some(notes) = &self.notes {
            reply.lines.push(say("batch.finish.noted", &[("text", notes)]));
        }
        status::carry_over(&mut reply, &after);
        reply.stored = stored;
        reply.judges = true;
        let batch = state.id.to_string();
        if self.share {
            cautions::add(&mut reply, &after.plan, Occasion::Sharing);
            change.shares.push(sharing::write(&after, &record, asking));
            reply.taps.push(tap::withdraw(state.id));
            reply.next = Some(say("batch.finish.shared", &[("batch", &batch)]));
        } else {
            let ids: Vec<i64> = reply.stored.iter().map(|stored| stored.id).collect();
            reply.undo = Some(say("log.reading.undo", &[("ids", &crate::command::log::ids_shown(&ids))]));
            reply.taps.push(tap::share(state.id));
            reply.next = Some(say("batch.finish.next", &[("batch", &batch)]));
        }
        Ok(Done::keeping(change, reply))
    }

    fn events(&self, journal: &Journal<'_>, state: &BatchState) -> Vec<Event> {
        let event = |what| journal.event(Subject::Batch(state.id), self.at, what);
        let appraisal = self.appraisal;
        let appraised = (!appraisal.is_empty()).then(|| event(Happening::Appraised { appraisal }));
        let noted = self.notes.as_ref().map(|text| event(Happening::Noted { text: text.clone() }));
        let is_open = !state.stage().0.is_over();
        let finished = is_open.then(|| event(Happening::StageReached { stage: BatchStage::Finished }));
        appraised.into_iter().chain(noted).chain(finished).collect()
    }

    /// Pieces that have not reached their target, or that still hang, and a weight that cannot well be.
    fn doubt(&self, state: &BatchState, asking: &Asking) -> Option<Question> {
        let weight = unlikely_weight(state, &self.appraisal, asking);
        let hanging = (!state.stage().0.is_over()).then(|| hanging(state, asking)).flatten();
        let doubts: Vec<String> = weight.into_iter().chain(hanging).collect();
        (!doubts.is_empty()).then(|| Question {
            code: "confirm_finish",
            text: doubts.join(" "),
            example: "yes".to_owned(),
            choices: Vec::new(),
            answers: Vec::new(),
            line: String::new(),
        })
    }
}

fn headline(state: &BatchState, after: &BatchState) -> String {
    let days = summary::days(after).to_string();
    let holes = [("batch", &*state.id.to_string()), ("name", &*state.plan.name), ("days", &*days)];
    let key = if state.stage().0.is_over() { "batch.finish.added" } else { "batch.finish.done" };
    say(key, &holes)
}

fn unlikely_weight(state: &BatchState, said: &Appraisal, asking: &Asking) -> Option<String> {
    let weight = said.finished_weight?;
    let meat = state.plan.meat();
    let part = weight.as_grams() / meat.as_grams();
    (meat.as_grams() > 0.0 && !LIKELY_YIELD.contains(&part)).then(|| {
        let holes = [
            ("batch", &*state.id.to_string()),
            ("weight", &describe::weight(weight, asking)),
            ("meat", &describe::weight(meat, asking)),
        ];
        say("batch.finish.unlikely_weight", &holes)
    })
}

fn hanging(state: &BatchState, asking: &Asking) -> Option<String> {
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
    Some(say(key, &holes))
}

/// What the finished batch weighs as far as its last weighings tell, in the member's unit: what a form is filled with.
pub fn weighed(state: &BatchState, asking: &Asking) -> String {
    appraisal::weight_of_pieces(state).map_or_else(String::new, |weight| describe::mass(weight, asking))
}
