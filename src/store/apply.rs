//! One change, statement by statement. Whether it is kept is decided by the writer around it.

use super::change::Change;
use super::engine::Connection;
use super::error::StoreError;
use super::numbers::Numbers;
use super::{
    batches, cards, chambers, claims, events, forget, formulations, groups, helpers, live_cards, logged,
    members, meters, outbox, places, plans, reminders, shares,
};
use crate::record::{MemberId, Subject};

/// What came of a change.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Applied {
    /// Its request was kept before, so nothing was done.
    pub(super) duplicate: bool,
    /// How many of its claims had passed to somebody else.
    pub(super) refused: usize,
}

/// Carries a change out, unless its request was kept before.
///
/// The order lets a row refer to another of the same change: a new member's chamber, a new batch's first entry. Plans
/// are held against the record before the change's own entries stand in it.
pub(super) async fn apply(
    connection: &mut Connection,
    numbers: &Numbers,
    change: &Change,
) -> Result<Applied, StoreError> {
    let request = change.request.as_deref();
    if let Some(request) = request
        && !is_new(connection, request, change.requested_by).await?
    {
        return Ok(Applied { duplicate: true, refused: 0 });
    }
    for plan in &change.reminder_plans {
        plans::check(connection, plan).await?;
    }
    for group in &change.groups {
        groups::keep(connection, group).await?;
    }
    for member in &change.members {
        members::keep(connection, member).await?;
    }
    for chamber in &change.chambers {
        chambers::keep(connection, chamber).await?;
    }
    for meter in &change.meters {
        meters::keep(connection, meter).await?;
    }
    for batch in &change.batches {
        batches::keep(connection, batch).await?;
        live_cards::batch_changed(connection, batch.state.id).await?;
    }
    for event in &change.events {
        events::keep(connection, event, request).await?;
        if let Subject::Chamber(chamber) = event.subject {
            live_cards::chamber_changed(connection, chamber).await?;
        }
    }
    for logged in &change.logged {
        logged::keep(connection, logged).await?;
    }
    for outgoing in &change.outgoing {
        outbox::keep(connection, outgoing).await?;
    }
    let refused = apply_reminders(connection, numbers, change).await?;
    apply_chat(connection, change).await?;
    for share in &change.shares {
        shares::keep(connection, share).await?;
        live_cards::batch_changed(connection, share.batch).await?;
    }
    for formulation in &change.formulations {
        formulations::keep(connection, formulation).await?;
    }
    for helper in &change.helpers {
        helpers::keep(connection, helper).await?;
        live_cards::batch_changed(connection, helper.batch).await?;
    }
    for (batch, member) in &change.helpers_gone {
        helpers::remove(connection, *batch, *member).await?;
        live_cards::batch_changed(connection, *batch).await?;
    }
    if let Some(member) = change.erase_member {
        forget::member(connection, member).await?;
    }
    if let Some(group) = change.purge_group {
        groups::purge(connection, group).await?;
    }
    Ok(Applied { duplicate: false, refused })
}

async fn apply_chat(connection: &mut Connection, change: &Change) -> Result<(), StoreError> {
    for place in &change.places {
        places::keep(connection, place).await?;
    }
    for (place, upto) in &change.seen {
        places::seen(connection, *place, *upto).await?;
    }
    for (message, batch) in &change.posted {
        places::posted(connection, *message, *batch).await?;
    }
    for card in &change.cards {
        cards::keep(connection, card).await?;
    }
    for live in &change.live_cards {
        live_cards::keep(connection, live).await?;
    }
    if let Some(before) = change.forget_pages_before {
        cards::forget_pages(connection, before).await?;
    }
    Ok(())
}

/// Answers how many claims could not be settled.
async fn apply_reminders(
    connection: &mut Connection,
    numbers: &Numbers,
    change: &Change,
) -> Result<usize, StoreError> {
    let mut refused = 0;
    for settled in &change.settled {
        refused += usize::from(!claims::settle(connection, settled).await?);
    }
    for reminder in &change.reminders {
        reminders::keep(connection, reminder).await?;
    }
    for id in &change.reminders_cancelled {
        reminders::cancel(connection, *id).await?;
    }
    for snooze in &change.reminders_snoozed {
        reminders::snooze(connection, snooze).await?;
    }
    for plan in &change.reminder_plans {
        plans::keep(connection, numbers, plan).await?;
    }
    Ok(refused)
}

async fn is_new(
    connection: &mut Connection,
    request: &str,
    by: Option<MemberId>,
) -> Result<bool, StoreError> {
    let added = connection
        .run(
            "insert into requests (request, member_id) values ($1, $2) on conflict (request) do nothing",
            [request.into(), by.map(|member| member.0).into()],
        )
        .await?;
    Ok(added == 1)
}
