//! What can go wrong with the record, in words a member or the person at the shell can use.

use crate::record::BatchId;
use std::fmt::Display;
use std::path::PathBuf;

/// Why the record could not be opened, read or added to. Each displays as one sentence.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum StoreError {
    /// The file or its folder is not there, or may not be opened.
    #[error("The record at {} cannot be opened: {reason}.", path.display())]
    CannotOpen {
        /// Which file.
        path: PathBuf,
        /// Why, as the system says it.
        reason: String,
    },
    /// The file or its folder may only be read.
    #[error("The record at {} is read-only; allow writing to the file and its folder, or choose another file.", path.display())]
    ReadOnly {
        /// Which file.
        path: PathBuf,
    },
    /// The file holds something else than a database.
    #[error("{} is not a record of tallyhook, so nothing was changed in it; choose another file.", path.display())]
    NotADatabase {
        /// Which file.
        path: PathBuf,
    },
    /// The file is a database of another program.
    #[error("{} is another program's database, so nothing was changed in it; choose another file.", path.display())]
    AnotherApplication {
        /// Which file.
        path: PathBuf,
    },
    /// The file knows migrations that this program does not.
    #[error("The record at {} was written by another, probably newer version of tallyhook, so nothing was changed in it; start that version.", path.display())]
    OtherVersion {
        /// Which file.
        path: PathBuf,
    },
    /// Another process has the file open; only one may.
    #[error("The record at {} is in use by another process; stop that one first.", path.display())]
    InUse {
        /// Which file.
        path: PathBuf,
    },
    /// The check of the file's structure failed.
    #[error("The record at {} is damaged ({detail}); go back to its last backup.", path.display())]
    Damaged {
        /// Which file.
        path: PathBuf,
        /// The first thing the check found.
        detail: String,
    },
    /// The batch moved on since it was read: read it again and compute the request again.
    #[error("{batch} was changed by another request in the meantime; nothing was stored, so send it again.")]
    Conflict {
        /// Which batch.
        batch: BatchId,
    },
    /// The owner has another thing of that name.
    #[error("There is already a {what} called \"{name}\"; nothing was stored, so choose another name.")]
    NameTaken {
        /// `batch`, `chamber` or `meter`.
        what: &'static str,
        /// The name as typed.
        name: String,
    },
    /// The file could not be written. Nothing of the change is kept.
    #[error("Not saved: {reason}.")]
    NotSaved {
        /// Why, e.g. "the disk is full".
        reason: &'static str,
    },
    /// The record was closed; nothing of the change is kept.
    #[error("Not saved: tallyhook is shutting down.")]
    Closed,
    /// The file could not be read.
    #[error("The record could not be read: {reason}.")]
    NotRead {
        /// Why, e.g. "the disk reported a fault".
        reason: &'static str,
    },
    /// The change contradicts itself or what is kept: a mistake in this program. Nothing of it is kept.
    #[error("Not saved: the change does not fit the record ({detail}).")]
    Unfit {
        /// What does not fit.
        detail: String,
    },
    /// A kept row is not what this program writes.
    #[error("The record holds a {what} that cannot be read ({detail}).")]
    Unreadable {
        /// What sort of row.
        what: &'static str,
        /// Why.
        detail: String,
    },
}

impl StoreError {
    pub(super) fn unfit(detail: &impl Display) -> Self {
        Self::Unfit { detail: detail.to_string() }
    }

    pub(super) fn unreadable(what: &'static str, detail: &impl Display) -> Self {
        Self::Unreadable { what, detail: detail.to_string() }
    }

    /// What a failed statement of a change means.
    pub(super) fn writing(error: &sqlx::Error) -> Self {
        match Fault::of(error) {
            Fault::Other => Self::unfit(&said(error)),
            fault => {
                tracing::error!(%error, "the record could not be written");
                Self::NotSaved { reason: fault.reason() }
            }
        }
    }

    /// What a failed query means.
    pub(super) fn reading(error: &sqlx::Error) -> Self {
        match Fault::of(error) {
            Fault::Other => Self::unreadable("row", &said(error)),
            fault => {
                tracing::error!(%error, "the record could not be read");
                Self::NotRead { reason: fault.reason() }
            }
        }
    }

    /// What a failed statement means while a file is being opened.
    pub(super) fn opening(path: PathBuf, error: &sqlx::Error) -> Self {
        match Fault::of(error) {
            Fault::ReadOnly => Self::ReadOnly { path },
            Fault::Busy => Self::InUse { path },
            Fault::NotADatabase => Self::NotADatabase { path },
            Fault::Damaged => Self::Damaged { path, detail: said(error) },
            Fault::Full | Fault::Disk | Fault::Other => Self::CannotOpen { path, reason: said(error) },
        }
    }

    /// Whether the file itself is at fault, so that every other change would fail too.
    pub(super) const fn is_of_the_file(&self) -> bool {
        matches!(self, Self::NotSaved { .. })
    }
}

/// The engine's own words without the wrapping around them.
fn said(error: &sqlx::Error) -> String {
    error.as_database_error().map_or_else(|| error.to_string(), |database| database.message().to_owned())
}

/// A statement of a change failed; queries say `StoreError::reading` instead.
impl From<sqlx::Error> for StoreError {
    fn from(error: sqlx::Error) -> Self {
        Self::writing(&error)
    }
}

/// The few faults that are told apart. The numbers are `SQLite`'s primary result codes
/// (sqlite.org/rescode.html).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fault {
    Full,
    ReadOnly,
    Busy,
    Disk,
    Damaged,
    NotADatabase,
    Other,
}

impl Fault {
    pub(super) fn of(error: &sqlx::Error) -> Self {
        match error {
            sqlx::Error::Database(database) => {
                let extended: i32 = database.code().and_then(|code| code.parse().ok()).unwrap_or_default();
                match extended & 0xff {
                    13 => Self::Full,
                    3 | 8 => Self::ReadOnly,
                    5 | 6 => Self::Busy,
                    7 | 10 | 14 => Self::Disk,
                    11 => Self::Damaged,
                    26 => Self::NotADatabase,
                    _ => Self::Other,
                }
            }
            sqlx::Error::PoolTimedOut => Self::Busy,
            sqlx::Error::Io(_) | sqlx::Error::WorkerCrashed | sqlx::Error::PoolClosed => Self::Disk,
            _ => Self::Other,
        }
    }

    const fn reason(self) -> &'static str {
        match self {
            Self::Full => "the disk is full",
            Self::ReadOnly => "the file is read-only",
            Self::Busy => "another program is holding the file",
            Self::Damaged | Self::NotADatabase => "the file is damaged",
            Self::Disk | Self::Other => "the file cannot be reached",
        }
    }
}
