//! Takes a record file back for whoever has the record in hand.

use super::{Answered, Desk, DeskError};
use crate::clock::to_milliseconds;
use crate::command::CommandError;
use crate::command::restore::{Taker, restore};
use crate::store::StoreError;
use chrono::{DateTime, Utc};

pub use crate::command::restore::LARGEST_FILE;

impl Desk {
    /// Keeps what a record file says for a member of a group who is not there yet, in one change; or says in one
    /// sentence why not, and keeps nothing.
    pub async fn restore(&self, group: &str, member: &str, bytes: &[u8], now: DateTime<Utc>) -> Answered {
        let _alone = self.door.alone().await;
        let taker = Taker { group, member: &super::access::short(member) };
        match restore(&self.services, taker, bytes, to_milliseconds(now)).await {
            Ok(reply) => Answered::Reply(Box::new(reply)),
            Err(CommandError::User(error)) => Answered::Error(DeskError::of_member(&error)),
            Err(CommandError::Store(cause @ (StoreError::NotSaved { .. } | StoreError::Closed))) => {
                tracing::error!(%cause, "a record file could not be kept");
                Answered::Error(DeskError::not_saved())
            }
            Err(error) => Answered::Error(self.log(&error)),
        }
    }
}
