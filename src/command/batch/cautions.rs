//! Cautions by the meats of a batch and who may eat it: said once when it starts and again when it is shared.

pub(in crate::command) use crate::curing::caution::Occasion;

use crate::curing::caution;
use crate::record::BatchPlan;
use crate::reply::finding::standing_shown;
use crate::reply::{Reply, say};

/// Adds what must be said of this batch, with how well it is known; where it stands goes with the working.
pub(in crate::command) fn add(reply: &mut Reply, plan: &BatchPlan, occasion: Occasion) {
    let meats: Vec<&str> = plan.meats.iter().map(|meat| meat.species.as_str()).collect();
    for caution in caution::of(&meats, plan.kind, occasion) {
        let text = say(&format!("caution.{}", caution.id), &[]);
        let standing = standing_shown(caution.standing);
        reply.note(
            caution.level,
            say("batch.caution", &[("text", text.trim_end_matches('.')), ("standing", &standing)]),
        );
        let holes = [("source", &*caution.source), ("where", &caution.place)];
        reply.working.push(say("batch.caution_source", &holes));
    }
}
