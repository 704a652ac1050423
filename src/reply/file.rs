//! A file that goes with an answer: the record to take along, or on paper.

use serde_json::{Value, json};

/// A file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct File {
    /// What it is called: letters, digits and hyphens, with its ending.
    pub name: String,
    /// What sort of file, as in RFC 6838, e.g. `application/pdf`.
    pub media_type: &'static str,
    /// What is in it.
    pub bytes: Vec<u8>,
    /// What it is, in one sentence.
    pub about: String,
}

impl File {
    /// What a script is told of it; the file itself is written where the script says.
    pub(super) fn told(&self) -> Value {
        json!({
            "name": self.name,
            "media_type": self.media_type,
            "bytes": self.bytes.len(),
            "about": self.about,
        })
    }
}
