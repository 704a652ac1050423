//! `/batch cure`: keeps the cure that went into a batch, judged. Several cures on one batch add up.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::cure::applied::{Applied, CURE, METHOD, PICKLE, PICKUP, PUMP, SALT, SKIN};
use crate::command::cure::judged::{Judged, judged};
use crate::command::cure::kept;
use crate::command::cure::meat_of::product_of;
use crate::command::cure::options::{COUNTRY, NITRATE, NITRITE, PRODUCT};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::journal::{self, Journal};
use crate::command::lookup::{self, Found};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::curing::Level;
use crate::curing::cure::{Method, time_of_batch};
use crate::quantity::{Mass, compare, format};
use crate::record::correction::effective;
use crate::record::{BatchKind, BatchStage, BatchState, Happening, Subject};
use crate::reply::{Question, Reply, say};
use chrono::{DateTime, Utc};

/// `/batch cure`
pub static SPEC: Spec = Spec {
    root: "batch",
    verb: "cure",
    aliases: &[],
    summary: "keep the cure that went into a batch, judged",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        maybe("method", METHOD, "how it went in; mixed into sausage or rubbed on a muscle when not said"),
        maybe("meat", OptionKind::Mass, "raw meat it went into; the batch's when not said"),
        CURE,
        NITRITE,
        NITRATE,
        SALT,
        PICKLE,
        PUMP,
        PICKUP,
        SKIN,
        PRODUCT,
        COUNTRY,
        maybe("at", OptionKind::Time, "when, if not now"),
    ],
    examples: [
        "batch cure batch:B1 cure:2.5 g nitrite:6.25% salt:22 g",
        "batch cure batch:B2 method:dry meat:1850 g cure:46 g nitrite:0.6% at:yesterday 18:00",
    ],
    private: false,
};

/// A cure to be kept.
#[derive(Debug, Clone)]
pub struct BatchCure {
    batch: Option<String>,
    applied: Applied,
    /// The method follows from the batch's kind.
    by_kind: bool,
    at: DateTime<Utc>,
}

impl BatchCure {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let said = args.choice("method", Method::parse)?.or_else(|| by_options(args));
        Ok(Self {
            batch: args.text("batch").map(str::to_owned),
            applied: Applied::read(args, said.unwrap_or(Method::Comminuted))?,
            by_kind: said.is_none(),
            at: args.past("at")?,
        })
    }

    /// Carries it out. A dose over a limit is kept too: the record says what was done.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let line = self.applied.line.with("batch", "{batch}");
        let state = match lookup::own_open_batch(services, asking, self.batch.as_deref(), &line).await? {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        self.fits(&state)?;
        let applied = self.applied_to(&state);
        let meat = applied.meat.unwrap_or(state.plan.meat());
        let day = self.at.with_timezone(&asking.zone()).date_naive();
        let judged = judged(&applied, meat, Some(product_of(state.plan.kind)), &kept::earlier(&state), day)?;
        if let Some(question) = again(services, &state, &judged).await?.filter(|_| !asking.confirmed) {
            return Ok(Done::question(question));
        }
        let mut journal = Journal::new(services, asking);
        let happening = Happening::Cured { dose: kept::dose(&applied, &judged) };
        let cured = journal.event(Subject::Batch(state.id), self.at, happening);
        let mut reply = reply(&state, &applied, &judged, asking);
        reply.next = Some(match judged.next(&applied, asking) {
            Some(what) => {
                let holes = [("what", &*what), ("id", &cured.id.to_string())];
                match judged.diluted(&applied) {
                    Some(_) => say("batch.cure.next_diluted", &holes),
                    None => say("batch.cure.next_over", &holes),
                }
            }
            None => next(&state, judged.method(), asking),
        });
        reply.stored.push(journal::stored(&cured, ""));
        journal.append(cured).await?;
        if state.plan.kind == BatchKind::WholeMuscle && state.stage().0 == BatchStage::Planned {
            let happening = Happening::StageReached { stage: BatchStage::Curing };
            let curing = journal.event(Subject::Batch(state.id), self.at, happening);
            reply.stored.push(journal::stored(&curing, ""));
            journal.append(curing).await?;
        }
        Ok(Done::keeping(journal.finish().await?, reply))
    }

    fn applied_to(&self, state: &BatchState) -> Applied {
        if self.by_kind && state.plan.kind == BatchKind::WholeMuscle {
            self.applied.clone().rubbed()
        } else {
            self.applied.clone()
        }
    }

    fn fits(&self, state: &BatchState) -> Result<(), UserError> {
        let started = state.stages.first().map_or(state.last_at, |(_, at)| *at);
        if self.at < started {
            let sentence = say("batch.cure.before_start", &[("batch", &state.id.to_string())]);
            return Err(UserError::new(Code::TimeUnclear, sentence, self.applied.line.without("at")));
        }
        Ok(())
    }
}

/// The method the other options speak of.
fn by_options(args: Args<'_>) -> Option<Method> {
    let given = |name| args.text(name).is_some();
    if given("pump") {
        Some(Method::Inject)
    } else if given("pickup") {
        Some(Method::ImmersionPickup)
    } else {
        given("pickle").then_some(Method::Immersion)
    }
}

/// A second cure by the same method may be a second helping, the same one told twice, or a correction. Another
/// method on the same piece simply adds up.
async fn again(
    services: &Services,
    state: &BatchState,
    judged: &Judged,
) -> Result<Option<Question>, CommandError> {
    let method = judged.method().word();
    let Some(before) = state.doses.iter().rev().find(|dose| dose.method == method) else {
        return Ok(None);
    };
    let events = services.store.events_of_batch(state.id).await?;
    let mut cures = effective(&events)
        .into_iter()
        .filter(|event| matches!(&event.what, Happening::Cured { dose } if dose == before));
    let id = cures.next_back().map_or_else(String::new, |event| event.id.to_string());
    let holes = [
        ("batch", &*state.id.to_string()),
        ("name", &state.plan.name),
        ("before", &format::mg_per_kg(before.ingoing_nitrite_mg_per_kg)),
        ("id", &id),
    ];
    Ok(Some(Question {
        code: "confirm_second_cure",
        text: say("batch.cure.again", &holes),
        example: "yes".to_owned(),
        choices: Vec::new(),
        answers: Vec::new(),
        line: String::new(),
    }))
}

fn reply(state: &BatchState, applied: &Applied, judged: &Judged, asking: &Asking) -> Reply {
    let key = match (judged.is_over(), judged.is_nothing(), state.doses.is_empty()) {
        (true, ..) => "batch.cure.headline_over",
        (_, true, _) => "batch.cure.headline_nothing",
        (_, _, true) => "batch.cure.headline",
        _ => "batch.cure.headline_sum",
    };
    let holes = [
        ("batch", &*state.id.to_string()),
        ("name", &state.plan.name),
        ("done", &judged.what_was_done(applied, asking)),
        ("amounts", &judged.amounts()),
        ("verdict", &judged.verdict()),
    ];
    let mut reply = Reply::new("batch cure", say(key, &holes));
    judged.fill(&mut reply, applied, asking);
    if let Some(sentence) = other_weight(state, judged.meat, asking) {
        reply.note(Level::Notice, sentence);
    }
    reply
}

/// A dose on another weight than the batch was started with is worth a word.
fn other_weight(state: &BatchState, meat: Mass, asking: &Asking) -> Option<String> {
    let planned = state.plan.meat();
    if compare::with_tolerance(meat.as_grams(), planned.as_grams()).is_eq() {
        return None;
    }
    let unit = asking.member.settings.mass;
    let holes = [("meat", &*format::mass(meat, unit)), ("planned", &format::mass(planned, unit))];
    Some(say("batch.cure.other_weight", &holes))
}

fn next(state: &BatchState, method: Method, asking: &Asking) -> String {
    let batch = state.id.to_string();
    if state.plan.kind != BatchKind::WholeMuscle {
        return say("batch.cure.next_sausage", &[("batch", &batch)]);
    }
    match time_of_batch(state, Some(method), asking.day()) {
        Some(time) => say("batch.cure.next_muscle", &[("batch", &batch), ("days", &time.days.to_string())]),
        None => say("batch.cure.next_muscle_unknown", &[("batch", &batch)]),
    }
}
