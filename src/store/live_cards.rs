//! Cards at the top of batches' threads: what they show, and which are out of date.

use super::Store;
use super::convert::{count, each, instant, ms};
use super::engine::Connection;
use super::error::StoreError;
use crate::record::{BatchId, CardId, ChamberId, ChatId, LiveCard};
use chrono::{DateTime, Utc};
use sqlx::FromRow;

#[derive(FromRow)]
struct LiveCardRow {
    batch_id: i64,
    place_id: i64,
    message_id: Option<i64>,
    card_id: Option<i64>,
    shown: String,
    changes: i64,
    shown_changes: i64,
    not_before_ms: i64,
    ages_ms: Option<i64>,
    failures: i64,
    posts: i64,
    tagged: Option<String>,
}

impl TryFrom<LiveCardRow> for LiveCard {
    type Error = StoreError;

    fn try_from(row: LiveCardRow) -> Result<Self, StoreError> {
        Ok(Self {
            batch: BatchId(row.batch_id),
            place: ChatId(row.place_id),
            message: row.message_id.map(ChatId),
            card: row.card_id.map(CardId),
            shown: row.shown,
            changes: row.changes,
            shown_changes: row.shown_changes,
            not_before: instant(row.not_before_ms)?,
            ages: row.ages_ms.map(instant).transpose()?,
            failures: count("card's failures", row.failures)?,
            posts: count("card's posts", row.posts)?,
            tagged: row.tagged,
        })
    }
}

impl Store {
    /// What is remembered of a batch's card.
    pub async fn live_card(&self, batch: BatchId) -> Result<Option<LiveCard>, StoreError> {
        let row: Option<LiveCardRow> = self
            .readers
            .one(
                "select batch_id, place_id, message_id, card_id, shown, changes, shown_changes, not_before_ms, ages_ms,
                     failures, posts, tagged
                 from live_cards where batch_id = $1",
                [batch.0.into()],
            )
            .await?;
        row.map(LiveCard::try_from).transpose()
    }

    /// The cards that are out of date and may be edited now, in places that can be posted to; longest waiting first.
    pub async fn live_cards_due(&self, now: DateTime<Utc>, limit: u32) -> Result<Vec<LiveCard>, StoreError> {
        // The conditions of the two indexes are repeated word for word, so that they serve.
        let rows: Vec<LiveCardRow> = self
            .readers
            .all(
                "select batch_id, place_id, message_id, card_id, shown, changes, shown_changes, not_before_ms, ages_ms,
                     failures, posts, tagged
                 from live_cards
                 where batch_id in (
                         select batch_id from live_cards where changes <> shown_changes and not_before_ms <= $1
                         union
                         select batch_id from live_cards where ages_ms is not null and ages_ms <= $1)
                     and not_before_ms <= $1 and message_id is not null
                     and exists (select 1 from places where id = place_id and is_reachable = 1)
                 order by not_before_ms, batch_id limit $2",
                [ms(now).into(), i64::from(limit).into()],
            )
            .await?;
        each(rows)
    }
}

/// Keeps what is remembered of a card; what counts as a change is counted by [`batch_changed`] and
/// [`chamber_changed`] alone. A new one counts as changed once, since something may have been kept between the look at
/// its batch and now.
pub(super) async fn keep(connection: &mut Connection, live: &LiveCard) -> Result<(), StoreError> {
    connection
        .run(
            "insert into live_cards
                 (batch_id, place_id, message_id, card_id, shown, changes, shown_changes, not_before_ms, ages_ms,
                  failures, posts, tagged)
             values ($1, $2, $3, $4, $5, 1, $6, $7, $8, $9, $10, $11)
             on conflict (batch_id) do update set
                 place_id = excluded.place_id, message_id = excluded.message_id, card_id = excluded.card_id,
                 shown = excluded.shown, shown_changes = excluded.shown_changes,
                 not_before_ms = excluded.not_before_ms, ages_ms = excluded.ages_ms, failures = excluded.failures,
                 posts = excluded.posts, tagged = excluded.tagged",
            [
                live.batch.0.into(),
                live.place.0.into(),
                live.message.map(|message| message.0).into(),
                live.card.map(|card| card.0).into(),
                live.shown.as_str().into(),
                live.shown_changes.into(),
                ms(live.not_before).into(),
                live.ages.map(ms).into(),
                i64::from(live.failures).into(),
                i64::from(live.posts).into(),
                live.tagged.as_deref().into(),
            ],
        )
        .await?;
    Ok(())
}

/// Counts a change of a batch.
pub(super) async fn batch_changed(connection: &mut Connection, batch: BatchId) -> Result<(), StoreError> {
    connection
        .run("update live_cards set changes = changes + 1 where batch_id = $1", [batch.0.into()])
        .await?;
    Ok(())
}

/// Counts a change of a chamber for every open batch that is in it.
pub(super) async fn chamber_changed(
    connection: &mut Connection,
    chamber: ChamberId,
) -> Result<(), StoreError> {
    connection
        .run(
            "update live_cards set changes = changes + 1
             where batch_id in (select id from batches where chamber_id = $1 and is_open = 1)",
            [chamber.0.into()],
        )
        .await?;
    Ok(())
}
