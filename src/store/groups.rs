//! Groups.

use super::Store;
use super::convert::{each, instant, json, ms, parsed};
use super::engine::Connection;
use super::error::StoreError;
use super::names::fold;
use super::numbers::Numbers;
use crate::record::{ChatId, Group, GroupId};
use sqlx::FromRow;

#[derive(FromRow)]
struct GroupRow {
    id: i64,
    name: String,
    settings: String,
    chat_id: Option<i64>,
    left_ms: Option<i64>,
}

impl TryFrom<GroupRow> for Group {
    type Error = StoreError;

    fn try_from(row: GroupRow) -> Result<Self, StoreError> {
        Ok(Self {
            id: GroupId(row.id),
            name: row.name,
            settings: parsed("group's settings", &row.settings)?,
            chat: row.chat_id.map(ChatId),
            left: row.left_ms.map(instant).transpose()?,
        })
    }
}

impl Store {
    /// A group by its number, as it is now.
    pub fn group(&self, id: GroupId) -> Option<Group> {
        self.settings.group(id)
    }

    /// A group by its number on the chat platform.
    pub fn group_by_chat(&self, chat: ChatId) -> Option<Group> {
        self.settings.group_by_chat(chat)
    }

    /// Every group there is.
    pub fn groups(&self) -> Vec<Group> {
        self.settings.groups()
    }

    /// A group by its name, however it is written; the oldest where two share it.
    pub fn group_by_name(&self, name: &str) -> Option<Group> {
        self.settings.group_by_name(name)
    }
}

pub(super) async fn keep(connection: &mut Connection, group: &Group) -> Result<(), StoreError> {
    connection
        .run(
            "insert into groups (id, name, folded_name, settings, chat_id, left_ms)
             values ($1, $2, $3, $4, $5, $6)
             on conflict (id) do update set
                 name = excluded.name, folded_name = excluded.folded_name, settings = excluded.settings,
                 chat_id = excluded.chat_id, left_ms = excluded.left_ms",
            [
                group.id.0.into(),
                group.name.as_str().into(),
                fold(&group.name).into(),
                json(&group.settings)?.into(),
                group.chat.map(|chat| chat.0).into(),
                group.left.map(ms).into(),
            ],
        )
        .await?;
    Ok(())
}

pub(super) async fn all(connection: &mut Connection) -> Result<Vec<Group>, StoreError> {
    let rows: Vec<GroupRow> = connection
        .all("select id, name, settings, chat_id, left_ms from groups where name <> '' order by id", [])
        .await?;
    each(rows)
}

/// Lets go of what is a group's: its settings, its board, who was in it and where they wrote. What members wrote is
/// theirs and stays; the number stays too, as long as a batch or a recipe refers to it.
pub(super) async fn purge(connection: &mut Connection, group: GroupId) -> Result<(), StoreError> {
    for statement in [
        "delete from shares where group_id = $1",
        "update formulations set shared_ms = null where group_id = $1",
        "delete from helpers where batch_id in (select id from batches where group_id = $1)",
        "delete from memberships where group_id = $1",
        "delete from places where group_id = $1 and kind <> 'direct'",
        "update places set group_id = (select min(m.group_id) from memberships m where m.member_id = places.member_id)
         where group_id = $1
             and exists (select 1 from memberships m where m.member_id = places.member_id)",
        "update groups set name = '', folded_name = '', settings = '{}', chat_id = null where id = $1",
    ] {
        connection.run(statement, [group.0.into()]).await?;
    }
    Numbers::remember(connection).await?;
    connection
        .run(
            "delete from groups where id = $1
                 and not exists (select 1 from batches where group_id = $1)
                 and not exists (select 1 from formulations where group_id = $1)
                 and not exists (select 1 from places where group_id = $1)",
            [group.0.into()],
        )
        .await?;
    Ok(())
}
