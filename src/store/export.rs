//! Everything that is kept about one member, for them to take along.

use super::Store;
use super::error::StoreError;
use super::shares::Share;
use crate::record::{
    BatchState, Chamber, Event, Formulation, Helper, LoggedAir, Member, MemberId, Meter, Outgoing, Reminder,
};
use serde::Serialize;
use std::collections::BTreeSet;

/// Everything that is kept about a member.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Everything {
    /// The member in each of their groups, settings included.
    pub memberships: Vec<Member>,
    /// Their chambers.
    pub chambers: Vec<Chamber>,
    /// Their pH meters.
    pub meters: Vec<Meter>,
    /// Their batches as they stand.
    pub batches: Vec<BatchState>,
    /// Every entry of their batches, chambers and meters, whoever wrote it.
    pub entries: Vec<Event>,
    /// Rows of loggers' files in their chambers.
    pub logged: Vec<LoggedAir>,
    /// What they wrote in the batches and chambers of others.
    pub entries_elsewhere: Vec<Event>,
    /// Their reminders, also those that were sent.
    pub reminders: Vec<Reminder>,
    /// Messages that were meant for them.
    pub messages: Vec<Outgoing>,
    /// What they show on a group's board.
    pub shares: Vec<Share>,
    /// The batches of others they help with or were asked to help with.
    pub helping: Vec<Helper>,
    /// Their recipes.
    pub formulations: Vec<Formulation>,
}

impl Store {
    /// Everything that is kept about a member.
    pub async fn everything_of(&self, member: MemberId) -> Result<Everything, StoreError> {
        let chambers = self.chambers_of(member).await?;
        let mut batches = Vec::new();
        let mut entries = Vec::new();
        for summary in self.batches_of(member).await? {
            if let Some((state, _)) = self.batch(summary.id).await? {
                batches.push(state);
            }
            entries.extend(self.events_of_batch(summary.id).await?);
        }
        let mut logged = Vec::new();
        for chamber in &chambers {
            entries.extend(self.events_of_chamber(chamber.id).await?);
            logged.extend(self.logged_in(chamber.id).await?);
        }
        let meters = self.meters_of(member).await?;
        for meter in &meters {
            entries.extend(self.events_of_meter(meter.id).await?);
        }
        entries.sort_by_key(|event| (event.at, event.id));
        let own: BTreeSet<_> = entries.iter().map(|event| event.id).collect();
        let mut entries_elsewhere = self.events_by_author(member).await?;
        entries_elsewhere.retain(|event| !own.contains(&event.id));
        Ok(Everything {
            memberships: self.memberships_of(member),
            chambers,
            meters,
            batches,
            entries,
            logged,
            entries_elsewhere,
            reminders: self.all_reminders_of(member).await?,
            messages: self.outgoing_to(member).await?,
            shares: self.shares_of_member(member).await?,
            helping: self.helping(member).await?,
            formulations: self.formulations_of(member).await?,
        })
    }
}
