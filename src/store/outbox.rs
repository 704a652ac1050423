//! Messages on their way out.

use super::Store;
use super::convert::{each, instant, ms, word};
use super::engine::{Connection, Value};
use super::error::StoreError;
use crate::record::{BatchId, ChatId, Letter, MemberId, Outgoing, OutgoingId, OutgoingState};
use chrono::{DateTime, Utc};
use sqlx::FromRow;

const fn state_word(state: OutgoingState) -> &'static str {
    match state {
        OutgoingState::Waiting => "waiting",
        OutgoingState::Sent => "sent",
        OutgoingState::GaveUp => "gave_up",
    }
}

fn state(word: &str) -> Option<OutgoingState> {
    [OutgoingState::Waiting, OutgoingState::Sent, OutgoingState::GaveUp]
        .into_iter()
        .find(|state| state_word(*state) == word)
}

#[derive(FromRow)]
struct OutgoingRow {
    id: i64,
    member_id: i64,
    batch_id: Option<i64>,
    due_ms: i64,
    text: String,
    state: String,
    place_id: Option<i64>,
    answers_id: Option<i64>,
    body: Option<String>,
    nonce: Option<String>,
}

impl TryFrom<OutgoingRow> for Outgoing {
    type Error = StoreError;

    fn try_from(row: OutgoingRow) -> Result<Self, StoreError> {
        let letter = row.place_id.zip(row.body).zip(row.nonce).map(|((place, body), nonce)| Letter {
            place: ChatId(place),
            answers: row.answers_id.map(ChatId),
            body,
            nonce,
        });
        Ok(Self {
            id: OutgoingId(row.id),
            member: MemberId(row.member_id),
            batch: row.batch_id.map(BatchId),
            due: instant(row.due_ms)?,
            text: row.text,
            state: word("message's state", &row.state, state)?,
            letter,
        })
    }
}

impl Store {
    /// What waits to be sent and is due, oldest first.
    pub async fn waiting_outgoing(&self, now: DateTime<Utc>) -> Result<Vec<Outgoing>, StoreError> {
        self.outgoing(
            "select id, member_id, batch_id, due_ms, text, state, place_id, answers_id, body, nonce from outbox
             where state = 'waiting' and due_ms <= $1 order by due_ms, id",
            [ms(now).into()],
        )
        .await
    }

    /// Every message that was ever meant for a member.
    pub async fn outgoing_to(&self, member: MemberId) -> Result<Vec<Outgoing>, StoreError> {
        self.outgoing(
            "select id, member_id, batch_id, due_ms, text, state, place_id, answers_id, body, nonce from outbox
             where member_id = $1 order by due_ms, id",
            [member.0.into()],
        )
        .await
    }

    /// Whether a letter of this nonce was ever kept.
    pub async fn has_letter(&self, nonce: &str) -> Result<bool, StoreError> {
        let row: Option<(i64,)> =
            self.readers.one("select id from outbox where nonce = $1", [nonce.into()]).await?;
        Ok(row.is_some())
    }

    async fn outgoing(
        &self,
        statement: &'static str,
        values: impl IntoIterator<Item = Value>,
    ) -> Result<Vec<Outgoing>, StoreError> {
        let rows: Vec<OutgoingRow> = self.readers.all(statement, values).await?;
        each(rows)
    }
}

/// Keeps a message; a second letter of the same nonce is left out.
pub(super) async fn keep(connection: &mut Connection, outgoing: &Outgoing) -> Result<(), StoreError> {
    let letter = outgoing.letter.as_ref();
    connection
        .run(
            "insert into outbox
                 (id, member_id, batch_id, due_ms, text, state, place_id, answers_id, body, nonce)
             select $1, $2, $3, $4, $5, $6, $7, $8, $9, $10
             where not exists (select 1 from outbox where nonce = $10 and id <> $1)
             on conflict (id) do update set due_ms = excluded.due_ms, text = excluded.text, state = excluded.state",
            [
                outgoing.id.0.into(),
                outgoing.member.0.into(),
                outgoing.batch.map(|batch| batch.0).into(),
                ms(outgoing.due).into(),
                outgoing.text.as_str().into(),
                state_word(outgoing.state).into(),
                letter.map(|letter| letter.place.0).into(),
                letter.and_then(|letter| letter.answers).map(|message| message.0).into(),
                letter.map(|letter| letter.body.as_str()).into(),
                letter.map(|letter| letter.nonce.as_str()).into(),
            ],
        )
        .await?;
    Ok(())
}

/// Marks one as sent.
pub(super) async fn sent(
    connection: &mut Connection,
    id: OutgoingId,
    at: DateTime<Utc>,
) -> Result<(), StoreError> {
    connection
        .run(
            "update outbox set state = 'sent', sent_ms = $2 where id = $1 and state = 'waiting'",
            [id.0.into(), ms(at).into()],
        )
        .await?;
    Ok(())
}
