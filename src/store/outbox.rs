//! Messages on their way out.

use super::Store;
use super::convert::{count, each, instant, ms, word};
use super::engine::Connection;
use super::error::StoreError;
use crate::record::{BatchId, ChatId, Letter, MemberId, Outgoing, OutgoingId, OutgoingState};
use sqlx::FromRow;

const fn state_word(state: OutgoingState) -> &'static str {
    match state {
        OutgoingState::Waiting => "waiting",
        OutgoingState::Claimed => "claimed",
        OutgoingState::Sent => "sent",
        OutgoingState::GaveUp => "gave_up",
    }
}

fn state(word: &str) -> Option<OutgoingState> {
    [OutgoingState::Waiting, OutgoingState::Claimed, OutgoingState::Sent, OutgoingState::GaveUp]
        .into_iter()
        .find(|state| state_word(*state) == word)
}

/// The columns of an [`OutgoingRow`].
macro_rules! columns {
    () => {
        "id, member_id, batch_id, due_ms, text, state, tries, not_before_ms, failure,
         place_id, answers_id, body, nonce"
    };
}
pub(super) use columns;

#[derive(FromRow)]
pub(super) struct OutgoingRow {
    id: i64,
    member_id: i64,
    batch_id: Option<i64>,
    due_ms: i64,
    text: String,
    state: String,
    tries: i64,
    not_before_ms: Option<i64>,
    failure: Option<String>,
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
            tries: count("message's tries", row.tries)?,
            not_before: row.not_before_ms.map(instant).transpose()?,
            failure: row.failure,
            letter,
        })
    }
}

impl Store {
    /// Whether a letter of this nonce was ever kept.
    pub async fn has_letter(&self, nonce: &str) -> Result<bool, StoreError> {
        let row: Option<(i64,)> =
            self.readers.one("select id from outbox where nonce = $1", [nonce.into()]).await?;
        Ok(row.is_some())
    }

    /// Whether a letter of this nonce still waits to be sent; `None` where none was ever kept.
    pub async fn letter_waits(&self, nonce: &str) -> Result<Option<bool>, StoreError> {
        let row: Option<(String,)> =
            self.readers.one("select state from outbox where nonce = $1", [nonce.into()]).await?;
        let state = row.map(|(state_,)| word("message's state", &state_, state)).transpose()?;
        Ok(state.map(|state| matches!(state, OutgoingState::Waiting | OutgoingState::Claimed)))
    }

    /// Every message that was ever meant for a member.
    pub async fn outgoing_to(&self, member: MemberId) -> Result<Vec<Outgoing>, StoreError> {
        let rows: Vec<OutgoingRow> = self
            .readers
            .all(
                concat!("select ", columns!(), " from outbox where member_id = $1 order by due_ms, id"),
                [member.0.into()],
            )
            .await?;
        each(rows)
    }
}

/// Keeps a new message; a second letter of the same nonce is left out.
pub(super) async fn keep(connection: &mut Connection, outgoing: &Outgoing) -> Result<(), StoreError> {
    let letter = outgoing.letter.as_ref();
    connection
        .run(
            "insert into outbox
                 (id, member_id, batch_id, due_ms, text, state, tries, not_before_ms, failure,
                  place_id, answers_id, body, nonce)
             values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)
             on conflict (nonce) where nonce is not null do nothing",
            [
                outgoing.id.0.into(),
                outgoing.member.0.into(),
                outgoing.batch.map(|batch| batch.0).into(),
                ms(outgoing.due).into(),
                outgoing.text.as_str().into(),
                state_word(outgoing.state).into(),
                i64::from(outgoing.tries).into(),
                outgoing.not_before.map(ms).into(),
                outgoing.failure.as_deref().into(),
                letter.map(|letter| letter.place.0).into(),
                letter.and_then(|letter| letter.answers).map(|message| message.0).into(),
                letter.map(|letter| letter.body.as_str()).into(),
                letter.map(|letter| letter.nonce.as_str()).into(),
            ],
        )
        .await?;
    Ok(())
}
