//! Groups.

use super::Store;
use super::convert::{each, json, parsed};
use super::engine::Connection;
use super::error::StoreError;
use super::names::fold;
use crate::record::{ChatId, Group, GroupId};
use sqlx::FromRow;

#[derive(FromRow)]
struct GroupRow {
    id: i64,
    name: String,
    settings: String,
    chat_id: Option<i64>,
}

impl TryFrom<GroupRow> for Group {
    type Error = StoreError;

    fn try_from(row: GroupRow) -> Result<Self, StoreError> {
        Ok(Self {
            id: GroupId(row.id),
            name: row.name,
            settings: parsed("group's settings", &row.settings)?,
            chat: row.chat_id.map(ChatId),
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

    /// A group by its name, however it is written; the oldest where two share it.
    pub fn group_by_name(&self, name: &str) -> Option<Group> {
        self.settings.group_by_name(name)
    }
}

pub(super) async fn keep(connection: &mut Connection, group: &Group) -> Result<(), StoreError> {
    connection
        .run(
            "insert into groups (id, name, folded_name, settings, chat_id) values ($1, $2, $3, $4, $5)
             on conflict (id) do update set
                 name = excluded.name, folded_name = excluded.folded_name, settings = excluded.settings,
                 chat_id = excluded.chat_id",
            [
                group.id.0.into(),
                group.name.as_str().into(),
                fold(&group.name).into(),
                json(&group.settings)?.into(),
                group.chat.map(|chat| chat.0).into(),
            ],
        )
        .await?;
    Ok(())
}

pub(super) async fn all(connection: &mut Connection) -> Result<Vec<Group>, StoreError> {
    let rows: Vec<GroupRow> =
        connection.all("select id, name, settings, chat_id from groups order by id", []).await?;
    each(rows)
}
