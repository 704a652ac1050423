//! A warm spell of a batch that is not on its fermentation clock.

use super::Look;
use super::fermentation::{climates, figures};
use crate::command::asking::Asking;
use crate::command::error::CommandError;
use crate::curing::fermentation::acidity::Acidity;
use crate::curing::fermentation::find_spell::find_spell;
use crate::curing::fermentation::history::{Stay, Window};
use crate::curing::fermentation::warm_spell::{
    PieceFacts, SpellPiece, SpellVerdict, WarmSpell, assess_spell,
};
use crate::curing::fermentation::{Course, Fermentation, Systems};
use crate::record::{BatchStage, BatchState};
use crate::reply::{Reply, say};
use chrono::TimeDelta;

/// A spell that was over longer ago than this was answered when it was logged.
const LOOK_BACK: TimeDelta = TimeDelta::days(7);

/// Carrying a batch from one room to another is no spell. This project's choice, no source.
const SHORTEST: TimeDelta = TimeDelta::hours(1);

/// Judges the last warm spell around a batch; `None` where there was none, or the clock counts it.
pub async fn of_batch(
    look: Look<'_>,
    state: &BatchState,
    fermentation: Option<&Fermentation>,
) -> Result<Option<WarmSpell>, CommandError> {
    let stage = state.stage().0;
    if stage.is_over() || matches!(stage, BatchStage::Planned | BatchStage::Fermenting) {
        return Ok(None);
    }
    let chamber = state.chamber();
    let from = look.asking.now - LOOK_BACK;
    let climates = climates(look, state, from, look.asking.now).await?;
    let Some(climate) = climates.get(&chamber) else {
        return Ok(None);
    };
    let since = state.stays.last().map_or(from, |(_, since)| (*since).max(from)).max(state.stage().1);
    let acidity = fermentation.map(|_| Acidity::of(&state.ph, state.plan.thickness));
    let facts = PieceFacts {
        kind: state.plan.kind,
        stage,
        acidity: acidity.as_ref(),
        water_activity: None,
        at: since,
    };
    let in_cure = SpellPiece::of(facts) == SpellPiece::InCure;
    let Some((start, end)) = find_spell(climate, since, look.asking.now, in_cure) else {
        return Ok(None);
    };
    if end.unwrap_or(look.asking.now) - start < SHORTEST {
        return Ok(None);
    }
    let piece = SpellPiece::of(PieceFacts { at: start, ..facts });
    let stay = Stay { climate, from: since, to: None };
    let course = Course::of_history(&[stay], Window { from: start, closed: end, now: look.asking.now });
    let spell = assess_spell(piece, course, Systems::Strict);
    Ok((spell.verdict > SpellVerdict::OnTheClock).then_some(spell))
}

/// Adds what a spell means to a reply.
pub fn add(reply: &mut Reply, spell: &WarmSpell, asking: &Asking) {
    let holes: Vec<(&str, &str)> =
        spell.advice.holes.iter().map(|(name, text)| (*name, text.as_str())).collect();
    reply.note(spell.level, say(spell.advice.key, &holes));
    if let Some(report) = &spell.degree_hours {
        reply.figures.extend(figures(report, asking));
    }
    reply.findings.extend(spell.findings.iter().cloned());
}
