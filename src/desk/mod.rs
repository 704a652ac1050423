//! Takes a line from any front end: finds the group and the member, calls the command, and turns what went wrong
//! into the member's words. A failure of ours is logged here, once, with a number the member is given.

mod access;
mod answer;
mod farewell;
mod incoming;
pub mod suggestions;

pub use crate::command::access::{Actor, Deed, Thing, may};
pub use crate::command::table;
pub use answer::{Answered, DeskError};
pub use farewell::TOMBSTONE;
pub use incoming::{Attention, ChatSender, Incoming, Said, Sender};

use crate::clock::to_milliseconds;
use crate::command;
use crate::command::line;
use crate::command::{Answer, Asking, Code, CommandError, Meant, Request, Seen, Services, UserError};
use crate::record::{BatchId, Group, Member};
use crate::reply::{Question, say};
use crate::store::{Store, StoreError};
use std::sync::atomic::{AtomicU64, Ordering};
use tokio::sync::Mutex;

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
        Self { services: Services::new(store), failures: AtomicU64::new(1), door: Mutex::const_new(()) }
    }

    /// The store behind it.
    pub const fn store(&self) -> &Store {
        &self.services.store
    }

    /// Answers a line.
    pub async fn answer(&self, incoming: &Incoming) -> Answered {
        match self.carry_out(incoming).await {
            Ok(None | Some(Answer::Nothing)) => Answered::NotForUs,
            Ok(Some(Answer::Reply(reply))) => Answered::Reply(reply),
            Ok(Some(Answer::Question(question))) => {
                Answered::Question(Question { line: incoming.typed(), ..question })
            }
            Err(CommandError::User(error)) => Answered::Error(DeskError::of_member(&error)),
            Err(CommandError::Store(cause @ (StoreError::NotSaved { .. } | StoreError::Closed))) => {
                tracing::error!(%cause, "a change could not be kept");
                Answered::Error(DeskError::not_saved())
            }
            Err(error) => Answered::Error(self.log(&error)),
        }
    }

    /// What could be typed for an option of a command, by what was typed of it so far.
    pub async fn suggest(
        &self,
        sender: &Sender,
        root: &str,
        verb: &str,
        option: &str,
        typed: &str,
    ) -> Vec<suggestions::Suggestion> {
        suggestions::of(self.store(), sender, (root, verb), option, typed).await
    }

    /// `None`: it was said between people.
    async fn carry_out(&self, incoming: &Incoming) -> Result<Option<Answer>, CommandError> {
        if let Some(reply) = command::emergency::answer(&incoming.typed()) {
            return Ok(Some(Answer::Reply(Box::new(reply))));
        }
        if !self.is_for_us(incoming).await? {
            return Ok(None);
        }
        let (group, member, is_new) = self.enter(&incoming.sender).await?;
        let asking = asked(incoming, group, member);
        let request = read(incoming, &asking).map_err(CommandError::User)?;
        let mut answer = match command::perform(&request, &self.services, &asking).await {
            Err(CommandError::User(error)) if is_between_people(incoming, &error) => return Ok(None),
            answered => answered?,
        };
        if let Answer::Reply(reply) = &mut answer
            && is_new
            && !matches!(request, Request::Me(_))
        {
            reply.welcome = Some(say("desk.welcome", &[]));
        }
        Ok(Some(answer))
    }

    /// What nobody addressed to the assistant must speak for itself; in a batch's thread whoever may log may be less plain.
    /// Nobody becomes a member by talking to others.
    async fn is_for_us(&self, incoming: &Incoming) -> Result<bool, CommandError> {
        if incoming.attention == Attention::Addressed {
            return Ok(true);
        }
        let known = access::known_at_all(self.store(), &incoming.sender);
        let asking = known.map(|(group, member)| asked(incoming, group, member));
        Ok(match command::meant(&incoming.typed(), asking.as_ref()) {
            Meant::Plainly => true,
            Meant::Perhaps if incoming.attention == Attention::InThread => {
                match asking.and_then(|asking| Some((asking.place?, Actor::of(&asking)))) {
                    Some((batch, actor)) => self.may_in_batch(actor, Deed::LogReading, batch).await?,
                    None => false,
                }
            }
            Meant::Perhaps | Meant::No => false,
        })
    }

    /// Whether somebody may do a deed to a batch.
    ///
    /// # Errors
    /// The store's.
    pub async fn may_in_batch(&self, actor: Actor, deed: Deed, batch: BatchId) -> Result<bool, StoreError> {
        let Some((state, _)) = self.store().batch(batch).await? else { return Ok(false) };
        let thing = command::access::batch(&self.services, actor, &state).await?;
        Ok(may(actor, deed, &thing))
    }

    /// Who writes, and whether this is their first line.
    async fn enter(&self, sender: &Sender) -> Result<(Group, Member, bool), CommandError> {
        let store = &self.services.store;
        if let Some((group, member)) = access::known(store, sender) {
            return Ok((group, member, false));
        }
        let _alone = self.door.lock().await;
        access::enter(store, sender).await
    }

    fn log(&self, error: &CommandError) -> DeskError {
        let number = self.failures.fetch_add(1, Ordering::Relaxed);
        tracing::error!(number, cause = %error, "a request failed on our side");
        DeskError::ours(&say("error.internal", &[("id", &number.to_string())]))
    }
}

fn asked(incoming: &Incoming, group: Group, member: Member) -> Asking {
    Asking {
        member,
        group,
        now: to_milliseconds(incoming.at),
        request: incoming.id.clone(),
        confirmed: incoming.confirmed,
        moderates: matches!(&incoming.sender, Sender::Chat(sender) if sender.moderates),
        place: incoming.place,
        typed: incoming.typed(),
        seen: Seen::default(),
    }
}

fn read(incoming: &Incoming, asking: &Asking) -> Result<Request, UserError> {
    match &incoming.said {
        Said::Line(text) => command::read(text, asking),
        Said::Options { root, verb, options } => {
            command::read_options(&line::of_options(root, verb, options)?, asking)
        }
        Said::Edited { of, written, text } => {
            Ok(command::read_edited(of, to_milliseconds(*written), text, asking))
        }
        Said::Deleted { of } => Ok(command::read_deleted(of)),
    }
}

/// In a batch's thread, what is neither a reading nor a command is not ours to comment on.
fn is_between_people(incoming: &Incoming, error: &UserError) -> bool {
    incoming.attention == Attention::InThread && error.code == Code::UnknownCommand
}

/// A length of time in hours, for front ends that move a clock.
pub fn hours(text: &str) -> Option<f64> {
    command::hours(text)
}
