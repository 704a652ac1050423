//! Messages on their way out: everything that is sent without being the answer to a line.

use super::chat::Letter;
use super::ids::{BatchId, MemberId, OutgoingId};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

/// Where a message stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum OutgoingState {
    /// Waiting.
    Waiting,
    /// Taken by a tick, not yet known to be sent.
    Claimed,
    /// Sent.
    Sent,
    /// Given up after too many tries.
    GaveUp,
}

/// A message on its way out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Outgoing {
    /// Number; also what makes its nonce.
    pub id: OutgoingId,
    /// Who it is for.
    pub member: MemberId,
    /// About which batch, so that a front end can choose the place.
    pub batch: Option<BatchId>,
    /// Not before.
    pub due: DateTime<Utc>,
    /// What it says.
    pub text: String,
    /// Where it stands.
    pub state: OutgoingState,
    /// How often sending was tried.
    pub tries: u32,
    /// What it waits for though it is due: the end of a night, or the pause after a try that failed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub not_before: Option<DateTime<Utc>>,
    /// Why the last try failed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub failure: Option<String>,
    /// Where it goes and how it looks, if that is settled; else the front end chooses.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub letter: Option<Letter>,
}

impl Outgoing {
    /// A message about no batch that was not tried yet.
    pub const fn new(id: OutgoingId, member: MemberId, due: DateTime<Utc>, text: String) -> Self {
        Self {
            id,
            member,
            batch: None,
            due,
            text,
            state: OutgoingState::Waiting,
            tries: 0,
            not_before: None,
            failure: None,
            letter: None,
        }
    }
}
