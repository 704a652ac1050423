//! The files of an answer, written where the member says.

use super::picture::whole_or_nothing;
use crate::desk::Answered;
use crate::reply::{File, say};
use std::io;
use std::path::{Path, PathBuf};

/// Why there is no file.
#[derive(Debug, thiserror::Error)]
pub(super) enum FilesError {
    /// The answer has none.
    #[error("the answer has no file")]
    NoFile,
    /// It cannot be written.
    #[error("{path} cannot be written: {cause}")]
    Writing {
        /// Where.
        path: PathBuf,
        /// Why.
        cause: io::Error,
    },
}

impl FilesError {
    /// What the member is told.
    pub(super) fn sentence(&self) -> String {
        match self {
            Self::NoFile => say("terminal.no_file", &[]),
            Self::Writing { path, cause } => {
                let file = path.display().to_string();
                say("terminal.file_not_written", &[("file", &file), ("why", &cause.to_string())])
            }
        }
    }
}

/// The files of an answer.
pub(super) fn of(answered: &Answered) -> &[File] {
    match answered {
        Answered::Reply(reply) => &reply.files,
        _ => &[],
    }
}

/// Writes the files of an answer, each whole or not at all: one under the name that was said, or in a folder under its
/// own; several in a folder, which is made. Gives what was written.
pub(super) fn write(answered: &Answered, to: &Path) -> Result<Vec<PathBuf>, FilesError> {
    let files = of(answered);
    let is_folder = files.len() > 1 || to.is_dir();
    let failed = |path: &Path| {
        let path = path.to_owned();
        move |cause| FilesError::Writing { path, cause }
    };
    if files.is_empty() {
        return Err(FilesError::NoFile);
    }
    if is_folder {
        std::fs::create_dir_all(to).map_err(failed(to))?;
    }
    let mut written = Vec::new();
    for file in files {
        let path = if is_folder { to.join(&file.name) } else { to.to_owned() };
        whole_or_nothing(&path, &file.bytes).map_err(failed(&path))?;
        written.push(path);
    }
    Ok(written)
}

/// What is said of files that were written.
pub(super) fn written(paths: &[PathBuf]) -> String {
    let paths: Vec<String> = paths.iter().map(|path| path.display().to_string()).collect();
    let key = if paths.len() == 1 { "terminal.file_written" } else { "terminal.files_written" };
    say(key, &[("files", &paths.join(", "))])
}

/// How the files of an answer are had; `None` where it has none.
pub(super) fn hint(answered: &Answered) -> Option<String> {
    match of(answered) {
        [] => None,
        [file] => Some(say("terminal.file_hint", &[("file", &file.name)])),
        files => {
            let names: Vec<&str> = files.iter().map(|file| &*file.name).collect();
            Some(say("terminal.files_hint", &[("files", &names.join(", "))]))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reply::Reply;

    fn with(names: &[&str]) -> Answered {
        let file = |name: &&str| File {
            name: (*name).to_owned(),
            media_type: "text/csv",
            bytes: name.as_bytes().to_vec(),
            about: "A file.".to_owned(),
        };
        Answered::Reply(Box::new(Reply { files: names.iter().map(file).collect(), ..Reply::default() }))
    }

    #[test]
    fn one_file_gets_the_name_that_was_said_and_several_their_own() {
        let folder = tempfile::tempdir().unwrap();
        let one = folder.path().join("mine.csv");
        assert_eq!(write(&with(&["a.csv"]), &one).unwrap(), std::slice::from_ref(&one));
        assert_eq!(std::fs::read(&one).unwrap(), b"a.csv");
        let both = folder.path().join("all");
        let written = write(&with(&["a.csv", "b.csv"]), &both).unwrap();
        assert_eq!(written, [both.join("a.csv"), both.join("b.csv")]);
        // In a folder that is there one keeps its own name, too.
        assert_eq!(write(&with(&["c.csv"]), &both).unwrap(), [both.join("c.csv")]);
        assert_eq!(std::fs::read_dir(&both).unwrap().count(), 3, "nothing half written lies beside them");
    }

    #[test]
    fn what_cannot_be_written_is_told_with_its_place() {
        let folder = tempfile::tempdir().unwrap();
        let nowhere = folder.path().join("no").join("such").join("folder.csv");
        let told = write(&with(&["a.csv"]), &nowhere).unwrap_err().sentence();
        assert!(told.contains("folder.csv"), "{told}");
        assert!(matches!(write(&with(&[]), &nowhere), Err(FilesError::NoFile)));
    }
}
