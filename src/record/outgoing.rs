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
    /// Where it goes and how it looks, if that is settled; else the front end chooses.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub letter: Option<Letter>,
}
