//! The one task that writes. It takes every change that waits, keeps them in one transaction, and only then answers.
//!
//! The disk is asked to be sure once per group instead of once per change, and nobody waits for a timer: a lone
//! change is a group of one. Each change stands inside a savepoint of its own, so a bad one fails alone.

use super::apply::apply;
use super::change::Change;
use super::claims::Claim;
use super::engine::Connection;
use super::error::StoreError;
use super::lock::Hold;
use super::numbers::Numbers;
use super::settings::Settings;
use crate::record::{Outgoing, Reminder};
use std::sync::Arc;
use tokio::sync::{mpsc, oneshot};

/// The most changes that share a transaction.
const GROUP: usize = 64;
/// The most changes that wait; whoever comes later waits for a place.
const WAITING: usize = 1024;

/// What the writer is asked to do.
#[derive(Debug)]
pub(super) enum Work {
    /// Keep a change.
    Keep(Box<Change>),
    /// Take due reminders.
    ClaimReminders(Claim),
    /// Take due messages.
    ClaimMessages(Claim),
    /// Finish: everything before it is kept, nothing after it.
    Close,
}

/// What came of it.
#[derive(Debug, Default)]
pub(super) struct Done {
    /// The request was kept before.
    pub(super) duplicate: bool,
    /// How many claims of the change had passed to somebody else.
    pub(super) refused: usize,
    /// Reminders that were taken.
    pub(super) reminders: Vec<Reminder>,
    /// Messages that were taken.
    pub(super) messages: Vec<Outgoing>,
}

type Answer = oneshot::Sender<Result<Done, StoreError>>;

/// A piece of work and who waits for it.
#[derive(Debug)]
struct Job {
    work: Work,
    answer: Answer,
}

/// The way to the writer.
#[derive(Debug, Clone)]
pub(super) struct Inbox {
    jobs: mpsc::Sender<Job>,
}

impl Inbox {
    /// Hands work in and waits until it is kept, or is known not to be.
    pub(super) async fn ask(&self, work: Work) -> Result<Done, StoreError> {
        let (answer, answered) = oneshot::channel();
        self.jobs.send(Job { work, answer }).await.map_err(|_| StoreError::Closed)?;
        answered.await.map_err(|_| StoreError::Closed)?
    }
}

/// The task's own belongings.
pub(super) struct Writer {
    connection: Connection,
    numbers: Arc<Numbers>,
    settings: Arc<Settings>,
    // Let go after the connection: until then nobody else may have the file.
    hold: Hold,
}

impl Writer {
    pub(super) fn new(
        connection: Connection,
        numbers: Arc<Numbers>,
        settings: Arc<Settings>,
        hold: Hold,
    ) -> Self {
        Self { connection, numbers, settings, hold }
    }

    /// Starts the task. It ends when it is told to close or when nobody can reach it any more.
    pub(super) fn start(self) -> Inbox {
        let (jobs, waiting) = mpsc::channel(WAITING);
        tokio::spawn(self.work(waiting));
        Inbox { jobs }
    }

    async fn work(mut self, mut waiting: mpsc::Receiver<Job>) {
        let mut group = Vec::with_capacity(GROUP);
        let mut closing: Option<Answer> = None;
        while closing.is_none() && waiting.recv_many(&mut group, GROUP).await > 0 {
            let mut jobs = Vec::with_capacity(group.len());
            for job in group.drain(..) {
                match job.work {
                    Work::Close => closing = Some(job.answer),
                    // Dropping the answer tells whoever came after the closing that it was too late.
                    _ if closing.is_some() => {}
                    _ => jobs.push(job),
                }
            }
            self.keep_group(jobs).await;
        }
        waiting.close();
        let closed = self.finish().await;
        if let Some(answer) = closing {
            // Nobody may be listening any more; the record is closed all the same.
            let _ = answer.send(closed.map(|()| Done::default()));
        }
    }

    async fn keep_group(&mut self, jobs: Vec<Job>) {
        if jobs.is_empty() {
            return;
        }
        let results = match self.transaction(&jobs).await {
            Ok(results) => results,
            Err(error) => {
                // Where SQLite has rolled back by itself there is nothing left to roll back.
                let _ = self.connection.run("rollback", []).await;
                jobs.iter().map(|_| Err(error.clone())).collect()
            }
        };
        let mut erased = false;
        for (job, result) in jobs.iter().zip(&results) {
            if let (Work::Keep(change), Ok(Done { duplicate: false, .. })) = (&job.work, result) {
                self.settings.take(change);
                erased |= change.erase_member.is_some() || change.purge_group.is_some();
            }
        }
        if erased {
            self.forget().await;
        }
        for (job, result) in jobs.into_iter().zip(results) {
            // Whoever asked may have gone; the change is kept all the same.
            let _ = job.answer.send(result);
        }
    }

    /// Carries the group out. An error here is one of the whole group; a single change's stands in the results.
    /// Statements that only frame changes travel together: each way to the connection and back costs as much as
    /// an insert.
    async fn transaction(&mut self, jobs: &[Job]) -> Result<Vec<Result<Done, StoreError>>, StoreError> {
        let mut results = Vec::with_capacity(jobs.len());
        self.connection.run("begin immediate; savepoint change", []).await?;
        for (place, job) in jobs.iter().enumerate() {
            if place > 0 {
                self.connection.run("release change; savepoint change", []).await?;
            }
            let result = self.carry_out(&job.work).await;
            match &result {
                Ok(_) => {}
                Err(error) if error.is_of_the_file() => return Err(error.clone()),
                Err(error) => {
                    tracing::debug!(%error, "a change was refused");
                    self.connection.run("rollback to change", []).await?;
                }
            }
            results.push(result);
        }
        self.connection.run("release change; commit", []).await?;
        Ok(results)
    }

    async fn carry_out(&mut self, work: &Work) -> Result<Done, StoreError> {
        match work {
            Work::Keep(change) => {
                let applied = apply(&mut self.connection, &self.numbers, change).await?;
                Ok(Done { duplicate: applied.duplicate, refused: applied.refused, ..Done::default() })
            }
            Work::ClaimReminders(claim) => {
                Ok(Done { reminders: claim.reminders(&mut self.connection).await?, ..Done::default() })
            }
            Work::ClaimMessages(claim) => {
                Ok(Done { messages: claim.messages(&mut self.connection).await?, ..Done::default() })
            }
            Work::Close => Ok(Done::default()),
        }
    }

    /// After an erasure: empties the write-ahead log too, where the erased rows still stand.
    async fn forget(&mut self) {
        let emptied: Result<Vec<(i64, i64, i64)>, sqlx::Error> =
            self.connection.all("pragma wal_checkpoint(truncate)", []).await;
        if !matches!(emptied.as_deref(), Ok([(0, _, _)])) {
            tracing::warn!(?emptied, "the log still holds erased rows until it is next emptied");
        }
    }

    /// Marks the record as closed properly and lets go of the file.
    async fn finish(mut self) -> Result<(), StoreError> {
        super::open::mark_closed(&mut self.connection).await?;
        self.connection.close().await?;
        drop(self.hold);
        Ok(())
    }
}

#[cfg(test)]
mod tests;
