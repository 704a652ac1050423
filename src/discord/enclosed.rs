//! Files that go with a message. Their bytes are never written into the outbox: a record would then grow with every copy
//! that is taken of it. They wait in memory; what a restart loses is asked for again.

use crate::reply::File;
use serde::{Deserialize, Serialize};
use std::collections::HashMap;

/// The most that is sent in one message. The platform takes 10 MiB of an application whose group has no boosts; the
/// rest is for the body and the parts' heads.
pub(super) const MOST_BYTES: usize = 9 * 1024 * 1024;

/// A file as the message names it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Enclosed {
    /// What it is called.
    pub(super) name: String,
    /// What it is, for who does not open it.
    pub(super) about: String,
}

impl Enclosed {
    /// Of a file of an answer.
    pub(super) fn of(file: &File) -> Self {
        Self { name: file.name.clone(), about: file.about.clone() }
    }
}

/// A file on its way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Upload {
    /// What it is called.
    pub(super) name: String,
    /// What is in it.
    pub(super) bytes: Vec<u8>,
}

impl Upload {
    /// The files of an answer.
    pub(super) fn all_of(files: &[File]) -> Vec<Self> {
        files.iter().map(|file| Self { name: file.name.clone(), bytes: file.bytes.clone() }).collect()
    }
}

/// Whether they fit into one message together.
pub(super) fn fit(files: &[File]) -> bool {
    files.iter().map(|file| file.bytes.len()).sum::<usize>() <= MOST_BYTES
}

/// Files of letters that have not left yet, by the letters' nonces.
#[derive(Debug, Default)]
pub(super) struct Waiting {
    by_nonce: HashMap<String, Vec<Upload>>,
}

impl Waiting {
    /// The files of a letter, before it is kept.
    pub(super) fn keep(&mut self, nonce: &str, files: &[File]) {
        if !files.is_empty() {
            self.by_nonce.insert(nonce.to_owned(), Upload::all_of(files));
        }
    }

    /// The files of a letter, for one try.
    pub(super) fn of(&self, nonce: &str) -> Vec<Upload> {
        self.by_nonce.get(nonce).cloned().unwrap_or_default()
    }

    /// A letter has left, or never will.
    pub(super) fn let_go(&mut self, nonce: &str) {
        self.by_nonce.remove(nonce);
    }
}
