//! The head of a record: what it is of, what stands against it, and its figures at a glance.

use super::rules::{Cure, findings};
use super::{Paper, day, moment};
use crate::command::asking::Services;
use crate::command::{describe, lookup, summary};
use crate::curing::Level;
use crate::document::{Block, Field, Signal, Tint};
use crate::quantity::{Fraction, LengthUnit, Mass, format};
use crate::record::state::Piece;
use crate::record::{BatchKind, BatchStage, BatchState};
use crate::reply::finding::{advice, sentence, verdict};
use crate::reply::{say, words};

pub(super) fn blocks(paper: &Paper<'_>, services: &Services) -> Vec<Block> {
    let Paper { state, asking, .. } = paper;
    let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name)];
    let mut blocks = vec![Block::Title(say("paper.title", &holes))];
    let holes = [
        ("kind", &*words::kind(state.plan.kind)),
        ("member", &lookup::member_name(services, state.plan.owner, state.plan.group)),
        ("when", &moment(asking.now, asking)),
        ("zone", asking.zone().name()),
    ];
    blocks.push(Block::Paragraph(say("paper.of", &holes)));
    blocks.extend(against(paper).into_iter().map(Block::Signal));
    blocks.push(Block::Fields(fields(paper)));
    blocks
}

/// A sentence with its word.
pub(super) fn signal(level: Level, text: String) -> Signal {
    let tint = match level {
        Level::Danger | Level::Warning => Tint::Warning,
        Level::Caution => Tint::Caution,
        Level::Notice | Level::None => Tint::Quiet,
    };
    Signal { word: words::signal(level), text, tint }
}

/// What stands against the batch, loudest first, each sentence once.
fn against(paper: &Paper<'_>) -> Vec<Signal> {
    let state = paper.state;
    let mut all: Vec<(Level, String)> = Vec::new();
    if let Some(reason) = &state.discard_reason {
        let holes = [("when", &*day(state.stage().1, paper.asking)), ("reason", reason)];
        all.push((Level::Warning, say("paper.discarded", &holes)));
    }
    let notes = paper.card.notes.iter().map(|note| (note.level, note.text.clone()));
    all.extend(notes);
    // What to do is said once, however many rules ask for it.
    let mut advised: Vec<String> = Vec::new();
    for finding in findings(paper) {
        let advice = advice(finding);
        let is_said = advice.as_ref().is_some_and(|advice| advised.contains(advice));
        all.push((finding.level, if is_said { verdict(finding) } else { sentence(finding) }));
        advised.extend(advice.filter(|_| finding.level > Level::None));
    }
    all.retain(|(level, _)| *level > Level::None);
    all.sort_by_key(|(level, _)| std::cmp::Reverse(*level));
    let mut said: Vec<String> = Vec::new();
    all.retain(|(_, text)| {
        let is_new = !said.contains(text);
        said.push(text.clone());
        is_new
    });
    all.into_iter().map(|(level, text)| signal(level, text)).collect()
}

fn fields(paper: &Paper<'_>) -> Vec<Field> {
    let Paper { state, asking, .. } = paper;
    let plan = &state.plan;
    let (stage, since) = state.stage();
    let at = |stage: BatchStage| state.reached(stage).map(|at| day(at, asking));
    let hung = state.pieces.iter().map(|piece| piece.hung_at).min().map(|at| day(at, asking));
    let unit = asking.member.settings.mass;
    let inches = !matches!(unit, crate::quantity::MassUnit::Gram | crate::quantity::MassUnit::Kilogram);
    let across = plan.thickness.map(|thickness| {
        format::length(thickness, if inches { LengthUnit::Inch } else { LengthUnit::Millimetre })
    });
    let thickness_key =
        if plan.kind == BatchKind::WholeMuscle { "paper.field.thickness" } else { "paper.field.casing" };
    let ph = state.ph.last().map(|last| format::ph(last.ph));
    let holes = [("stage", &*words::stage(stage)), ("since", &day(since, asking))];
    let fields = [
        ("paper.field.meat", Some(format::mass(plan.meat(), unit))),
        ("paper.field.stage", Some(say("paper.stage", &holes))),
        ("paper.field.started", state.stages.first().map(|(_, at)| day(*at, asking))),
        ("paper.field.hung", hung),
        ("paper.field.fermented", at(BatchStage::Fermenting)),
        ("paper.field.drying", at(BatchStage::Drying)),
        ("paper.field.days", Some(say("paper.days", &[("days", &summary::days(state).to_string())]))),
        (thickness_key, across),
        ("paper.field.nitrite", paper.cure.as_ref().map(Cure::nitrite)),
        ("paper.field.nitrate", paper.cure.as_ref().and_then(Cure::nitrate)),
        ("paper.field.target_ph", plan.target_ph.map(format::ph)),
        ("paper.field.ph", ph),
        ("paper.field.target_loss", plan.target_loss.map(format::percent)),
        ("paper.field.loss", loss(state).map(|loss| format::percent_with(loss, 1))),
        (
            "paper.field.finished_weight",
            state.appraisal.finished_weight.map(|mass| describe::mass(mass, asking)),
        ),
        (
            "paper.field.stored",
            state.stored.last().map(|(storage, at)| stored(storage.kind.word(), &day(*at, asking))),
        ),
    ];
    let field = |(key, value): (&str, Option<String>)| Some(Field { name: say(key, &[]), value: value? });
    fields.into_iter().filter_map(field).collect()
}

fn stored(how: &str, when: &str) -> String {
    let how = say(&format!("batch.store.how.{how}"), &[]);
    say("paper.stored", &[("how", &how), ("when", when)])
}

/// The loss over every piece that was not thrown away, each at its own last weighing; `None` before any was weighed.
fn loss(state: &BatchState) -> Option<Fraction> {
    let is_weighed = state.pieces.iter().any(|piece| !piece.since_hung().is_empty());
    let green: f64 = state.pieces.iter().map(|piece| piece.green().as_grams()).sum();
    let now: f64 = state.pieces.iter().map(Piece::last_net).map(Mass::as_grams).sum();
    (is_weighed && green > 0.0).then(|| Fraction::of_one(1.0 - now / green))
}
