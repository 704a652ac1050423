//! A type for each identifier, so that a batch's number is never taken for a piece's.

use serde::{Deserialize, Serialize};
use std::fmt;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident, $shown:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub i64);

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, concat!($shown, "{}"), self.0)
            }
        }
    };
}

id! {
    /// A group of members.
    GroupId, ""
}
id! {
    /// A member.
    MemberId, ""
}
id! {
    /// A chamber: a refrigerator, fermenting box or drying room.
    ChamberId, ""
}
id! {
    /// A pH meter of a member's.
    MeterId, ""
}
id! {
    /// A batch, shown as `B3`.
    BatchId, "B"
}
id! {
    /// An event, shown as its bare number.
    EventId, ""
}
id! {
    /// A reminder, shown as its bare number.
    ReminderId, ""
}
id! {
    /// A message on its way out.
    OutgoingId, ""
}
id! {
    /// The buttons under one answer.
    CardId, ""
}
id! {
    /// A chat platform's own number for a group, a person, a place or a message.
    ChatId, ""
}

/// A piece of a batch, shown as `#2`. Counted from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct PieceNumber(pub u32);

impl fmt::Display for PieceNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{}", self.0)
    }
}
