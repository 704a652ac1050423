//! Files that go with a message. Their bytes are never written into the outbox: a record would then grow with every copy
//! that is taken of it. They wait in memory; what a restart loses is asked for again.

use crate::reply::File;
use serde::{Deserialize, Serialize};
use std::collections::VecDeque;

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

/// The most that waits in memory; beyond it the oldest files are let go.
const MOST_WAITING: usize = 64 * 1024 * 1024;

/// Files of letters that have not left yet, by the letters' nonces, the oldest first.
#[derive(Debug, Default)]
pub(super) struct Waiting {
    letters: VecDeque<(String, Vec<Upload>)>,
}

impl Waiting {
    /// The files of a letter, before it is kept.
    pub(super) fn keep(&mut self, nonce: &str, files: &[File]) {
        if files.is_empty() {
            return;
        }
        self.letters.push_back((nonce.to_owned(), Upload::all_of(files)));
        let bytes = |letters: &VecDeque<(String, Vec<Upload>)>| -> usize {
            letters.iter().flat_map(|(_, files)| files).map(|file| file.bytes.len()).sum()
        };
        while bytes(&self.letters) > MOST_WAITING {
            self.letters.pop_front();
        }
    }

    /// The files of a letter, for one try: where it is not taken there may be another place for it.
    pub(super) fn of(&self, nonce: &str) -> Vec<Upload> {
        let found = self.letters.iter().find(|(known, _)| known == nonce);
        found.map(|(_, files)| files.clone()).unwrap_or_default()
    }

    /// A letter has left.
    pub(super) fn let_go(&mut self, nonce: &str) {
        self.letters.retain(|(known, _)| known != nonce);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(bytes: usize) -> File {
        File {
            name: "record.json".to_owned(),
            media_type: "application/json",
            bytes: vec![0; bytes],
            about: "A record.".to_owned(),
        }
    }

    #[test]
    fn files_wait_until_their_letter_has_left_and_the_oldest_make_room() {
        let mut waiting = Waiting::default();
        waiting.keep("none", &[]);
        assert!(waiting.letters.is_empty());
        for letter in 0..8 {
            waiting.keep(&format!("m{letter}"), &[file(MOST_BYTES)]);
        }
        assert!(waiting.of("m0").is_empty(), "seven times nine MiB are waiting");
        assert_eq!(waiting.of("m1").len(), 1);
        assert_eq!(waiting.of("m1").len(), 1, "a second try has them too");
        waiting.let_go("m1");
        assert!(waiting.of("m1").is_empty());
    }
}
