//! One process owns a record. The lock is the system's own on a file beside it, so it ends with the process,
//! however that ends.

use super::error::StoreError;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// Held as long as it lives.
#[derive(Debug)]
pub(super) struct OwnLock {
    _file: File,
}

impl OwnLock {
    /// Takes the lock of the record at `path`.
    pub(super) fn take(path: &Path) -> Result<Self, StoreError> {
        let file = OpenOptions::new()
            .create(true)
            .truncate(false)
            .write(true)
            .open(beside(path))
            .map_err(|error| match error.kind() {
                ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => StoreError::ReadOnly {
                    path: path.to_owned(),
                },
                _ => cannot_open(path, &error),
            })?;
        match file.try_lock() {
            Ok(()) => Ok(Self { _file: file }),
            Err(TryLockError::WouldBlock) => Err(StoreError::InUse {
                path: path.to_owned(),
            }),
            Err(TryLockError::Error(error)) => Err(cannot_open(path, &error)),
        }
    }
}

fn cannot_open(path: &Path, error: &std::io::Error) -> StoreError {
    StoreError::CannotOpen {
        path: path.to_owned(),
        reason: error.to_string(),
    }
}

fn beside(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".lock");
    PathBuf::from(name)
}
