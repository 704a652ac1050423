//! What batches that are over tell those that still dry: a member's own, and those that the group's members show.
//!
//! They are read once and kept in memory until one of them, or what is shown of them, changes.

use super::asking::{Asking, Services};
use super::error::CommandError;
use crate::curing::drying::finished::{DriedBatch, Ended, FinishedDrying};
use crate::record::{BatchId, BatchState, GroupId, MemberId};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, PoisonError};

/// Batches that are over, by number.
pub type Dried = Arc<[DriedBatch]>;

/// What was read, for as long as it holds.
#[derive(Debug, Default)]
pub struct Experience {
    known: Mutex<Known>,
}

#[derive(Debug, Default)]
struct Known {
    revision: u64,
    batches: BTreeMap<Whose, Dried>,
}

/// Whose batches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Whose {
    Shown(GroupId),
    Own(MemberId),
}

impl Experience {
    /// Nothing read yet.
    pub const fn new() -> Self {
        Self { known: Mutex::new(Known { revision: 0, batches: BTreeMap::new() }) }
    }

    fn recall(&self, whose: Whose, revision: u64) -> Option<Dried> {
        let known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        known.batches.get(&whose).filter(|_| known.revision == revision).cloned()
    }

    fn keep(&self, whose: Whose, revision: u64, dried: &Dried) {
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if revision < known.revision {
            return;
        }
        if revision > known.revision {
            // What somebody erased or took back must not stay, whoever's list it stands in.
            *known = Known { revision, batches: BTreeMap::new() };
        }
        known.batches.insert(whose, Arc::clone(dried));
    }
}

/// The batches that are over and shown in the member's group.
pub async fn shown_in_group(services: &Services, asking: &Asking) -> Result<Dried, CommandError> {
    read(services, Whose::Shown(asking.group.id)).await
}

/// The member's own batches that are over, shown or not.
pub async fn own(services: &Services, asking: &Asking) -> Result<Dried, CommandError> {
    read(services, Whose::Own(asking.member.id)).await
}

async fn read(services: &Services, whose: Whose) -> Result<Dried, CommandError> {
    let store = &services.store;
    let revision = store.revision_of_what_is_over();
    if let Some(dried) = services.experience.recall(whose, revision) {
        return Ok(dried);
    }
    let states = match whose {
        Whose::Shown(group) => store.shared_states(group).await?,
        Whose::Own(member) => store.states_over_of(member).await?,
    };
    let dried: Dried = states.iter().filter_map(|state: &BatchState| DriedBatch::of(state)).collect();
    services.experience.keep(whose, revision, &dried);
    Ok(dried)
}

/// Every finished drying that a forecast for the member may learn from, piece by piece: their own, shown or not, and
/// those that the group shows. What was thrown away is not among them.
pub async fn finished_dryings(
    services: &Services,
    asking: &Asking,
) -> Result<Vec<FinishedDrying>, CommandError> {
    let own = own(services, asking).await?;
    let shown = shown_in_group(services, asking).await?;
    Ok(collected(asking.member.id, &own, &shown))
}

fn collected(asking: MemberId, own: &[DriedBatch], shown: &[DriedBatch]) -> Vec<FinishedDrying> {
    let on_board: BTreeSet<BatchId> = shown.iter().map(|batch| batch.id).collect();
    let others = shown.iter().filter(|batch| batch.owner != asking);
    let finished = own.iter().chain(others).filter(|batch| batch.ended == Ended::Finished);
    let mut members = BTreeMap::from([(asking, 0)]);
    let mut dryings = Vec::new();
    for (number, batch) in finished.enumerate() {
        let next = members.len();
        let member = *members.entry(batch.owner).or_insert(next);
        dryings.extend(batch.pieces.iter().map(|piece| FinishedDrying {
            batch: number,
            member,
            is_own: batch.owner == asking,
            is_shared: on_board.contains(&batch.id),
            kind: batch.kind,
            thickness: batch.thickness,
            chamber: batch.chamber,
            curve: piece.curve.clone(),
            target_day: piece.target_day,
        }));
    }
    dryings
}
