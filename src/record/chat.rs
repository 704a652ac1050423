//! What is remembered of a chat platform: where members write, what a button stands for, and what is to be posted.

use super::ids::{BatchId, CardId, ChatId, GroupId, MemberId};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

/// What sort of place members write in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PlaceKind {
    /// A channel of a group.
    Channel,
    /// A thread; a batch's own one names the batch.
    Thread,
    /// A member's direct conversation with the assistant.
    Direct,
}

/// A place members write in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Place {
    /// The platform's number for it.
    pub id: ChatId,
    /// Whose group it belongs to.
    pub group: GroupId,
    /// What sort of place.
    pub kind: PlaceKind,
    /// Whose direct conversation it is.
    pub member: Option<MemberId>,
    /// Whose thread it is.
    pub batch: Option<BatchId>,
    /// Every message up to this one was dealt with; what was written later is caught up with after an absence.
    pub seen: ChatId,
    /// Whether messages could be posted there the last time.
    pub reachable: bool,
}

/// What the buttons under an answer stand for, so that they still work after a restart.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Card {
    /// Number; the buttons carry it.
    pub id: CardId,
    /// Who may press them.
    pub owner: MemberId,
    /// When the answer was given.
    pub made: DateTime<Utc>,
    /// What each button does, as the front end wrote it down.
    pub buttons: String,
    /// Further pages and how it was worked out, as the front end wrote them down; kept for a while only.
    pub pages: Option<String>,
}

/// A message that was laid out for a place already.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Letter {
    /// Where it is posted.
    pub place: ChatId,
    /// The message it answers.
    pub answers: Option<ChatId>,
    /// The message as the front end wrote it down.
    pub body: String,
    /// The same for every try, at most 25 characters. A second letter of the same nonce is not kept.
    pub nonce: String,
}
