//! From bytes to a file that hangs together, or to what is wrong with it and where.

use super::check::{self, Misfit};
use super::document::RecordFile;
use super::entry::What;
use super::{FORMAT, VERSION};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

/// What is wrong with a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// It is no JSON, or not of the shape.
    Broken {
        /// Counted from 1.
        line: usize,
        /// Counted from 1; 0 before a line's first letter.
        column: usize,
        /// What was found and what was expected.
        why: String,
    },
    /// It does not say that it is one of ours.
    AnotherFormat,
    /// It is of a version that is not known here.
    AnotherVersion {
        /// What it says.
        version: String,
    },
    /// It holds a kind of entry that is not known here.
    UnknownKind {
        /// The kind's word.
        word: String,
        /// Where, as a JSON pointer (RFC 6901).
        place: String,
    },
    /// Something in it does not fit the rest.
    Misfit {
        /// Where, as a JSON pointer (RFC 6901).
        place: String,
        /// What.
        misfit: Misfit,
    },
}

/// What is looked at first.
#[derive(Deserialize)]
struct Head {
    #[serde(default)]
    format: Value,
    #[serde(default)]
    version: Value,
}

/// What is looked at next: the kinds of entries, so that one of a later version is told by its name.
#[derive(Deserialize)]
struct Kinds {
    entries: Vec<EntryKind>,
    entries_elsewhere: Vec<EntryKind>,
}

#[derive(Deserialize)]
struct EntryKind {
    what: Kind,
}

#[derive(Deserialize)]
struct Kind {
    kind: String,
    values: Changed,
}

#[derive(Deserialize)]
struct Changed {
    to: Option<Box<Kind>>,
}

/// Reads a file.
pub fn read(bytes: &[u8]) -> Result<RecordFile, Fault> {
    // Some editors put a byte order mark in front, which JSON does not have.
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let head: Head = parsed(bytes)?;
    if head.format != FORMAT {
        return Err(Fault::AnotherFormat);
    }
    if head.version != VERSION {
        return Err(Fault::AnotherVersion { version: head.version.to_string() });
    }
    let kinds: Kinds = parsed(bytes)?;
    known(&kinds.entries, "entries")?;
    known(&kinds.entries_elsewhere, "entries_elsewhere")?;
    let file: RecordFile = parsed(bytes)?;
    check::check(&file)?;
    Ok(file)
}

fn parsed<T: DeserializeOwned>(bytes: &[u8]) -> Result<T, Fault> {
    serde_json::from_slice(bytes).map_err(|error| {
        let (line, column) = (error.line(), error.column());
        let why = error.to_string();
        let place = format!(" at line {line} column {column}");
        Fault::Broken { line, column, why: why.strip_suffix(&place).unwrap_or(&why).to_owned() }
    })
}

fn known(entries: &[EntryKind], list: &str) -> Result<(), Fault> {
    for (position, entry) in entries.iter().enumerate() {
        let (mut kind, mut place) = (&entry.what, format!("/{list}/{position}/what"));
        loop {
            if !What::WORDS.contains(&kind.kind.as_str()) {
                return Err(Fault::UnknownKind { word: kind.kind.clone(), place: format!("{place}/kind") });
            }
            let Some(to) = &kind.values.to else { break };
            place.push_str("/values/to");
            kind = to;
        }
    }
    Ok(())
}
