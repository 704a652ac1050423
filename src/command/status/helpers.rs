//! Who helps with a batch, for its card.

use crate::command::asking::Services;
use crate::command::error::CommandError;
use crate::command::lookup;
use crate::record::BatchState;
use crate::reply::say;

/// "Helpers: Ben, Cleo"; `None` where nobody helps.
pub async fn line(services: &Services, state: &BatchState) -> Result<Option<String>, CommandError> {
    let mut helpers = services.store.helpers_of(state.id).await?;
    helpers.retain(|helper| helper.accepted_at.is_some());
    let names: Vec<String> =
        helpers.iter().map(|helper| lookup::member_name(services, helper.member, state.plan.group)).collect();
    Ok((!names.is_empty()).then(|| say("status.helpers", &[("members", &names.join(", "))])))
}
