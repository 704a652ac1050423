//! Reminders: the plans of batches, members' own, and which are due.

use super::Store;
use super::convert::{count, each, instant, ms, word};
use super::engine::{Connection, Value};
use super::error::StoreError;
use crate::record::{BatchId, MemberId, Reminder, ReminderId, ReminderKind, ReminderState};
use chrono::{DateTime, Utc};
use sqlx::FromRow;

/// Withdrawn by the member: the plan does not bring it back. Reads as [`ReminderState::Withdrawn`].
const CANCELLED: &str = "cancelled";

const fn state_word(state: ReminderState) -> &'static str {
    match state {
        ReminderState::Scheduled => "scheduled",
        ReminderState::Claimed => "claimed",
        ReminderState::Sent => "sent",
        ReminderState::GaveUp => "gave_up",
        ReminderState::Withdrawn => "withdrawn",
    }
}

fn state(word: &str) -> Option<ReminderState> {
    if word == CANCELLED {
        return Some(ReminderState::Withdrawn);
    }
    [
        ReminderState::Scheduled,
        ReminderState::Claimed,
        ReminderState::Sent,
        ReminderState::GaveUp,
        ReminderState::Withdrawn,
    ]
    .into_iter()
    .find(|state| state_word(*state) == word)
}

#[derive(FromRow)]
pub(super) struct ReminderRow {
    pub(super) id: i64,
    pub(super) member_id: i64,
    batch_id: Option<i64>,
    pub(super) kind: String,
    pub(super) occurrence: i64,
    pub(super) due_ms: i64,
    pub(super) text: String,
    every_days: Option<i64>,
    pub(super) state: String,
    tries: i64,
}

impl TryFrom<ReminderRow> for Reminder {
    type Error = StoreError;

    fn try_from(row: ReminderRow) -> Result<Self, StoreError> {
        let every_days = row.every_days.map(|days| count("reminder's days", days)).transpose()?;
        Ok(Self {
            id: ReminderId(row.id),
            member: MemberId(row.member_id),
            batch: row.batch_id.map(BatchId),
            kind: word("kind of reminder", &row.kind, ReminderKind::parse)?,
            occurrence: count("reminder's occurrence", row.occurrence)?,
            due: instant(row.due_ms)?,
            text: row.text,
            every_days,
            state: word("reminder's state", &row.state, state)?,
            tries: count("reminder's tries", row.tries)?,
        })
    }
}

// Statements that look for what is unsent repeat the condition of the index `reminders_unsent` word for word:
// otherwise SQLite does not see that the index serves them, and reads every reminder there ever was.
macro_rules! reminders {
    ($rest:literal) => {
        concat!(
            "select id, member_id, batch_id, kind, occurrence, due_ms, text, every_days, state, tries ",
            "from reminders ",
            $rest
        )
    };
}

impl Store {
    /// One reminder.
    pub async fn reminder(&self, id: ReminderId) -> Result<Option<Reminder>, StoreError> {
        let row: Option<ReminderRow> = self.readers.one(reminders!("where id = $1"), [id.0.into()]).await?;
        row.map(Reminder::try_from).transpose()
    }

    /// What a member is still to be reminded of, soonest first.
    pub async fn reminders_of(&self, member: MemberId) -> Result<Vec<Reminder>, StoreError> {
        self.reminders(
            reminders!("where member_id = $1 and state in ('scheduled', 'claimed') order by due_ms, id"),
            [member.0.into()],
        )
        .await
    }

    /// Every reminder a member ever had, soonest first.
    pub async fn all_reminders_of(&self, member: MemberId) -> Result<Vec<Reminder>, StoreError> {
        self.reminders(reminders!("where member_id = $1 order by due_ms, id"), [member.0.into()]).await
    }

    /// The plan of a batch in whatever state each reminder is, soonest first; members' own are not in it.
    pub async fn planned_reminders(&self, batch: BatchId) -> Result<Vec<Reminder>, StoreError> {
        self.reminders(
            reminders!("where batch_id = $1 and kind <> 'own' order by due_ms, id"),
            [batch.0.into()],
        )
        .await
    }

    /// What is due and waits to be claimed, longest overdue first. Looking claims nothing.
    pub async fn due_reminders(&self, now: DateTime<Utc>) -> Result<Vec<Reminder>, StoreError> {
        self.reminders(
            reminders!(
                "where state in ('scheduled', 'claimed') and state = 'scheduled' and due_ms <= $1
                 order by due_ms, id"
            ),
            [ms(now).into()],
        )
        .await
    }

    /// When the next reminder falls due or message waits to go, so that a clock moved by hand can stop there.
    pub async fn next_due(&self) -> Result<Option<DateTime<Utc>>, StoreError> {
        let row: Option<(Option<i64>,)> = self
            .readers
            .one(
                "select min(due_ms) from (select due_ms from reminders where state in ('scheduled', 'claimed')
                 union all select due_ms from outbox where state = 'waiting')",
                [],
            )
            .await?;
        row.and_then(|(due,)| due).map(instant).transpose()
    }

    async fn reminders(
        &self,
        statement: &'static str,
        values: impl IntoIterator<Item = Value>,
    ) -> Result<Vec<Reminder>, StoreError> {
        let rows: Vec<ReminderRow> = self.readers.all(statement, values).await?;
        each(rows)
    }
}

/// Keeps one reminder as it is. One that is withdrawn this way stays withdrawn whatever the plan says.
pub(super) async fn keep(connection: &mut Connection, reminder: &Reminder) -> Result<(), StoreError> {
    let state = match reminder.state {
        ReminderState::Withdrawn => CANCELLED,
        other => state_word(other),
    };
    connection
        .run(
            "insert into reminders (id, member_id, batch_id, kind, occurrence, due_ms, text, every_days, state, tries)
             values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)
             on conflict (id) do update set due_ms = excluded.due_ms, text = excluded.text,
                 every_days = excluded.every_days, state = excluded.state, tries = excluded.tries, lease_ms = null",
            [
                reminder.id.0.into(),
                reminder.member.0.into(),
                reminder.batch.map(|batch| batch.0).into(),
                reminder.kind.word().into(),
                i64::from(reminder.occurrence).into(),
                ms(reminder.due).into(),
                reminder.text.as_str().into(),
                reminder.every_days.map(i64::from).into(),
                state.into(),
                i64::from(reminder.tries).into(),
            ],
        )
        .await?;
    Ok(())
}

/// Marks one as sent.
pub(super) async fn sent(
    connection: &mut Connection,
    id: ReminderId,
    at: DateTime<Utc>,
) -> Result<(), StoreError> {
    connection
        .run(
            "update reminders set state = 'sent', sent_ms = $2, lease_ms = null
             where id = $1 and state in ('scheduled', 'claimed')",
            [id.0.into(), ms(at).into()],
        )
        .await?;
    Ok(())
}

/// Takes what is due, for as long as the lease lasts. A lease that ran out is taken again: whoever had it is gone.
pub(super) async fn claim(
    connection: &mut Connection,
    now: DateTime<Utc>,
    lease_until: DateTime<Utc>,
    limit: u32,
    only: Option<MemberId>,
) -> Result<Vec<Reminder>, StoreError> {
    let rows: Vec<ReminderRow> = connection
        .all(
            "update reminders set state = 'claimed', lease_ms = $2, tries = tries + 1
             where id in (
                 select id from reminders
                 where state in ('scheduled', 'claimed') and due_ms <= $1
                     and (state = 'scheduled' or lease_ms <= $1)
                     and ($4 is null or member_id = $4)
                 order by due_ms, id limit $3)
             returning id, member_id, batch_id, kind, occurrence, due_ms, text, every_days, state, tries",
            [
                ms(now).into(),
                ms(lease_until).into(),
                i64::from(limit).into(),
                only.map(|member| member.0).into(),
            ],
        )
        .await?;
    let mut claimed: Vec<Reminder> = each(rows)?;
    claimed.sort_by_key(|reminder| (reminder.due, reminder.id));
    Ok(claimed)
}

/// Frees what a process that is gone had claimed.
pub(super) async fn free_claims(connection: &mut Connection) -> Result<(), sqlx::Error> {
    connection
        .run(
            "update reminders set state = 'scheduled', lease_ms = null
             where state in ('scheduled', 'claimed') and state = 'claimed'",
            [],
        )
        .await
        .map(|_| ())
}

/// The plan of a batch as it is kept, for the writer.
pub(super) async fn planned(
    connection: &mut Connection,
    batch: BatchId,
) -> Result<Vec<ReminderRow>, StoreError> {
    Ok(connection.all(reminders!("where batch_id = $1 and kind <> 'own'"), [batch.0.into()]).await?)
}
