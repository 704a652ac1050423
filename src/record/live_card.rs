//! The message at the top of a batch's own thread that shows where the batch stands, and is kept current.

use super::ids::{BatchId, CardId, ChatId};
use chrono::{DateTime, Utc};

/// What is remembered of such a message.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LiveCard {
    /// Which batch it is of.
    pub batch: BatchId,
    /// The thread it stands in.
    pub place: ChatId,
    /// Its number; `None` until it is known to be posted.
    pub message: Option<ChatId>,
    /// What its buttons stand for.
    pub card: Option<CardId>,
    /// What it shows, as the front end wrote it down, without the moment it is of; empty where that is not known.
    pub shown: String,
    /// How many changes of the record may be seen in it. The store counts them; what is written here is left alone.
    pub changes: i64,
    /// Up to which of them it shows. Out of date while the two differ.
    pub shown_changes: i64,
    /// It is left alone until then: the pace of edits, or the pause after one that failed.
    pub not_before: DateTime<Utc>,
    /// When it is out of date by the clock alone; `None`: never.
    pub ages: Option<DateTime<Utc>>,
    /// Edits that failed, one after the other.
    pub failures: u32,
    /// How often it was posted: more than once where somebody deleted it.
    pub posts: u32,
    /// How its post is tagged; `None` where nobody looked yet.
    pub tagged: Option<String>,
}

impl LiveCard {
    /// Whether the record changed since it was last made to show it.
    pub const fn is_behind(&self) -> bool {
        self.changes != self.shown_changes
    }
}
