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
    let known = std::fs::metadata(path)?;
    if !known.is_file() {
        // A pipe could keep everybody waiting.
        return Err(io::Error::from(io::ErrorKind::NotFound));
    }
    if known.len() > most {
        return Ok(None);
    }
    let file = std::fs::File::open(path)?;
    let mut bytes = Vec::new();
    file.take(most + 1).read_to_end(&mut bytes)?;
    Ok((bytes.len() as u64 <= most).then_some(bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn opened(named: &str, folder: &Path) -> Result<Incoming, String> {
        let line = format!("log import file:{named}");
        let at = chrono::DateTime::from_timestamp(1_790_000_000, 0).unwrap();
        with_file(Incoming::line("home", "mara", &line, at), folder)
    }

    #[test]
    fn a_file_is_read_and_what_is_none_or_too_large_is_told() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("box.csv"), b"time,temperature C").unwrap();
        // It is as large as it says, and nothing of it is on the disk.
        let huge = std::fs::File::create(folder.path().join("huge.csv")).unwrap();
        huge.set_len(MOST_FILE_BYTES as u64 + 1).unwrap();
        let read = opened("box.csv", folder.path()).unwrap();
        assert_eq!(read.file.unwrap().bytes, b"time,temperature C");
        let told = opened("huge.csv", folder.path()).unwrap_err();
        assert!(told.contains("larger than 10 MB"), "{told}");
        for none in ["gone.csv", "."] {
            let told = opened(none, folder.path()).unwrap_err();
            assert!(told.starts_with("There is no file"), "{told}");
        }
    }
}
