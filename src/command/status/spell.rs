//! A warm spell of a batch that is not on its fermentation clock.

use super::Look;
use super::fermentation::{climates, figures};
use crate::command::asking::Asking;
use crate::command::error::CommandError;
use crate::curing::fermentation::Fermentation;
use crate::curing::fermentation::off_clock::worst_spell;
use crate::curing::fermentation::warm_spell::{SpellPiece, SpellVerdict, WarmSpell};
use crate::record::{BatchStage, BatchState};
use crate::reply::{Reply, say};

/// The worst warm spell off the clock; `None` where there was none that matters now.
pub async fn of_batch(
    look: Look<'_>,
    state: &BatchState,
    fermentation: Option<&Fermentation>,
) -> Result<Option<WarmSpell>, CommandError> {
    let Some(since) = state.in_hand_since() else {
        return Ok(None);
    };
    let climates = climates(look, state, since, look.asking.now).await?;
    Ok(worst_spell(state, &climates, fermentation, look.asking.now))
}

/// Adds what a spell means to a reply.
pub fn add(reply: &mut Reply, state: &BatchState, spell: &WarmSpell, asking: &Asking) {
    let holes: Vec<(&str, &str)> =
        spell.advice.holes.iter().map(|(name, text)| (*name, text.as_str())).collect();
    // The sums on the card of a batch that ferments are its clock's.
    let (stage, stage_since) = state.stage();
    let is_fermenting = stage == BatchStage::Fermenting;
    let is_earlier = is_fermenting && spell.since.is_none_or(|since| since < stage_since);
    let text = if is_fermenting && !is_earlier && spell.piece == SpellPiece::Soured {
        say("warm_spell.after_clock", &[])
    } else {
        say(spell.advice.key, &holes)
    };
    reply.note(spell.level, if is_earlier { say("warm_spell.before", &[("text", &text)]) } else { text });
    if spell.verdict >= SpellVerdict::TreatAsDiscard {
        reply.next = Some(say("ferment.next_discard", &[("batch", &state.id.to_string())]));
    }
    if let Some(report) = spell.degree_hours.as_ref().filter(|_| !is_fermenting) {
        reply.figures.extend(figures(report, asking));
    }
    reply.findings.extend(spell.findings.iter().cloned());
}
