//! Where a batch stands: the figures and findings of its card, and of every answer that touches it.

pub mod alarms;
mod card;
pub mod fermentation;
pub mod finish;
pub mod helpers;
pub mod observation;
pub mod spell;

pub use card::{add_targets, card, headline, progress};
pub use observation::{add_advice, add_observation};

use super::asking::{Asking, Services};
use super::error::CommandError;
use crate::curing::Level;
use crate::curing::fermentation::off_clock::worst_spell;
use crate::curing::fermentation::{ClockState, Fermentation, Systems, Verdict};
use crate::record::{BatchStage, BatchState, Event};
use crate::reply::finding::advice;
use crate::reply::{Quiet, Reply, say};

/// Through whose eyes, and with which entries that are written down but not kept yet.
#[derive(Debug, Clone, Copy)]
pub struct Look<'a> {
    /// The record.
    pub services: &'a Services,
    /// Who asks, and when.
    pub asking: &'a Asking,
    /// Entries of this very request: the answer speaks of them before they are kept.
    pub pending: &'a [Event],
}

impl<'a> Look<'a> {
    /// At what is kept, and nothing else.
    pub const fn at_record(services: &'a Services, asking: &'a Asking) -> Self {
        Self { services, asking, pending: &[] }
    }
}

/// Adds what the rules say of a batch as it stands: its fermentation, a warm spell, a dose that went over.
pub async fn add_judgement(
    reply: &mut Reply,
    state: &BatchState,
    look: Look<'_>,
) -> Result<(), CommandError> {
    let seen = fermentation::seen(look, state, Systems::Strict).await?;
    reply.quiet = Quiet::Folded;
    if let Some(seen) = &seen {
        judge_fermentation(reply, state, &seen.fermentation);
        fermentation::alarms::add_standing(reply, state, seen, look.asking);
    }
    let fermentation = seen.map(|seen| seen.fermentation);
    if !state.stage().0.is_over()
        && let Some(since) = state.in_hand_since()
    {
        let climates = fermentation::climates(look, state, since, look.asking.now).await?;
        if let Some(spell) = worst_spell(state, &climates, fermentation.as_ref(), look.asking.now) {
            spell::add(reply, state, &spell, look.asking);
        }
        alarms::add_standing(reply, state, &climates, look.asking);
    }
    carry_over(reply, state);
    let stage = state.stage().0;
    if state.doses.is_empty() && stage >= BatchStage::Cased && !stage.is_over() {
        reply.note(Level::Notice, say("status.no_dose", &[("batch", &state.id.to_string())]));
    }
    reply.judges |= !reply.findings.is_empty() || reply.level() >= Level::Caution;
    Ok(())
}

/// Adds what degree-hours and end point say, while they still matter.
pub fn judge_fermentation(reply: &mut Reply, state: &BatchState, fermentation: &Fermentation) {
    // Before it has begun, or once the batch is over, there is nothing to act on.
    if state.stage().0 < BatchStage::Fermenting || state.stage().0.is_over() {
        return;
    }
    let report = &fermentation.degree_hours;
    let nothing_yet = report.hours_counted <= 0.0 && fermentation.acidity.readings.is_empty();
    if nothing_yet && report.gaps.is_empty() && report.state == ClockState::Running {
        return;
    }
    if report.verdict() >= Verdict::MayBeExceeded {
        reply.next = Some(say("ferment.next_discard", &[("batch", &state.id.to_string())]));
    }
    if report.verdict() == Verdict::CannotBeAssessed {
        let why = report.findings().find_map(advice).unwrap_or_default();
        reply.note(Level::Notice, say("status.not_assessed", &[("why", &why)]));
    }
    reply.findings.extend(fermentation.findings().cloned());
    reply.findings.sort_by_key(|finding| std::cmp::Reverse((finding.level, finding.outcome)));
    reply.working.extend(fermentation::working(&fermentation.degree_hours));
}

/// A batch with an unresolved dose over the limit carries it on top of every card.
pub fn carry_over(reply: &mut Reply, state: &BatchState) {
    for dose in state.doses.iter().filter(|dose| dose.is_over()) {
        let over: Vec<String> = dose
            .verdicts
            .iter()
            .filter(|verdict| verdict.outcome == "over")
            .map(|verdict| format!("{} ({})", verdict.rule, verdict.country))
            .collect();
        reply.note(Level::Warning, say("status.dose_over", &[("rules", &over.join(", "))]));
    }
}
