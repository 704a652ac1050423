//! Takes a record file back into an empty record.

use super::HOME_GROUP;
use crate::desk::Desk;
use crate::desk::Incoming;
use crate::desk::restore::LARGEST_FILE;
use crate::reply::{in_language, say};
use crate::store::Store;
use chrono::{DateTime, Utc};
use std::fs::File;
use std::io::{self, Read, Write};
use std::path::Path;

/// Takes what a file holds back for a member and gives the exit status: 0 kept, 2 the file or the record must be
/// another, 1 our fault.
pub async fn run(store: Store, member: &str, now: DateTime<Utc>, bytes: &[u8]) -> io::Result<u8> {
    let desk = Desk::new(store);
    let answered = desk.restore(HOME_GROUP, member, bytes, now).await;
    let language = desk.language_of(&Incoming::line(HOME_GROUP, member, "", now).sender);
    in_language(language, || writeln!(io::stdout(), "{}", answered.text()))?;
    if let Err(cause) = desk.store().close().await {
        tracing::error!(%cause, "the record was not closed properly");
    }
    Ok(answered.exit_status())
}

/// What is in a file, or in one sentence why that cannot be said. One that is too large is not read.
pub fn read(path: &Path) -> Result<Vec<u8>, String> {
    let shown = path.display().to_string();
    let unread =
        |cause: &io::Error| say("terminal.file_not_read", &[("file", &shown), ("why", &cause.to_string())]);
    let mut bytes = Vec::new();
    // One byte more than is taken tells a file that is too large, also where its size is not known beforehand.
    let file = File::open(path).map_err(|cause| unread(&cause))?;
    let size = file.metadata().map_err(|cause| unread(&cause))?.len();
    if size <= LARGEST_FILE {
        file.take(LARGEST_FILE + 1).read_to_end(&mut bytes).map_err(|cause| unread(&cause))?;
    }
    if size > LARGEST_FILE || bytes.len() as u64 > LARGEST_FILE {
        let most = (LARGEST_FILE / (1024 * 1024)).to_string();
        return Err(say("terminal.file_too_large", &[("file", &shown), ("most", &most)]));
    }
    Ok(bytes)
}
