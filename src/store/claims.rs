//! Claims on what is to be sent: taken for the length of a lease, settled only by who holds them.
//!
//! Reminders and messages are claimed alike. A lease that ran out is taken again, because whoever had it is gone; what
//! they say of it after that is refused. Each claim counts as a try until it is settled as none.

use super::Store;
use super::convert::{each, ms};
use super::engine::{Connection, Value};
use super::error::StoreError;
use super::outbox::OutgoingRow;
use super::reminders::ReminderRow;
use super::writer::Work;
use crate::record::{MemberId, Outgoing, OutgoingId, Reminder, ReminderId};
use chrono::{DateTime, TimeDelta, Utc};

/// How long a claim may take to be settled before it is taken again. Short, because a chat platform recognises a
/// message that is sent twice only for a few minutes.
const LEASE: TimeDelta = TimeDelta::seconds(60);

/// Who holds claims: one worker in one tick.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Claimant(pub(super) i64);

/// Something that was claimed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Claimed {
    /// A reminder.
    Reminder(ReminderId),
    /// A message.
    Message(OutgoingId),
}

/// What became of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Settlement {
    /// It arrived.
    Sent {
        /// When.
        at: DateTime<Utc>,
    },
    /// A reminder that comes again goes on to its next time.
    Again {
        /// When it is due then.
        due: DateTime<Utc>,
        /// When it arrived this time, if it did.
        sent: Option<DateTime<Utc>>,
        /// Why it did not arrive this time, if it did not.
        failure: Option<String>,
    },
    /// It failed and is tried again.
    Retry {
        /// Not before this.
        not_before: DateTime<Utc>,
        /// Why it failed.
        failure: String,
    },
    /// It was not tried, or was turned away for a while: this counts as no try.
    Wait {
        /// Not before this; `None` leaves it as it was.
        not_before: Option<DateTime<Utc>>,
    },
    /// It is given up.
    GaveUp {
        /// Why.
        failure: String,
    },
}

/// A claim that is settled; refused where it has passed to somebody else, or what was claimed is no longer wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Settled {
    /// Who held it.
    pub by: Claimant,
    /// On what.
    pub what: Claimed,
    /// How it ended.
    pub how: Settlement,
}

/// What a worker asks for.
#[derive(Debug, Clone, Copy)]
pub(super) struct Claim {
    by: Claimant,
    now: DateTime<Utc>,
    limit: u32,
    only: Option<MemberId>,
    message: Option<OutgoingId>,
}

impl Store {
    /// A claimant that nobody else is.
    pub fn next_claimant(&self) -> Claimant {
        Claimant(self.numbers.claimant())
    }

    /// Takes at most `limit` reminders that are due, longest overdue first, each with its tries counted up. Settle
    /// them with `Change::settled`; one that is not settled within a minute is taken again.
    ///
    /// `only` leaves everybody else's where they are: a front end that reaches one member must not take others'.
    pub async fn claim_reminders(
        &self,
        by: Claimant,
        now: DateTime<Utc>,
        limit: u32,
        only: Option<MemberId>,
    ) -> Result<Vec<Reminder>, StoreError> {
        let claim = Claim { by, now, limit, only, message: None };
        Ok(self.writer.ask(Work::ClaimReminders(claim)).await?.reminders)
    }

    /// As [`Self::claim_reminders`], for the messages of the outbox.
    pub async fn claim_messages(
        &self,
        by: Claimant,
        now: DateTime<Utc>,
        limit: u32,
        only: Option<MemberId>,
    ) -> Result<Vec<Outgoing>, StoreError> {
        let claim = Claim { by, now, limit, only, message: None };
        Ok(self.writer.ask(Work::ClaimMessages(claim)).await?.messages)
    }

    /// As [`Self::claim_messages`], for one message; `None` where somebody else has it or it is not due.
    pub async fn claim_message(
        &self,
        by: Claimant,
        now: DateTime<Utc>,
        message: OutgoingId,
    ) -> Result<Option<Outgoing>, StoreError> {
        let claim = Claim { by, now, limit: 1, only: None, message: Some(message) };
        Ok(self.writer.ask(Work::ClaimMessages(claim)).await?.messages.pop())
    }
}

// The condition of the indexes `reminders_unsent` and `outbox_unsent` is repeated word for word: otherwise SQLite does
// not see that they serve, and reads every row there ever was.
macro_rules! claim {
    ($table:literal, $waiting:literal, $columns:expr) => {
        concat!(
            "update ",
            $table,
            " set state = 'claimed', claimed_by = $1, lease_ms = $3, tries = tries + 1
             where id in (
                 select id from ",
            $table,
            " where state in ('",
            $waiting,
            "', 'claimed') and due_ms <= $2
                     and (not_before_ms is null or not_before_ms <= $2)
                     and (state <> 'claimed' or lease_ms <= $2)
                     and ($5 is null or member_id = $5)
                     and ($6 is null or id = $6)
                 order by due_ms, id limit $4)
             returning ",
            $columns
        )
    };
}

impl Claim {
    fn values(self) -> [Value; 6] {
        [
            self.by.0.into(),
            ms(self.now).into(),
            ms(self.now + LEASE).into(),
            i64::from(self.limit).into(),
            self.only.map(|member| member.0).into(),
            self.message.map(|message| message.0).into(),
        ]
    }

    pub(super) async fn reminders(self, connection: &mut Connection) -> Result<Vec<Reminder>, StoreError> {
        let statement = claim!("reminders", "scheduled", super::reminders::columns!());
        let rows: Vec<ReminderRow> = connection.all(statement, self.values()).await?;
        let mut claimed: Vec<Reminder> = each(rows)?;
        claimed.sort_by_key(|reminder| (reminder.due, reminder.id));
        Ok(claimed)
    }

    pub(super) async fn messages(self, connection: &mut Connection) -> Result<Vec<Outgoing>, StoreError> {
        let statement = claim!("outbox", "waiting", super::outbox::columns!());
        let rows: Vec<OutgoingRow> = connection.all(statement, self.values()).await?;
        let mut claimed: Vec<Outgoing> = each(rows)?;
        claimed.sort_by_key(|message| (message.due, message.id));
        Ok(claimed)
    }
}

macro_rules! settle {
    ($table:literal, $becomes:literal) => {
        concat!(
            "update ",
            $table,
            " set ",
            $becomes,
            ", claimed_by = null, lease_ms = null where id = $1 and claimed_by = $2 and state = 'claimed'"
        )
    };
}

/// Settles a claim; `false` when it was no longer held.
pub(super) async fn settle(connection: &mut Connection, settled: &Settled) -> Result<bool, StoreError> {
    let touched = match settled.what {
        Claimed::Reminder(id) => {
            let values = values(id.0, settled);
            connection.run(of_reminder(&settled.how), values).await?
        }
        Claimed::Message(id) => {
            let values = values(id.0, settled);
            connection.run(of_message(&settled.how)?, values).await?
        }
    };
    Ok(touched == 1)
}

const fn of_reminder(how: &Settlement) -> &'static str {
    match how {
        Settlement::Sent { .. } => {
            settle!("reminders", "state = 'sent', sent_ms = $3, not_before_ms = null, snoozed_ms = null, failure = null")
        }
        Settlement::Again { .. } => settle!(
            "reminders",
            "state = 'scheduled', due_ms = $3, failure = $4, sent_ms = coalesce($5, sent_ms), not_before_ms = null,
                 snoozed_ms = null, tries = 0"
        ),
        Settlement::Retry { .. } => {
            settle!("reminders", "state = 'scheduled', not_before_ms = $3, failure = $4")
        }
        Settlement::Wait { .. } => settle!(
            "reminders",
            "state = 'scheduled', not_before_ms = coalesce($3, not_before_ms), tries = tries - 1"
        ),
        Settlement::GaveUp { .. } => settle!("reminders", "state = 'gave_up', failure = $3"),
    }
}

fn of_message(how: &Settlement) -> Result<&'static str, StoreError> {
    Ok(match how {
        Settlement::Sent { .. } => {
            settle!("outbox", "state = 'sent', sent_ms = $3, not_before_ms = null, failure = null")
        }
        Settlement::Again { .. } => return Err(StoreError::unfit(&"a message does not come again")),
        Settlement::Retry { .. } => settle!("outbox", "state = 'waiting', not_before_ms = $3, failure = $4"),
        Settlement::Wait { .. } => settle!(
            "outbox",
            "state = 'waiting', not_before_ms = coalesce($3, not_before_ms), tries = tries - 1"
        ),
        Settlement::GaveUp { .. } => settle!("outbox", "state = 'gave_up', failure = $3"),
    })
}

fn values(id: i64, settled: &Settled) -> Vec<Value> {
    let mut values = vec![Value::from(id), settled.by.0.into()];
    match &settled.how {
        Settlement::Sent { at } => values.push(ms(*at).into()),
        Settlement::Again { due, sent, failure } => {
            values.extend([ms(*due).into(), failure.as_deref().into(), sent.map(ms).into()]);
        }
        Settlement::Retry { not_before, failure } => {
            values.extend([ms(*not_before).into(), failure.as_str().into()]);
        }
        Settlement::Wait { not_before } => values.push(not_before.map(ms).into()),
        Settlement::GaveUp { failure } => values.push(failure.as_str().into()),
    }
    values
}

/// Frees what a process that is gone had claimed.
pub(super) async fn free(connection: &mut Connection) -> Result<(), sqlx::Error> {
    connection
        .run(
            "update reminders set state = 'scheduled', claimed_by = null, lease_ms = null
             where state in ('scheduled', 'claimed') and state = 'claimed'",
            [],
        )
        .await?;
    connection
        .run(
            "update outbox set state = 'waiting', claimed_by = null, lease_ms = null
             where state in ('waiting', 'claimed') and state = 'claimed'",
            [],
        )
        .await
        .map(|_| ())
}
