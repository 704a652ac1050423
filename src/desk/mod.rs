//! Takes a line from any front end: finds the group and the member, calls the command, and turns what went wrong
//! into the member's words. A failure of ours is logged here, once, with a number the member is given.

mod access;
mod answer;

pub use crate::command::table;
pub use answer::{Answered, DeskError};

use crate::clock::to_milliseconds;
use crate::command;
use crate::command::{Answer, Asking, CommandError, Request, Seen, Services};
use crate::record::{Group, Member};
use crate::reply::{Question, say};
use crate::store::{Store, StoreError};
use chrono::{DateTime, Utc};
use std::sync::atomic::{AtomicU64, Ordering};
use tokio::sync::Mutex;

/// A line as a front end hands it over.
#[derive(Debug, Clone)]
pub struct Incoming {
    /// The front end's own id for it, so that a repeated delivery is kept once.
    pub id: Option<String>,
    /// Name of the group it was written in.
    pub group: String,
    /// Name of who wrote it.
    pub author: String,
    /// The line.
    pub text: String,
    /// The moment it is judged at.
    pub at: DateTime<Utc>,
    /// The question it would raise is already answered with yes.
    pub confirmed: bool,
}

/// Where lines arrive.
#[derive(Debug)]
pub struct Desk {
    services: Services,
    failures: AtomicU64,
    /// Held while a new member is written down, so that two first lines of one name make one member.
    door: Mutex<()>,
}

impl Desk {
    /// A desk over a store.
    pub const fn new(store: Store) -> Self {
        Self { services: Services { store }, failures: AtomicU64::new(1), door: Mutex::const_new(()) }
    }

    /// The store behind it.
    pub const fn store(&self) -> &Store {
        &self.services.store
    }

    /// Answers a line.
    pub async fn answer(&self, incoming: &Incoming) -> Answered {
        match self.carry_out(incoming).await {
            Ok(Answer::Reply(reply)) => Answered::Reply(reply),
            Ok(Answer::Question(question)) => {
                Answered::Question(Question { line: incoming.text.clone(), ..question })
            }
            Err(CommandError::User(error)) => Answered::Error(DeskError::of_member(&error)),
            Err(CommandError::Store(cause @ (StoreError::NotSaved { .. } | StoreError::Closed))) => {
                tracing::error!(%cause, "a change could not be kept");
                Answered::Error(DeskError::not_saved())
            }
            Err(error) => Answered::Error(self.log(&error)),
        }
    }

    async fn carry_out(&self, incoming: &Incoming) -> Result<Answer, CommandError> {
        let (group, member, is_new) = self.enter(incoming).await?;
        let asking = Asking {
            member,
            group,
            now: to_milliseconds(incoming.at),
            request: incoming.id.clone(),
            confirmed: incoming.confirmed,
            place: None,
            typed: incoming.text.trim().to_owned(),
            seen: Seen::default(),
        };
        let request = command::read(&incoming.text, &asking).map_err(CommandError::User)?;
        let mut answer = command::perform(&request, &self.services, &asking).await?;
        if let Answer::Reply(reply) = &mut answer
            && is_new
            && !matches!(request, Request::Me(_))
        {
            reply.welcome = Some(say("desk.welcome", &[]));
        }
        Ok(answer)
    }

    /// Who writes, and whether this is their first line.
    async fn enter(&self, incoming: &Incoming) -> Result<(Group, Member, bool), CommandError> {
        let store = &self.services.store;
        if let Some((group, member)) = access::known(store, &incoming.group, &incoming.author) {
            return Ok((group, member, false));
        }
        let _alone = self.door.lock().await;
        let (group, member) = access::enter(store, &incoming.group, &incoming.author).await?;
        Ok((group, member, true))
    }

    fn log(&self, error: &CommandError) -> DeskError {
        let number = self.failures.fetch_add(1, Ordering::Relaxed);
        tracing::error!(number, cause = %error, "a request failed on our side");
        DeskError::ours(&say("error.internal", &[("id", &number.to_string())]))
    }
}

/// A length of time in hours, for front ends that move a clock.
pub fn hours(text: &str) -> Option<f64> {
    command::hours(text)
}
