//! A record that is gone with the program: for the demonstration and for tests.

use super::error::StoreError;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

/// A folder of its own that is removed when this is dropped.
#[derive(Debug)]
pub(super) struct Throwaway {
    folder: PathBuf,
}

impl Throwaway {
    /// Makes a folder that nobody else has.
    pub(super) fn new() -> Result<Self, StoreError> {
        static NEXT: AtomicU32 = AtomicU32::new(0);
        loop {
            let number = NEXT.fetch_add(1, Ordering::Relaxed);
            let folder = std::env::temp_dir().join(format!("tallyhook-{}-{number}", std::process::id()));
            match std::fs::create_dir(&folder) {
                Ok(()) => return Ok(Self { folder }),
                // Left behind by a process of the same number that was killed.
                Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
                Err(error) => {
                    return Err(StoreError::CannotOpen { path: folder, reason: error.to_string() });
                }
            }
        }
    }

    pub(super) fn path(&self) -> &Path {
        &self.folder
    }
}

impl Drop for Throwaway {
    fn drop(&mut self) {
        if let Err(error) = std::fs::remove_dir_all(&self.folder) {
            tracing::warn!(%error, folder = %self.folder.display(), "a temporary record was left behind");
        }
    }
}
