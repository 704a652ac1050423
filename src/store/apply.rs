//! One change, statement by statement. Whether it is kept is decided by the writer around it.

use super::change::Change;
use super::engine::Connection;
use super::error::StoreError;
use super::numbers::Numbers;
use super::{batches, cards, chambers, events, groups, members, outbox, places, plans, reminders, shares};

/// Carries a change out; `false` when its request was kept before and nothing is to be done.
///
/// The order lets a row refer to another of the same change: a new member's chamber, a new batch's first entry.
pub(super) async fn apply(
    connection: &mut Connection,
    numbers: &Numbers,
    change: &Change,
) -> Result<bool, StoreError> {
    let request = change.request.as_deref();
    if let Some(request) = request
        && !is_new(connection, request).await?
    {
        return Ok(false);
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
    for batch in &change.batches {
        batches::keep(connection, batch).await?;
    }
    for event in &change.events {
        events::keep(connection, event, request).await?;
    }
    apply_reminders(connection, numbers, change).await?;
    for outgoing in &change.outgoing {
        outbox::keep(connection, outgoing).await?;
    }
    for (id, at) in &change.outgoing_sent {
        outbox::sent(connection, *id, *at).await?;
    }
    apply_chat(connection, change).await?;
    for share in &change.shares {
        shares::keep(connection, share).await?;
    }
    if let Some(member) = change.erase_member {
        members::erase(connection, member).await?;
    }
    Ok(true)
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
    if let Some(before) = change.forget_pages_before {
        cards::forget_pages(connection, before).await?;
    }
    Ok(())
}

/// Sent marks come first, so that one that comes again can be marked and set anew in the same change.
async fn apply_reminders(
    connection: &mut Connection,
    numbers: &Numbers,
    change: &Change,
) -> Result<(), StoreError> {
    for (id, at) in &change.reminders_sent {
        reminders::sent(connection, *id, *at).await?;
    }
    for reminder in &change.reminders {
        reminders::keep(connection, reminder).await?;
    }
    for plan in &change.reminder_plans {
        plans::keep(connection, numbers, plan).await?;
    }
    Ok(())
}

async fn is_new(connection: &mut Connection, request: &str) -> Result<bool, StoreError> {
    let added = connection
        .run("insert into requests (request) values ($1) on conflict (request) do nothing", [request.into()])
        .await?;
    Ok(added == 1)
}
