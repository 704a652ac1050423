//! Plans batches' reminders anew where the clock they follow has changed.

use crate::command::asking::{Asking, Services};
use crate::command::error::CommandError;
use crate::command::journal::Journal;
use crate::record::Member;
use crate::store::ReminderPlan;

/// The plans of a member's open batches by the settings that `asking` holds.
///
/// A batch of another group follows that group's zone where the member set none, so it is left as it is.
pub(in crate::command) async fn planned_anew(
    services: &Services,
    asking: &Asking,
) -> Result<Vec<ReminderPlan>, CommandError> {
    let mut journal = Journal::new(services, asking);
    for batch in services.store.open_batches(asking.member.id).await? {
        if batch.group == asking.group.id || asking.member.settings.timezone.is_some() {
            journal.load(batch.id).await?;
        }
    }
    Ok(journal.finish().await?.reminder_plans)
}

/// The plans of all of a member's open batches, each by its own group's zone, worded in the language that `asking` holds.
pub(in crate::command) async fn worded_anew(
    services: &Services,
    asking: &Asking,
) -> Result<Vec<ReminderPlan>, CommandError> {
    let open = services.store.open_batches(asking.member.id).await?;
    let mut planned = Vec::new();
    for membership in services.store.memberships_of(asking.member.id) {
        let Some(group) = services.store.group(membership.group) else { continue };
        let member = Member { settings: asking.member.settings.clone(), ..membership };
        let there = Asking { member, group, ..asking.clone() };
        let mut journal = Journal::new(services, &there);
        for batch in open.iter().filter(|batch| batch.group == there.group.id) {
            journal.load(batch.id).await?;
        }
        planned.extend(journal.finish().await?.reminder_plans);
    }
    Ok(planned)
}
