//! A file that a member names in a line, read from where they say.

use crate::desk::{FileSent, Incoming, MOST_FILE_BYTES};
use crate::reply::say;
use std::io::{self, Read};
use std::path::Path;
use std::sync::Arc;

/// The line with the file it names, looked for in a folder, where its command takes one; or why it cannot be read.
pub(super) fn with_file(incoming: Incoming, folder: &Path) -> Result<Incoming, String> {
    let Some(named) = incoming.file_named() else { return Ok(incoming) };
    let path = folder.join(&named);
    match read(&path) {
        Ok(Some(bytes)) => {
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            Ok(Incoming { file: Some(Arc::new(FileSent { name, bytes })), ..incoming })
        }
        Ok(None) => Err(say("log.import.too_large", &[("file", &named)])),
        Err(cause) if cause.kind() == io::ErrorKind::NotFound => {
            Err(say("terminal.no_such_file", &[("file", &named)]))
        }
        Err(cause) => Err(say("terminal.file_not_read", &[("file", &named), ("why", &cause.to_string())])),
    }
}

/// `None`: it is larger than any file that is taken. Its size is asked before it is read; what grows meanwhile is cut.
fn read(path: &Path) -> io::Result<Option<Vec<u8>>> {
    let most = MOST_FILE_BYTES as u64;
    let file = std::fs::File::open(path)?;
    if file.metadata()?.len() > most {
        return Ok(None);
    }
    let mut bytes = Vec::new();
    file.take(most + 1).read_to_end(&mut bytes)?;
    Ok((bytes.len() as u64 <= most).then_some(bytes))
}
