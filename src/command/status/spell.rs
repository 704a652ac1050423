//! A warm spell of a batch that is not on its fermentation clock.

use super::Look;
use super::fermentation::{climates, figures};
use crate::command::asking::Asking;
use crate::command::error::CommandError;
use crate::curing::fermentation::Fermentation;
use crate::curing::fermentation::off_clock::worst_spell;
use crate::curing::fermentation::warm_spell::{SpellVerdict, WarmSpell};
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
    let text = say(spell.advice.key, &holes);
    // The sums on the card of a batch that ferments are its clock's.
    let is_earlier = state.stage().0 == BatchStage::Fermenting;
    reply.note(spell.level, if is_earlier { say("warm_spell.before", &[("text", &text)]) } else { text });
    if spell.verdict >= SpellVerdict::TreatAsDiscard {
        reply.next = Some(say("ferment.next_discard", &[("batch", &state.id.to_string())]));
    }
    if let Some(report) = spell.degree_hours.as_ref().filter(|_| !is_earlier) {
        reply.figures.extend(figures(report, asking));
    }
    reply.findings.extend(spell.findings.iter().cloned());
}
