//! Members and what they are in their groups.

use super::Store;
use super::convert::{each, json, parsed, word};
use super::engine::Connection;
use super::error::StoreError;
use super::names::fold;
use crate::record::{ChatId, GroupId, Member, MemberId, Role};
use sqlx::FromRow;

#[derive(FromRow)]
struct MemberRow {
    id: i64,
    group_id: i64,
    name: String,
    role: String,
    settings: String,
    chat_id: Option<i64>,
}

impl TryFrom<MemberRow> for Member {
    type Error = StoreError;

    fn try_from(row: MemberRow) -> Result<Self, StoreError> {
        Ok(Self {
            id: MemberId(row.id),
            group: GroupId(row.group_id),
            name: row.name,
            role: word("role", &row.role, role)?,
            settings: parsed("member's settings", &row.settings)?,
            chat: row.chat_id.map(ChatId),
        })
    }
}

const fn role_word(role: Role) -> &'static str {
    match role {
        Role::Steward => "steward",
        Role::Member => "member",
    }
}

fn role(word: &str) -> Option<Role> {
    [Role::Steward, Role::Member].into_iter().find(|role| role_word(*role) == word)
}

impl Store {
    /// A member as seen in a group.
    pub fn member(&self, id: MemberId, group: GroupId) -> Option<Member> {
        self.settings.member(id, group)
    }

    /// A member of a group by name, however it is written; the first to join where two share it.
    pub fn member_by_name(&self, group: GroupId, name: &str) -> Option<Member> {
        let folded = fold(name);
        self.members_of_group(group).into_iter().find(|member| fold(&member.name) == folded)
    }

    /// A member by their number on the chat platform, in the first of their groups.
    pub fn member_by_chat(&self, chat: ChatId) -> Option<Member> {
        self.settings.member_by_chat(chat)
    }

    /// Whether nobody is in the record, so that nothing is.
    pub async fn is_empty(&self) -> Result<bool, StoreError> {
        let row: Option<(i64,)> = self.readers.one("select count(*) from members", []).await?;
        Ok(row.is_none_or(|(members,)| members == 0))
    }

    /// Everybody in a group, in the order they joined.
    pub fn members_of_group(&self, group: GroupId) -> Vec<Member> {
        self.settings.members_of_group(group)
    }

    /// The same member in each of their groups.
    pub fn memberships_of(&self, id: MemberId) -> Vec<Member> {
        self.settings.memberships(id)
    }
}

pub(super) async fn keep(connection: &mut Connection, member: &Member) -> Result<(), StoreError> {
    connection
        .run(
            "insert into members (id, settings, chat_id) values ($1, $2, $3)
             on conflict (id) do update set settings = excluded.settings, chat_id = excluded.chat_id",
            [member.id.0.into(), json(&member.settings)?.into(), member.chat.map(|chat| chat.0).into()],
        )
        .await?;
    connection
        .run(
            "insert into memberships (member_id, group_id, name, folded_name, role) values ($1, $2, $3, $4, $5)
             on conflict (member_id, group_id) do update set
                 name = excluded.name, folded_name = excluded.folded_name, role = excluded.role",
            [
                member.id.0.into(),
                member.group.0.into(),
                member.name.as_str().into(),
                fold(&member.name).into(),
                role_word(member.role).into(),
            ],
        )
        .await?;
    Ok(())
}

pub(super) async fn all(connection: &mut Connection) -> Result<Vec<Member>, StoreError> {
    let rows: Vec<MemberRow> = connection
        .all(
            "select m.id, s.group_id, s.name, s.role, m.settings, m.chat_id
             from members m join memberships s on s.member_id = m.id",
            [],
        )
        .await?;
    each(rows)
}
