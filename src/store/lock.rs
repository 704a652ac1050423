//! One process owns a record. The lock is the system's own on a file beside it, so it ends with the process,
//! however that ends.

use super::error::StoreError;
use super::throwaway::Throwaway;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// What a record holds on to for as long as anything may still be written to it.
#[derive(Debug)]
pub(super) struct Hold {
    _lock: OwnLock,
    // Last, so that the file is let go before its folder is removed.
    _throwaway: Option<Throwaway>,
}

impl Hold {
    /// Takes the lock of the record at `path`.
    pub(super) fn take(path: &Path, throwaway: Option<Throwaway>) -> Result<Self, StoreError> {
        Ok(Self { _lock: OwnLock::take(path)?, _throwaway: throwaway })
    }
}

/// Held as long as it lives.
#[derive(Debug)]
struct OwnLock {
    _file: File,
}

impl OwnLock {
    fn take(path: &Path) -> Result<Self, StoreError> {
        let file = OpenOptions::new()
            .create(true)
            .truncate(false)
            .write(true)
            .open(beside(path))
            .map_err(|error| cannot_write(path, &error))?;
        match file.try_lock() {
            Ok(()) => Ok(Self { _file: file }),
            Err(TryLockError::WouldBlock) => Err(StoreError::InUse { path: path.to_owned() }),
            Err(TryLockError::Error(error)) => Err(cannot_open(path, &error)),
        }
    }
}

/// Makes sure the record may be written before `SQLite` sees it: opened read-only, it would leave files beside it
/// that may only be read either, and these would stand in the way once the record itself may be written again.
pub(super) fn writable(path: &Path) -> Result<(), StoreError> {
    let Ok(about) = path.metadata() else {
        return Ok(());
    };
    if !about.is_file() {
        return Err(StoreError::CannotOpen {
            path: path.to_owned(),
            reason: "it is not a plain file".to_owned(),
        });
    }
    if about.permissions().readonly() {
        return Err(StoreError::ReadOnly { path: path.to_owned() });
    }
    OpenOptions::new().write(true).open(path).map(|_| ()).map_err(|error| cannot_write(path, &error))
}

fn cannot_write(path: &Path, error: &std::io::Error) -> StoreError {
    match error.kind() {
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
            StoreError::ReadOnly { path: path.to_owned() }
        }
        _ => cannot_open(path, error),
    }
}

fn cannot_open(path: &Path, error: &std::io::Error) -> StoreError {
    StoreError::CannotOpen { path: path.to_owned(), reason: error.to_string() }
}

fn beside(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".lock");
    PathBuf::from(name)
}
