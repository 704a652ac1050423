//! Places of a chat platform that members write in.

use super::Store;
use super::convert::{each, word};
use super::engine::Connection;
use super::error::StoreError;
use crate::record::{BatchId, ChatId, GroupId, MemberId, Place, PlaceKind};
use sqlx::FromRow;

const KINDS: [(PlaceKind, &str); 3] =
    [(PlaceKind::Channel, "channel"), (PlaceKind::Thread, "thread"), (PlaceKind::Direct, "direct")];

fn kind_word(kind: PlaceKind) -> &'static str {
    KINDS.iter().find(|(known, _)| *known == kind).map_or("channel", |(_, word)| word)
}

fn kind(word: &str) -> Option<PlaceKind> {
    KINDS.iter().find(|(_, known)| *known == word).map(|(kind, _)| *kind)
}

#[derive(FromRow)]
struct PlaceRow {
    id: i64,
    group_id: i64,
    kind: String,
    member_id: Option<i64>,
    batch_id: Option<i64>,
    seen: i64,
    is_reachable: i64,
}

impl TryFrom<PlaceRow> for Place {
    type Error = StoreError;

    fn try_from(row: PlaceRow) -> Result<Self, StoreError> {
        Ok(Self {
            id: ChatId(row.id),
            group: GroupId(row.group_id),
            kind: word("kind of place", &row.kind, kind)?,
            member: row.member_id.map(MemberId),
            batch: row.batch_id.map(BatchId),
            seen: ChatId(row.seen),
            reachable: row.is_reachable == 1,
        })
    }
}

impl Store {
    /// A place, if anybody wrote there before.
    pub async fn place(&self, id: ChatId) -> Result<Option<Place>, StoreError> {
        let row: Option<PlaceRow> = self
            .readers
            .one(
                "select id, group_id, kind, member_id, batch_id, seen, is_reachable from places where id = $1",
                [id.0.into()],
            )
            .await?;
        row.map(Place::try_from).transpose()
    }

    /// A batch's own thread.
    pub async fn place_of_batch(&self, batch: BatchId) -> Result<Option<Place>, StoreError> {
        let row: Option<PlaceRow> = self
            .readers
            .one(
                "select id, group_id, kind, member_id, batch_id, seen, is_reachable from places
                 where batch_id = $1",
                [batch.0.into()],
            )
            .await?;
        row.map(Place::try_from).transpose()
    }

    /// A member's direct conversation.
    pub async fn direct_place(&self, member: MemberId) -> Result<Option<Place>, StoreError> {
        let row: Option<PlaceRow> = self
            .readers
            .one(
                "select id, group_id, kind, member_id, batch_id, seen, is_reachable from places
                 where member_id = $1 and kind = 'direct' order by id desc limit 1",
                [member.0.into()],
            )
            .await?;
        row.map(Place::try_from).transpose()
    }

    /// The batch that a message of ours on the chat platform was about.
    pub async fn batch_of_message(&self, message: ChatId) -> Result<Option<BatchId>, StoreError> {
        let row: Option<(i64,)> =
            self.readers.one("select batch_id from posted where message_id = $1", [message.0.into()]).await?;
        Ok(row.map(|(batch,)| BatchId(batch)))
    }

    /// Every channel and thread of a group that anybody wrote in, whether it can be posted to or not.
    pub async fn places_of_group(&self, group: GroupId) -> Result<Vec<Place>, StoreError> {
        let rows: Vec<PlaceRow> = self
            .readers
            .all(
                "select id, group_id, kind, member_id, batch_id, seen, is_reachable from places
                 where group_id = $1 and kind <> 'direct' order by id",
                [group.0.into()],
            )
            .await?;
        each(rows)
    }

    /// Every place that messages can be read in and posted to, oldest first.
    pub async fn reachable_places(&self) -> Result<Vec<Place>, StoreError> {
        let rows: Vec<PlaceRow> = self
            .readers
            .all(
                "select id, group_id, kind, member_id, batch_id, seen, is_reachable from places
                 where is_reachable = 1 order by id",
                [],
            )
            .await?;
        each(rows)
    }
}

/// Keeps a place. What was dealt with there is never taken back.
pub(super) async fn keep(connection: &mut Connection, place: &Place) -> Result<(), StoreError> {
    connection
        .run(
            "insert into places (id, group_id, kind, member_id, batch_id, seen, is_reachable)
             values ($1, $2, $3, $4, $5, $6, $7)
             on conflict (id) do update set
                 group_id = excluded.group_id, kind = excluded.kind, member_id = excluded.member_id,
                 batch_id = excluded.batch_id, seen = max(places.seen, excluded.seen),
                 is_reachable = excluded.is_reachable",
            [
                place.id.0.into(),
                place.group.0.into(),
                kind_word(place.kind).into(),
                place.member.map(|member| member.0).into(),
                place.batch.map(|batch| batch.0).into(),
                place.seen.0.into(),
                place.reachable.into(),
            ],
        )
        .await?;
    Ok(())
}

/// Notes that every message up to one was dealt with.
pub(super) async fn seen(connection: &mut Connection, place: ChatId, upto: ChatId) -> Result<(), StoreError> {
    connection
        .run("update places set seen = $2 where id = $1 and seen < $2", [place.0.into(), upto.0.into()])
        .await?;
    Ok(())
}

/// Notes which batch a message of ours was about.
pub(super) async fn posted(
    connection: &mut Connection,
    message: ChatId,
    batch: BatchId,
) -> Result<(), StoreError> {
    connection
        .run(
            "insert into posted (message_id, batch_id) values ($1, $2) on conflict (message_id) do nothing",
            [message.0.into(), batch.0.into()],
        )
        .await?;
    Ok(())
}
