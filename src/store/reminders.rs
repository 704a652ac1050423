//! Reminders: the plans of batches, members' own, and which are due.

use super::Store;
use super::change::Snooze;
use super::convert::{count, each, instant, ms, word};
use super::engine::{Connection, Value};
use super::error::StoreError;
use crate::record::{BatchId, MemberId, Reminder, ReminderId, ReminderKind, ReminderState};
use chrono::{DateTime, Utc};
use sqlx::FromRow;

const fn state_word(state: ReminderState) -> &'static str {
    match state {
        ReminderState::Scheduled => "scheduled",
        ReminderState::Claimed => "claimed",
        ReminderState::Sent => "sent",
        ReminderState::GaveUp => "gave_up",
        ReminderState::Withdrawn => "withdrawn",
        ReminderState::Cancelled => "cancelled",
    }
}

fn state(word: &str) -> Option<ReminderState> {
    [
        ReminderState::Scheduled,
        ReminderState::Claimed,
        ReminderState::Sent,
        ReminderState::GaveUp,
        ReminderState::Withdrawn,
        ReminderState::Cancelled,
    ]
    .into_iter()
    .find(|state| state_word(*state) == word)
}

/// The columns of a [`ReminderRow`].
macro_rules! columns {
    () => {
        "id, member_id, batch_id, kind, occurrence, due_ms, text, every_days, anchor_ms, state, tries,
             not_before_ms, snoozed_ms, failure, sent_ms"
    };
}
pub(super) use columns;

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
    anchor_ms: Option<i64>,
    pub(super) state: String,
    tries: i64,
    not_before_ms: Option<i64>,
    pub(super) snoozed_ms: Option<i64>,
    failure: Option<String>,
    pub(super) sent_ms: Option<i64>,
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
            anchor: row.anchor_ms.map(instant).transpose()?.map(|anchor| anchor.naive_utc()),
            state: word("reminder's state", &row.state, state)?,
            tries: count("reminder's tries", row.tries)?,
            not_before: row.not_before_ms.map(instant).transpose()?,
            snoozed: row.snoozed_ms.map(instant).transpose()?,
            sent: row.sent_ms.map(instant).transpose()?,
            failure: row.failure,
        })
    }
}

// Statements that look for what is unsent repeat the condition of the index `reminders_unsent` word for word:
// otherwise SQLite does not see that the index serves them, and reads every reminder there ever was.
macro_rules! reminders {
    ($rest:literal) => {
        concat!("select ", columns!(), " from reminders ", $rest)
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
            reminders!(
                "where member_id = $1 and state in ('scheduled', 'claimed')
                 order by case when snoozed_ms > due_ms then snoozed_ms else due_ms end, id"
            ),
            [member.0.into()],
        )
        .await
    }

    /// The reminder that was sent to a member last, where one that repeats counts too.
    pub async fn reminder_sent_last(&self, member: MemberId) -> Result<Option<Reminder>, StoreError> {
        let row: Option<ReminderRow> = self
            .readers
            .one(
                reminders!(
                    "where member_id = $1 and sent_ms is not null order by sent_ms desc, id desc limit 1"
                ),
                [member.0.into()],
            )
            .await?;
        row.map(Reminder::try_from).transpose()
    }

    /// Every reminder a member ever had, soonest first.
    pub async fn all_reminders_of(&self, member: MemberId) -> Result<Vec<Reminder>, StoreError> {
        self.reminders(reminders!("where member_id = $1 order by due_ms, id"), [member.0.into()]).await
    }

    /// When the next reminder falls due or message waits to go, so that a clock moved by hand can stop there.
    pub async fn next_due(&self) -> Result<Option<DateTime<Utc>>, StoreError> {
        let row: Option<(Option<i64>,)> = self
            .readers
            .one(
                "select min(case when not_before_ms > due_ms then not_before_ms else due_ms end) from (
                     select due_ms, not_before_ms from reminders where state in ('scheduled', 'claimed')
                     union all
                     select due_ms, not_before_ms from outbox where state in ('waiting', 'claimed'))",
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

/// Keeps a new reminder.
pub(super) async fn keep(connection: &mut Connection, reminder: &Reminder) -> Result<(), StoreError> {
    connection
        .run(
            "insert into reminders (id, member_id, batch_id, kind, occurrence, due_ms, text, every_days, anchor_ms,
                 state, tries, not_before_ms, snoozed_ms, sent_ms, failure)
             values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15)",
            [
                reminder.id.0.into(),
                reminder.member.0.into(),
                reminder.batch.map(|batch| batch.0).into(),
                reminder.kind.word().into(),
                i64::from(reminder.occurrence).into(),
                ms(reminder.due).into(),
                reminder.text.as_str().into(),
                reminder.every_days.map(i64::from).into(),
                reminder.anchor.map(|anchor| ms(anchor.and_utc())).into(),
                state_word(reminder.state).into(),
                i64::from(reminder.tries).into(),
                reminder.not_before.map(ms).into(),
                reminder.snoozed.map(ms).into(),
                reminder.sent.map(ms).into(),
                reminder.failure.as_deref().into(),
            ],
        )
        .await?;
    Ok(())
}

/// Takes one back that still waits or is just being sent. It stays so whatever the plan says, and whatever becomes of
/// a delivery that is under way.
pub(super) async fn cancel(connection: &mut Connection, id: ReminderId) -> Result<(), StoreError> {
    connection
        .run(
            "update reminders set state = 'cancelled', claimed_by = null, lease_ms = null
             where id = $1 and state in ('scheduled', 'claimed')",
            [id.0.into()],
        )
        .await?;
    Ok(())
}

/// Puts one off, or says one that was sent once more. It may be one that is just being sent: whoever holds that claim
/// cannot settle it any more, so it comes again at the time asked for. What was cancelled or withdrawn stays so.
///
/// One that repeats and waits for a later time than the one asked for comes then besides: its times count from the
/// first one, so the later time stays where it was.
pub(super) async fn snooze(connection: &mut Connection, snooze: &Snooze) -> Result<(), StoreError> {
    connection
        .run(
            "update reminders set state = 'scheduled', tries = 0, failure = null, claimed_by = null, lease_ms = null,
                 not_before_ms = $2, snoozed_ms = $2,
                 due_ms = case when anchor_ms is not null and due_ms > $2 then $2 else due_ms end
             where id = $1 and state in ('scheduled', 'claimed', 'sent')",
            [snooze.id.0.into(), ms(snooze.until).into()],
        )
        .await?;
    Ok(())
}

/// The plan of a batch as it is kept, for the writer.
pub(super) async fn planned(
    connection: &mut Connection,
    batch: BatchId,
) -> Result<Vec<ReminderRow>, StoreError> {
    Ok(connection.all(reminders!("where batch_id = $1 and kind <> 'own'"), [batch.0.into()]).await?)
}
