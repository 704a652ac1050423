//! The only place with SQL.
//!
//! There is one way to write: [`Store::commit`] takes everything one request wants kept, as a [`Change`], and keeps
//! it whole or not at all. Reads are methods of [`Store`], one file per subject. Members and groups are held in
//! memory, so asking for them is free.
//!
//! A record is an `SQLite` file that one process owns. What is acknowledged is on the disk: write-ahead log,
//! `synchronous = full`.

pub mod change;
pub mod claims;

mod apply;
mod batches;
mod cards;
mod chambers;
mod convert;
mod engine;
mod errands;
mod error;
mod events;
mod export;
mod forget;
mod formulations;
mod groups;
mod helpers;
mod live_cards;
mod lock;
mod logged;
mod members;
mod meters;
mod names;
mod numbers;
mod open;
mod outbox;
mod places;
mod plans;
mod reminders;
mod settings;
mod shares;
mod throwaway;
mod writer;

pub use batches::BatchSummary;
pub use change::{BatchWrite, Change, ReminderPlan, ShareWrite, Snooze};
pub use claims::{Claimant, Claimed, Settled, Settlement};
pub use error::StoreError;
pub use export::Everything;
pub use names::{Found, fold};
pub use shares::Share;

use crate::record::{
    BatchId, CardId, ChamberId, EventId, GroupId, MemberId, MeterId, OutgoingId, ReminderId,
};
use engine::Readers;
use numbers::Numbers;
use settings::Settings;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use throwaway::Throwaway;
use tokio::task::JoinHandle;
use writer::{Inbox, Work};

/// A record that is open.
#[derive(Debug)]
pub struct Store {
    readers: Readers,
    writer: Inbox,
    numbers: Arc<Numbers>,
    settings: Arc<Settings>,
    path: PathBuf,
}

/// A change is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Committed {
    /// The request had been kept before, so nothing was kept now.
    pub duplicate: bool,
    /// How many claims had passed to somebody else, or were on what was taken back meanwhile: of those nothing changed.
    pub refused: usize,
}

impl Store {
    /// Opens the record at `path`, or begins a new one there. Refuses a file that is not ours, is from a newer
    /// version, or that another process has open; after an unclean stop checks the file first.
    pub async fn open(path: impl AsRef<Path>) -> Result<Self, StoreError> {
        open::open(path.as_ref(), None).await
    }

    /// A new record in a temporary folder, gone when the store is closed or dropped.
    pub async fn open_temporary() -> Result<Self, StoreError> {
        let throwaway = Throwaway::new()?;
        let path = throwaway.path().join("record.sqlite3");
        open::open(&path, Some(throwaway)).await
    }

    /// Where the record is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Checks the file's structure beside the work. Call it once after opening from whatever runs for long; a
    /// damage is logged, and is the task's result.
    pub fn check_in_background(&self) -> JoinHandle<Result<(), StoreError>> {
        let path = self.path.clone();
        tokio::spawn(async move {
            let result = open::check_beside(&path).await;
            match &result {
                Ok(()) => tracing::info!("the record's structure is sound"),
                Err(error) => tracing::error!(%error, "the check of the record failed"),
            }
            result
        })
    }

    /// Keeps everything a request wants kept, or nothing. Once this returns `Ok`, it is on the disk.
    ///
    /// # Errors
    /// [`StoreError::Conflict`] when a batch moved on: read it and compute again. [`StoreError::NameTaken`],
    /// [`StoreError::NotSaved`] and [`StoreError::Closed`] speak for themselves; [`StoreError::Unfit`] is a mistake
    /// in the program.
    pub async fn commit(&self, change: Change) -> Result<Committed, StoreError> {
        if change.is_empty() {
            return Ok(Committed { duplicate: false, refused: 0 });
        }
        self.numbers.cover(&change);
        let done = self.writer.ask(Work::Keep(Box::new(change))).await?;
        Ok(Committed { duplicate: done.duplicate, refused: done.refused })
    }

    /// Keeps what waits, marks the record as properly closed and lets go of the file. Later commits are refused.
    pub async fn close(&self) -> Result<(), StoreError> {
        self.readers.close().await;
        match self.writer.ask(Work::Close).await {
            Ok(_) | Err(StoreError::Closed) => Ok(()),
            Err(error) => Err(error),
        }
    }

    /// The number for a new group.
    pub fn next_group_id(&self) -> GroupId {
        self.numbers.group()
    }

    /// The number for a new member.
    pub fn next_member_id(&self) -> MemberId {
        self.numbers.member()
    }

    /// The number for a new chamber.
    pub fn next_chamber_id(&self) -> ChamberId {
        self.numbers.chamber()
    }

    /// The number for a new meter.
    pub fn next_meter_id(&self) -> MeterId {
        self.numbers.meter()
    }

    /// The number for a new batch.
    pub fn next_batch_id(&self) -> BatchId {
        self.numbers.batch()
    }

    /// The number for a new entry.
    pub fn next_event_id(&self) -> EventId {
        self.numbers.event()
    }

    /// The number for a member's own reminder.
    pub fn next_reminder_id(&self) -> ReminderId {
        self.numbers.reminder()
    }

    /// The number for a message to be sent.
    pub fn next_outgoing_id(&self) -> OutgoingId {
        self.numbers.outgoing()
    }

    /// The number for the buttons of an answer.
    pub fn next_card_id(&self) -> CardId {
        self.numbers.card()
    }
}
