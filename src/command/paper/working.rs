//! How the figures of a record were worked out, where the rules stand, cautions, and the owner's notes.

use super::head::signal;
use super::rules::shown;
use super::{Paper, Space, day, lost};
use crate::command::batch::cautions::Occasion;
use crate::command::cure::working;
use crate::command::status::fermentation;
use crate::curing::Finding;
use crate::curing::caution;
use crate::curing::cure::{Application, CureLabel, GreenWeight, Method};
use crate::document::Block;
use crate::quantity::{MassUnit, compare, format};
use crate::record::{Dose, Happening};
use crate::reply::finding::{full_source, standing_shown};
use crate::reply::say;

/// Stretches of warmth and the like: lines of the working of a fermentation.
const MOST_LINES: usize = 14;

pub(super) fn blocks(paper: &Paper<'_>) -> Vec<Block> {
    let mut lines: Vec<String> = paper.state.doses.iter().flat_map(of_dose).collect();
    if let Some(known) = &paper.fermentation {
        let mut of_fermentation = fermentation::working(&known.degree_hours);
        let left = of_fermentation.len().saturating_sub(MOST_LINES);
        of_fermentation.truncate(MOST_LINES);
        lines.extend(of_fermentation);
        if left > 0 {
            lines.push(say("paper.working_left", &[("count", &left.to_string())]));
        }
    }
    lines.extend(of_loss(paper));
    let mut sources: Vec<String> = shown(paper).0.into_iter().map(where_it_stands).collect();
    if paper.space == Space::Narrowest && !sources.is_empty() {
        let left = sources.len().to_string();
        sources = vec![say("paper.places_left", &[("count", &left), ("batch", &paper.state.id.to_string())])];
    }
    if lines.is_empty() && sources.is_empty() {
        return Vec::new();
    }
    let mut blocks = vec![Block::Heading(say("paper.working", &[]))];
    blocks.extend(lines.into_iter().map(Block::Small));
    blocks.extend(sources.into_iter().map(Block::Small));
    blocks
}

/// Where a rule stands in its source; on paper it needs no brackets.
fn where_it_stands(finding: &Finding) -> String {
    let source = full_source(finding);
    source.trim_start_matches('[').trim_end_matches(']').to_owned()
}

/// The formula of a cure, where the record holds all that is in it: not the pickle of a brine, not that skin was left out.
fn of_dose(dose: &Dose) -> Vec<String> {
    let kept = || {
        let holes = [
            ("cure", &*format::mass_exact(dose.cure, MassUnit::Gram)),
            ("meat", &format::mass_exact(dose.meat, MassUnit::Gram)),
            ("value", &format::mg_per_kg(dose.ingoing_nitrite_mg_per_kg)),
        ];
        vec![say("paper.working_kept", &holes)]
    };
    let meat = GreenWeight::of(dose.meat);
    let application = match Method::parse(&dose.method) {
        Some(Method::Comminuted) => Application::Comminuted { meat },
        Some(Method::Dry) => Application::Dry { meat },
        _ => return kept(),
    };
    let Ok(label) = CureLabel::new(dose.nitrite, dose.nitrate) else { return kept() };
    match application.ingoing(dose.cure, &label) {
        Ok(ingoing)
            if compare::with_tolerance(
                ingoing.nitrite_as_sodium_nitrite().mg_per_kg(),
                dose.ingoing_nitrite_mg_per_kg,
            )
            .is_eq() =>
        {
            working::ingoing(&application, dose.cure, &label, &ingoing, None)
        }
        _ => kept(),
    }
}

/// The loss of the first piece that was weighed, as an example of all.
fn of_loss(paper: &Paper<'_>) -> Option<String> {
    let piece = paper.state.pieces.iter().find(|piece| !piece.since_hung().is_empty())?;
    let grams = |mass: crate::quantity::Mass| format::mass_exact(mass, MassUnit::Gram);
    let lost = lost(piece)?;
    let holes = [
        ("piece", &*piece.hung.number.to_string()),
        ("now", &grams(piece.last_gross().0)),
        ("tare", &grams(piece.hung.tare)),
        ("hung", &grams(piece.hung.hung)),
        ("loss", &format::percent_with(lost, 1)),
    ];
    Some(say("paper.working_loss", &holes))
}

/// What is said of such a batch when it is shown to others, with where each stands.
pub(super) fn cautions(paper: &Paper<'_>) -> Vec<Block> {
    let plan = &paper.state.plan;
    let meats: Vec<&str> = plan.meats.iter().map(|meat| meat.species.as_str()).collect();
    let all = caution::of(&meats, plan.kind, Occasion::Sharing);
    if all.is_empty() {
        return Vec::new();
    }
    let mut blocks = vec![Block::Heading(say("paper.cautions", &[]))];
    let mut sources = Vec::new();
    for caution in all {
        let text = say(&format!("caution.{}", caution.id), &[]);
        let standing = standing_shown(caution.standing);
        let holes = [("text", text.trim_end_matches('.')), ("standing", &standing)];
        blocks.push(Block::Signal(signal(caution.level, say("batch.caution", &holes))));
        let holes = [("source", &*caution.source), ("where", &caution.place)];
        let source = say("batch.caution_source", &holes);
        if !sources.contains(&source) {
            sources.push(source);
        }
    }
    blocks.push(Block::Small(sources.join(" ")));
    blocks
}

/// The owner's own notes.
pub(super) fn notes(paper: &Paper<'_>) -> Vec<Block> {
    let notes = paper.events.iter().filter_map(|event| match &event.what {
        Happening::Noted { text } => Some(Block::Paragraph(say(
            "paper.note",
            &[("when", &day(event.at, paper.asking)), ("text", text)],
        ))),
        _ => None,
    });
    let notes: Vec<Block> = notes.collect();
    if notes.is_empty() {
        return Vec::new();
    }
    std::iter::once(Block::Heading(say("paper.notes", &[]))).chain(notes).collect()
}
