//! Who asks, when and where; and what a command may use and gives back.

use super::error::CommandError;
use super::experience::Experience;
use crate::curing::Country;
use crate::record::{BatchId, Group, Member, QuietHours};
use crate::reply::{Question, Reply};
use crate::store::{Change, Store};
use chrono::{DateTime, NaiveDate, Utc};
use chrono_tz::Tz;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

/// What commands may use. Nothing of a front end is in here.
#[derive(Debug)]
pub struct Services {
    /// The record.
    pub store: Store,
    /// What finished batches tell, as last read.
    pub experience: Experience,
}

impl Services {
    /// Over a record.
    pub const fn new(store: Store) -> Self {
        Self { store, experience: Experience::new() }
    }
}

/// A file that a member sent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileSent {
    /// What they call it, without its folder.
    pub name: String,
    /// What is in it.
    pub bytes: Vec<u8>,
}

/// One request's circumstances.
#[derive(Debug, Clone)]
pub struct Asking {
    /// Who asks.
    pub member: Member,
    /// In which group.
    pub group: Group,
    /// The moment the line is judged at.
    pub now: DateTime<Utc>,
    /// The request's own id, so that a repeated delivery is kept once.
    pub request: Option<String>,
    /// The member has already answered the question this line would raise.
    pub confirmed: bool,
    /// Whether they have the platform's right to manage messages there.
    pub moderates: bool,
    /// The batch whose thread the line was written in.
    pub place: Option<BatchId>,
    /// The line as typed, kept beside what was read from it.
    pub typed: String,
    /// The file that came with the line.
    pub file: Option<Arc<FileSent>>,
    /// What was read of the record so far.
    pub seen: Seen,
}

/// The versions of the batches that a request has read. What follows from one of them is kept only as long as that is
/// still the batch's version, however often it is read again meanwhile.
#[derive(Debug, Clone, Default)]
pub struct Seen(Arc<Mutex<BTreeMap<BatchId, i64>>>);

impl Seen {
    /// Notes a version that was read; gives the one that was read first.
    pub fn note(&self, batch: BatchId, version: i64) -> i64 {
        let mut seen = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        *seen.entry(batch).or_insert(version)
    }
}

impl Asking {
    /// The member's zone, else the group's, else UTC.
    pub fn zone(&self) -> Tz {
        let named = self.member.settings.timezone.as_deref().or(self.group.settings.timezone.as_deref());
        named.and_then(|name| name.parse().ok()).unwrap_or(Tz::UTC)
    }

    /// The hours in which the member is left alone; `None`: reminders may come at night too.
    pub fn quiet(&self) -> Option<QuietHours> {
        (!self.member.settings.reminders_at_night).then_some(self.group.settings.quiet_hours)
    }

    /// The member's country, else the group's.
    pub fn country(&self) -> Option<Country> {
        let named = self.member.settings.country.as_deref().or(self.group.settings.country.as_deref());
        named.and_then(Country::parse)
    }

    /// The local day, for rules that begin or end on one.
    pub fn day(&self) -> NaiveDate {
        self.now.with_timezone(&self.zone()).date_naive()
    }
}

/// What comes back from a request.
#[derive(Debug, Clone)]
pub enum Answer {
    /// An answer.
    Reply(Box<Reply>),
    /// A question; nothing was kept.
    Question(Question),
    /// Nothing is new, so there is nothing to say.
    Nothing,
}

/// What a command works out: what to keep, and what to say once it is kept.
#[derive(Debug)]
pub struct Done {
    /// Kept whole before the answer leaves.
    pub change: Change,
    /// Said then.
    pub answer: Answer,
}

impl Done {
    /// An answer that keeps nothing.
    pub fn reply(reply: Reply) -> Self {
        Self { change: Change::default(), answer: Answer::Reply(Box::new(reply)) }
    }

    /// An answer, and what to keep before it leaves.
    pub fn keeping(change: Change, reply: Reply) -> Self {
        Self { change, answer: Answer::Reply(Box::new(reply)) }
    }

    /// Nothing to keep and nothing to say.
    pub fn nothing() -> Self {
        Self { change: Change::default(), answer: Answer::Nothing }
    }

    /// A question.
    pub fn question(question: Question) -> Self {
        Self { change: Change::default(), answer: Answer::Question(question) }
    }
}

/// What every command's `perform` gives.
pub type Outcome = Result<Done, CommandError>;
