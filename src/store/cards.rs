//! What buttons under answers stand for.

use super::Store;
use super::convert::{instant, ms};
use super::engine::Connection;
use super::error::StoreError;
use crate::record::{Card, CardId, MemberId};
use chrono::{DateTime, Utc};
use sqlx::FromRow;

#[derive(FromRow)]
struct CardRow {
    id: i64,
    owner_id: i64,
    made_ms: i64,
    buttons: String,
    pages: Option<String>,
}

impl Store {
    /// What the buttons of an answer stand for.
    pub async fn card(&self, id: CardId) -> Result<Option<Card>, StoreError> {
        let row: Option<CardRow> = self
            .readers
            .one("select id, owner_id, made_ms, buttons, pages from cards where id = $1", [id.0.into()])
            .await?;
        let Some(row) = row else { return Ok(None) };
        Ok(Some(Card {
            id: CardId(row.id),
            owner: MemberId(row.owner_id),
            made: instant(row.made_ms)?,
            buttons: row.buttons,
            pages: row.pages,
        }))
    }
}

/// Keeps a card. What its buttons stand for never changes; its pages may.
pub(super) async fn keep(connection: &mut Connection, card: &Card) -> Result<(), StoreError> {
    connection
        .run(
            "insert into cards (id, owner_id, made_ms, buttons, pages) values ($1, $2, $3, $4, $5)
             on conflict (id) do update set pages = excluded.pages",
            [
                card.id.0.into(),
                card.owner.0.into(),
                ms(card.made).into(),
                card.buttons.as_str().into(),
                card.pages.as_deref().into(),
            ],
        )
        .await?;
    Ok(())
}

/// Lets go of the pages of old answers; their buttons that undo and change stay.
pub(super) async fn forget_pages(
    connection: &mut Connection,
    made_before: DateTime<Utc>,
) -> Result<(), StoreError> {
    connection
        .run(
            "update cards set pages = null where pages is not null and made_ms < $1",
            [ms(made_before).into()],
        )
        .await?;
    Ok(())
}
