//! Where a batch stands: the figures and findings of its card, and of every answer that touches it.

mod card;
pub mod fermentation;
pub mod spell;

pub use card::{card, headline, progress};

use super::asking::{Asking, Services};
use super::error::CommandError;
use crate::curing::Level;
use crate::curing::fermentation::{Fermentation, Systems};
use crate::record::{BatchStage, BatchState};
use crate::reply::{Reply, say};

/// Adds what the rules say of a batch as it stands: its fermentation, a warm spell, a dose that went over.
pub async fn add_judgement(reply: &mut Reply, state: &BatchState, services: &Services, asking: &Asking) -> Result<(), CommandError> {
    let fermentation = fermentation::of_batch(services, asking, state, Systems::Strict).await?;
    if let Some(fermentation) = &fermentation {
        judge_fermentation(reply, state, fermentation);
    }
    if let Some(spell) = spell::of_batch(services, asking, state, fermentation.as_ref()).await? {
        spell::add(reply, &spell);
    }
    carry_over(reply, state);
    reply.judges |= !reply.findings.is_empty() || reply.level() >= Level::Caution;
    Ok(())
}

fn judge_fermentation(reply: &mut Reply, state: &BatchState, fermentation: &Fermentation) {
    // Before it has begun, or once the batch is over, there is nothing to act on.
    if state.stage().0 < BatchStage::Fermenting || state.stage().0.is_over() {
        return;
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
