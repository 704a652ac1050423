//! Numbers for what is new. Given out in memory, never twice, also not after erasing.

use super::change::Change;
use super::engine::Connection;
use super::error::StoreError;
use crate::record::{
    BatchId, CardId, ChamberId, EventId, GroupId, MemberId, MeterId, OutgoingId, ReminderId,
};
use std::sync::atomic::{AtomicI64, Ordering};

/// The last number of each kind.
#[derive(Debug, Default)]
pub(super) struct Numbers {
    groups: AtomicI64,
    members: AtomicI64,
    chambers: AtomicI64,
    meters: AtomicI64,
    batches: AtomicI64,
    events: AtomicI64,
    reminders: AtomicI64,
    outgoing: AtomicI64,
    cards: AtomicI64,
    /// Not kept: claims do not outlive the process.
    claimants: AtomicI64,
}

/// The highest number per kind, from the rows that are there and from those that were erased. Each is asked for by
/// itself: `SQLite` then looks at the end of a table, and not at every row of it.
const HIGHEST: &str = "
    select kind, max(last) from (
        select 'group' as kind, (select max(id) from groups) as last
        union all select 'member', (select max(id) from members)
        union all select 'chamber', (select max(id) from chambers)
        union all select 'meter', (select max(id) from meters)
        union all select 'batch', (select max(id) from batches)
        union all select 'event', (select max(id) from events)
        union all select 'reminder', (select max(id) from reminders)
        union all select 'outgoing', (select max(id) from outbox)
        union all select 'card', (select max(id) from cards)
        union all select kind, last from numbers
    ) as known
    where last is not null
    group by kind";

impl Numbers {
    /// Goes on after the highest number that was ever kept.
    pub(super) async fn read(connection: &mut Connection) -> Result<Self, sqlx::Error> {
        let numbers = Self::default();
        for (kind, last) in connection.all::<(String, i64)>(HIGHEST, []).await? {
            if let Some(counter) = numbers.of(&kind) {
                counter.store(last, Ordering::Relaxed);
            }
        }
        Ok(numbers)
    }

    /// Writes the highest numbers down, before rows that carry them are erased.
    pub(super) async fn remember(connection: &mut Connection) -> Result<(), StoreError> {
        let highest: Vec<(String, i64)> = connection.all(HIGHEST, []).await?;
        for (kind, last) in highest {
            connection
                .run(
                    "insert into numbers (kind, last) values ($1, $2)
                     on conflict (kind) do update set last = excluded.last",
                    [kind.into(), last.into()],
                )
                .await?;
        }
        Ok(())
    }

    /// Numbers that were given out elsewhere and come with a change are not given out again.
    pub(super) fn cover(&self, change: &Change) {
        let cover = |counter: &AtomicI64, highest: Option<i64>| {
            if let Some(highest) = highest {
                counter.fetch_max(highest, Ordering::Relaxed);
            }
        };
        cover(&self.chambers, change.chambers.iter().map(|chamber| chamber.id.0).max());
        cover(&self.meters, change.meters.iter().map(|meter| meter.id.0).max());
        cover(&self.batches, change.batches.iter().map(|batch| batch.state.id.0).max());
        cover(&self.events, change.events.iter().map(|event| event.id.0).max());
        cover(&self.reminders, change.reminders.iter().map(|reminder| reminder.id.0).max());
    }

    fn of(&self, kind: &str) -> Option<&AtomicI64> {
        Some(match kind {
            "group" => &self.groups,
            "member" => &self.members,
            "chamber" => &self.chambers,
            "meter" => &self.meters,
            "batch" => &self.batches,
            "event" => &self.events,
            "reminder" => &self.reminders,
            "outgoing" => &self.outgoing,
            "card" => &self.cards,
            _ => return None,
        })
    }

    pub(super) fn group(&self) -> GroupId {
        GroupId(next(&self.groups))
    }

    pub(super) fn member(&self) -> MemberId {
        MemberId(next(&self.members))
    }

    pub(super) fn chamber(&self) -> ChamberId {
        ChamberId(next(&self.chambers))
    }

    pub(super) fn meter(&self) -> MeterId {
        MeterId(next(&self.meters))
    }

    pub(super) fn batch(&self) -> BatchId {
        BatchId(next(&self.batches))
    }

    pub(super) fn event(&self) -> EventId {
        EventId(next(&self.events))
    }

    pub(super) fn reminder(&self) -> ReminderId {
        ReminderId(next(&self.reminders))
    }

    pub(super) fn outgoing(&self) -> OutgoingId {
        OutgoingId(next(&self.outgoing))
    }

    pub(super) fn card(&self) -> CardId {
        CardId(next(&self.cards))
    }

    pub(super) fn claimant(&self) -> i64 {
        next(&self.claimants)
    }
}

fn next(counter: &AtomicI64) -> i64 {
    counter.fetch_add(1, Ordering::Relaxed) + 1
}
