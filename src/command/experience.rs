//! What batches that are over tell those that still dry: a member's own, and those that the group's members show.
//!
//! They are read once and kept in memory until one of them, or what is shown of them, changes.

use super::asking::{Asking, Services};
use super::error::CommandError;
use crate::curing::drying::finished::{DriedBatch, Ended, FinishedDrying};
use crate::record::{BatchId, GroupId, MemberId};
use crate::store::Store;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, PoisonError};

/// Batches that are over, by number.
pub type Dried = Arc<[DriedBatch]>;

/// Up to so many that changed are read one by one.
const FEW: usize = 50;

/// What was read, for as long as it holds.
#[derive(Debug, Default)]
pub struct Experience {
    known: Mutex<Known>,
}

#[derive(Debug, Default)]
struct Known {
    revision: u64,
    batches: BTreeMap<Whose, Read>,
}

/// Batches with the versions they were read in.
#[derive(Debug, Clone, Default)]
struct Read {
    dried: Dried,
    versions: Arc<BTreeMap<BatchId, i64>>,
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

    /// What was read last, and at which revision.
    fn recall(&self, whose: Whose) -> Option<(u64, Read)> {
        let known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        known.batches.get(&whose).map(|read| (known.revision, read.clone()))
    }

    fn keep(&self, whose: Whose, revision: u64, read: Read) {
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if revision < known.revision {
            return;
        }
        if revision > known.revision {
            // What somebody erased or took back must not stay, whoever's list it stands in.
            *known = Known { revision, batches: BTreeMap::new() };
        }
        known.batches.insert(whose, read);
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
    let read = match services.experience.recall(whose) {
        Some((at, read)) if at == revision => return Ok(read.dried),
        Some((_, before)) => anew(store, whose, &before).await?,
        None => everything(store, whose).await?,
    };
    let dried = Arc::clone(&read.dried);
    services.experience.keep(whose, revision, read);
    Ok(dried)
}

async fn everything(store: &Store, whose: Whose) -> Result<Read, CommandError> {
    let states = match whose {
        Whose::Shown(group) => store.shared_states(group).await?,
        Whose::Own(member) => store.states_over_of(member).await?,
    };
    let dried = states.iter().filter_map(|(state, _)| DriedBatch::of(state)).collect();
    let versions = states.iter().map(|(state, version)| (state.id, *version)).collect();
    Ok(Read { dried, versions: Arc::new(versions) })
}

/// Reads what changed since; all of it where that is much.
async fn anew(store: &Store, whose: Whose, before: &Read) -> Result<Read, CommandError> {
    let now = match whose {
        Whose::Shown(group) => store.shared_versions(group).await?,
        Whose::Own(member) => store.versions_over_of(member).await?,
    };
    let is_known = |id: &BatchId, version: i64| before.versions.get(id) == Some(&version);
    if now.iter().filter(|(id, version)| !is_known(id, *version)).count() > FEW {
        return everything(store, whose).await;
    }
    let (mut dried, mut versions) = (Vec::with_capacity(now.len()), BTreeMap::new());
    for (id, version) in now {
        let place = before.dried.binary_search_by_key(&id, |batch| batch.id);
        let known = place.ok().and_then(|place| before.dried.get(place));
        if let Some(known) = known.filter(|_| is_known(&id, version)) {
            dried.push(known.clone());
        } else if let Some((state, _)) = store.batch(id).await? {
            dried.extend(DriedBatch::of(&state));
        }
        versions.insert(id, version);
    }
    Ok(Read { dried: dried.into(), versions: Arc::new(versions) })
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
