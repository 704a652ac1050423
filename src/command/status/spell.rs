//! A warm spell of a batch that is not on its fermentation clock.

use super::Look;
use super::fermentation::{climates, figures};
use crate::command::asking::Asking;
use crate::command::error::CommandError;
use crate::curing::fermentation::acidity::Acidity;
use crate::curing::fermentation::find_spell::find_spells;
use crate::curing::fermentation::history::{Stay, Window};
use crate::curing::fermentation::warm_spell::{
    PieceFacts, SpellPiece, SpellVerdict, WarmSpell, assess_spell,
};
use crate::curing::fermentation::{Course, Fermentation, Systems};
use crate::record::{BatchStage, BatchState};
use crate::reply::{Reply, say};
use chrono::{DateTime, TimeDelta, Utc};

/// A mild spell that was over longer ago than this was answered when it was logged.
const LOOK_BACK: TimeDelta = TimeDelta::days(7);

/// Carrying a batch from one room to another is no spell. This project's choice, no source.
const SHORTEST: TimeDelta = TimeDelta::hours(1);

/// Judges the warm spells around a batch and gives the worst, the later of equals; `None` where there was none, or the
/// clock counts it. A spell goes on through a change of stage and of chamber.
pub async fn of_batch(
    look: Look<'_>,
    state: &BatchState,
    fermentation: Option<&Fermentation>,
) -> Result<Option<WarmSpell>, CommandError> {
    // Of a batch that is over the time until then counts.
    let over = state.stages.iter().find(|(stage, _)| stage.is_over()).map(|(_, at)| *at);
    let stage = state.stages.iter().map(|(stage, _)| *stage).rfind(|stage| !stage.is_over());
    let stage = stage.unwrap_or(BatchStage::Planned);
    if matches!(stage, BatchStage::Planned | BatchStage::Fermenting) {
        return Ok(None);
    }
    let now = over.map_or(look.asking.now, |over| over.min(look.asking.now));
    let since = off_the_clock(state);
    let climates = climates(look, state, since, now).await?;
    let stays = Stay::of_batch(state, &climates);
    let acidity = fermentation.map(|_| Acidity::of(&state.ph, state.plan.thickness));
    let piece_at = |at| {
        let acidity = acidity.as_ref();
        SpellPiece::of(PieceFacts { kind: state.plan.kind, stage, acidity, water_activity: None, at })
    };
    let in_cure = piece_at(since) == SpellPiece::InCure;
    let judged = find_spells(&stays, Window { from: since, closed: None, now }, in_cure).into_iter().filter_map(|(start, end)| {
        if end.unwrap_or(now) - start < SHORTEST {
            return None;
        }
        let course = Course::of_history(&stays, Window { from: start, closed: end, now });
        let spell = assess_spell(piece_at(start), course, Systems::Strict);
        let is_past = end.is_some_and(|end| now - end > LOOK_BACK);
        let matters = spell.verdict >= SpellVerdict::TreatAsDiscard || !is_past;
        (matters && spell.verdict > SpellVerdict::OnTheClock).then_some(spell)
    });
    Ok(judged.max_by_key(|spell| spell.verdict))
}

/// Since when no fermentation clock counts for a batch: since it left fermentation, or else since it left the plan.
fn off_the_clock(state: &BatchState) -> DateTime<Utc> {
    let left = state.stages.iter().rposition(|(stage, _)| *stage == BatchStage::Fermenting);
    let after = left.and_then(|at| state.stages.get(at + 1));
    let first = state.stages.iter().find(|(stage, _)| *stage != BatchStage::Planned);
    after.or(first).map_or_else(|| state.stage().1, |(_, at)| *at)
}

/// Adds what a spell means to a reply.
pub fn add(reply: &mut Reply, state: &BatchState, spell: &WarmSpell, asking: &Asking) {
    let holes: Vec<(&str, &str)> =
        spell.advice.holes.iter().map(|(name, text)| (*name, text.as_str())).collect();
    reply.note(spell.level, say(spell.advice.key, &holes));
    if spell.verdict >= SpellVerdict::TreatAsDiscard {
        reply.next = Some(say("ferment.next_discard", &[("batch", &state.id.to_string())]));
    }
    if let Some(report) = &spell.degree_hours {
        reply.figures.extend(figures(report, asking));
    }
    reply.findings.extend(spell.findings.iter().cloned());
}
