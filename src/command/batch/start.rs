//! `/batch start`: writes a batch down.

use super::cautions::{self, Occasion};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::describe;
use crate::command::error::{Code, UserError};
use crate::command::intake::meats;
use crate::command::journal::{self, Journal};
use crate::command::line::shown;
use crate::command::lookup;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::quantity::format;
use crate::quantity::{Fraction, Length, Ph};
use crate::record::{BatchKind, BatchPlan, BatchState, Happening, Meat, Subject};
use crate::reply::{Reply, say, words};
use chrono::{DateTime, Utc};

const KINDS: &[&str] = &["fermented-sausage", "dried-sausage", "whole-muscle"];

/// `/batch start`
pub static SPEC: Spec = Spec {
    root: "batch",
    verb: "start",
    aliases: &[],
    summary: "write a new batch down",
    options: &[
        needed("name", OptionKind::Text, "what you call it"),
        needed("kind", OptionKind::Choice(KINDS), "fermented-sausage, dried-sausage or whole-muscle"),
        needed("meat", OptionKind::Mass, "raw weight, e.g. 1.6 kg pork, 0.4 kg back fat"),
        maybe("species", OptionKind::Text, "of a meat that is not named in meat:"),
        maybe("casing", OptionKind::Length, "stuffed diameter, e.g. 50 mm"),
        maybe("thickness", OptionKind::Length, "of a whole muscle, e.g. 60 mm"),
        maybe("loss", OptionKind::Percent, "target loss of the hung weight, e.g. 38%"),
        maybe("ph", OptionKind::Text, "the pH to ferment to, e.g. 5.1"),
        maybe("chamber", OptionKind::Text, "where it starts; home when you name none"),
        maybe("at", OptionKind::Time, "when, if not now, e.g. yesterday 18:00"),
    ],
    examples: [
        "batch start name:Juniper stick kind:fermented-sausage meat:2.4 kg pork casing:50 mm loss:38% ph:5.1",
        "batch start name:Neck kind:whole-muscle meat:1850 g pork thickness:70 mm loss:35%",
    ],
    private: false,
};

/// The longest name of a batch.
pub(super) const LONGEST_NAME: usize = 60;

/// The target losses anybody dries to: outside this a number is a slip.
const LOSS_RANGE: std::ops::RangeInclusive<f64> = 0.05..=0.65;

/// The pH a fermentation can be meant to reach.
const END_PH_RANGE: std::ops::RangeInclusive<f64> = 4.2..=5.6;

/// Casings and muscles outside this are a slip of the unit.
const THICKNESS_RANGE_MM: std::ops::RangeInclusive<f64> = 10.0..=300.0;

/// A batch to be written down.
#[derive(Debug, Clone)]
pub struct BatchStart {
    name: String,
    kind: BatchKind,
    meats: Vec<Meat>,
    thickness: Option<Length>,
    target_loss: Option<Fraction>,
    target_ph: Option<Ph>,
    chamber: Option<String>,
    at: DateTime<Utc>,
}

impl BatchStart {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let kind = args.choice("kind", BatchKind::parse)?;
        Ok(Self {
            name: name(args)?,
            kind: kind.ok_or_else(|| args.missing("kind"))?,
            meats: meat(args)?,
            thickness: thickness(args)?,
            target_loss: in_range(args, "loss", args.percent("loss")?, |loss| {
                LOSS_RANGE.contains(&loss.as_one())
            })?,
            target_ph: in_range(args, "ph", args.ph("ph")?, |ph| END_PH_RANGE.contains(&ph.value()))?,
            chamber: args.text("chamber").map(str::to_owned),
            at: args.past("at")?,
        })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let chamber = lookup::chamber(services, asking, self.chamber.as_deref()).await?;
        let plan = BatchPlan {
            name: self.name.clone(),
            owner: asking.member.id,
            group: asking.group.id,
            kind: self.kind,
            meats: self.meats.clone(),
            thickness: self.thickness,
            target_loss: self.target_loss,
            target_ph: self.target_ph,
            chamber: chamber.id,
        };
        let mut journal = Journal::new(services, asking);
        let batch = services.store.next_batch_id();
        let event = journal.event(Subject::Batch(batch), self.at, Happening::Started { plan });
        let stored = journal::stored(&event, &chamber.name);
        let state = journal.start(event)?;
        let mut reply = started(&state, asking);
        reply.stored.push(stored);
        Ok(Done::keeping(journal.finish().await?, reply))
    }
}

fn name(args: Args<'_>) -> Result<String, UserError> {
    let name = args.needed("name")?;
    if name.chars().count() > LONGEST_NAME {
        let most = LONGEST_NAME.to_string();
        return Err(args.error(Code::OutOfRange, say("batch.start.name_too_long", &[("most", &most)])));
    }
    // A name that reads like a number would hide the batch of that number.
    let bare = name.trim_start_matches(['B', 'b', '#']);
    if bare.chars().all(|letter| letter.is_ascii_digit()) {
        return Err(
            args.error(Code::OutOfRange, say("batch.start.name_is_a_number", &[("typed", &shown(name))]))
        );
    }
    Ok(name.to_owned())
}

fn meat(args: Args<'_>) -> Result<Vec<Meat>, UserError> {
    let mut list = meats(args.needed("meat")?).map_err(|error| args.intake_error("meat", &error))?;
    if let Some(species) = args.text("species") {
        for meat in list.iter_mut().filter(|meat| meat.species.is_empty()) {
            species.clone_into(&mut meat.species);
        }
    }
    Ok(list)
}

fn thickness(args: Args<'_>) -> Result<Option<Length>, UserError> {
    let name = if args.text("casing").is_some() { "casing" } else { "thickness" };
    in_range(args, name, args.length(name)?, |length| THICKNESS_RANGE_MM.contains(&length.as_millimetres()))
}

fn in_range<T>(
    args: Args<'_>,
    name: &str,
    value: Option<T>,
    fits: impl Fn(&T) -> bool,
) -> Result<Option<T>, UserError> {
    match value {
        Some(value) if !fits(&value) => {
            let typed = args.text(name).unwrap_or_default();
            let range = say(&format!("batch.start.range_{name}"), &[]);
            let holes = [("option", name), ("typed", &*shown(typed)), ("range", &range)];
            let example = args.line().with(name, &say(&format!("batch.start.typical_{name}"), &[]));
            Err(UserError::new(Code::OutOfRange, say("batch.start.out_of_range", &holes), example))
        }
        value => Ok(value),
    }
}

pub(super) fn started(state: &BatchState, asking: &Asking) -> Reply {
    let plan = &state.plan;
    let meat = plan.meat();
    let mut holes = vec![
        ("batch", state.id.to_string()),
        ("name", plan.name.clone()),
        ("kind", words::kind(plan.kind)),
        ("meat", meats_shown(&plan.meats, asking)),
    ];
    holes.push(("goals", goals(plan)));
    let holes: Vec<(&str, &str)> = holes.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let mut reply = Reply::new("batch start", say("batch.start.headline", &holes));
    cautions::add(&mut reply, plan, Occasion::Start);
    reply.next = Some(say(
        next_key(plan.kind),
        &[("batch", &state.id.to_string()), ("meat", &describe::mass(meat, asking))],
    ));
    reply
}

const fn next_key(kind: BatchKind) -> &'static str {
    match kind {
        BatchKind::FermentedSausage | BatchKind::DriedSausage => "batch.start.next_sausage",
        BatchKind::WholeMuscle => "batch.start.next_muscle",
    }
}

/// The meats in the member's unit: "1.6 kg pork, 400 g back fat".
pub(super) fn meats_shown(meats: &[Meat], asking: &Asking) -> String {
    let one = |meat: &Meat| {
        format!("{} {}", format::mass(meat.mass, asking.member.settings.mass), meat.species)
            .trim_end()
            .to_owned()
    };
    meats.iter().map(one).collect::<Vec<_>>().join(", ")
}

fn goals(plan: &BatchPlan) -> String {
    let loss = plan.target_loss.map(|loss| say("batch.start.goal_loss", &[("loss", &format::percent(loss))]));
    let ph = plan.target_ph.map(|ph| say("batch.start.goal_ph", &[("ph", &format::ph(ph))]));
    [loss, ph].into_iter().flatten().collect()
}
