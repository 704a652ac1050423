//! Showing a finished batch to the group: the member's own act, each time, and never a batch that went over a limit.

use super::asking::{Asking, Services};
use super::error::{Code, CommandError, UserError};
use super::status::Look;
use super::status::{fermentation, spell};
use crate::curing::fermentation::warm_spell::SpellVerdict;
use crate::curing::fermentation::{Systems, Verdict};
use crate::record::BatchState;
use crate::reply::say;
use crate::store::ShareWrite;

/// Refuses a batch whose dose or degree-hours went over a published limit: it is no example for others.
pub async fn nothing_over(
    state: &BatchState,
    services: &Services,
    asking: &Asking,
) -> Result<(), CommandError> {
    let look = Look::at_record(services, asking);
    let fermentation = fermentation::of_batch(look, state, Systems::Strict).await?;
    let spell = spell::of_batch(look, state, fermentation.as_ref()).await?;
    let too_warm = fermentation.is_some_and(|known| known.degree_hours.verdict() >= Verdict::MayBeExceeded)
        || spell.is_some_and(|spell| spell.verdict >= SpellVerdict::TreatAsDiscard);
    let key = match (state.carries_over(), too_warm) {
        (true, _) => "sharing.dose_over",
        (_, true) => "sharing.degree_hours_over",
        _ => return Ok(()),
    };
    let batch = state.id.to_string();
    let sentence = say(key, &[("batch", &batch), ("name", &state.plan.name)]);
    Err(UserError::new(Code::Refused, sentence, format!("batch show {batch}")).into())
}

/// The record as the group sees it: it stays as it was when it was shared.
pub fn write(state: &BatchState, lines: &[String], asking: &Asking) -> ShareWrite {
    ShareWrite {
        batch: state.id,
        group: state.plan.group,
        member: asking.member.id,
        shared_at: Some(asking.now),
        record: lines.join("\n"),
    }
}
