//! Finished batches on a group's board.

use super::Store;
use super::change::ShareWrite;
use super::convert::{each, instant, ms, parsed};
use super::engine::{Connection, Value};
use super::error::StoreError;
use crate::record::{BatchId, BatchState, GroupId, MemberId};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use sqlx::FromRow;

/// A finished batch that its owner shows to the group.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Share {
    /// Which batch.
    pub batch: BatchId,
    /// In which group.
    pub group: GroupId,
    /// By whom.
    pub member: MemberId,
    /// Since when.
    pub shared_at: DateTime<Utc>,
    /// The record as it was when it was shared.
    pub record: String,
}

#[derive(FromRow)]
struct ShareRow {
    batch_id: i64,
    group_id: i64,
    member_id: i64,
    shared_ms: i64,
    record: String,
}

impl TryFrom<ShareRow> for Share {
    type Error = StoreError;

    fn try_from(row: ShareRow) -> Result<Self, StoreError> {
        Ok(Self {
            batch: BatchId(row.batch_id),
            group: GroupId(row.group_id),
            member: MemberId(row.member_id),
            shared_at: instant(row.shared_ms)?,
            record: row.record,
        })
    }
}

impl Store {
    /// A group's board, the latest first.
    pub async fn shares_of_group(&self, group: GroupId) -> Result<Vec<Share>, StoreError> {
        self.shares(
            "select batch_id, group_id, member_id, shared_ms, record from shares
             where group_id = $1 order by shared_ms desc, batch_id desc",
            [group.0.into()],
        )
        .await
    }

    /// What a member shows, the latest first.
    pub async fn shares_of_member(&self, member: MemberId) -> Result<Vec<Share>, StoreError> {
        self.shares(
            "select batch_id, group_id, member_id, shared_ms, record from shares
             where member_id = $1 order by shared_ms desc, batch_id desc",
            [member.0.into()],
        )
        .await
    }

    /// Whether and how a batch is shown.
    pub async fn share_of(&self, batch: BatchId) -> Result<Option<Share>, StoreError> {
        let shares = self
            .shares(
                "select batch_id, group_id, member_id, shared_ms, record from shares where batch_id = $1",
                [batch.0.into()],
            )
            .await?;
        Ok(shares.into_iter().next())
    }

    /// A number that grows whenever [`Self::shared_states`] or [`Self::states_over_of`] may answer otherwise than before.
    /// It is read before them.
    pub fn revision_of_what_is_over(&self) -> u64 {
        self.settings.over()
    }

    /// The batches on a group's board that are over, by number, each with the version of its state.
    pub async fn shared_versions(&self, group: GroupId) -> Result<Vec<(BatchId, i64)>, StoreError> {
        self.versions_over(
            "select b.id, b.version from shares s join batches b on b.id = s.batch_id
             where s.group_id = $1 and b.is_open = 0 order by b.id",
            group.0,
        )
        .await
    }

    /// As [`Self::shared_versions`], with the states.
    pub async fn shared_states(&self, group: GroupId) -> Result<Vec<(BatchState, i64)>, StoreError> {
        self.states_over(
            "select b.state, b.version from shares s join batches b on b.id = s.batch_id
             where s.group_id = $1 and b.is_open = 0 order by b.id",
            group.0,
        )
        .await
    }

    /// A member's batches that are over, shown or not, by number, each with the version of its state.
    pub async fn versions_over_of(&self, owner: MemberId) -> Result<Vec<(BatchId, i64)>, StoreError> {
        let statement = "select id, version from batches where owner_id = $1 and is_open = 0 order by id";
        self.versions_over(statement, owner.0).await
    }

    /// As [`Self::versions_over_of`], with the states.
    pub async fn states_over_of(&self, owner: MemberId) -> Result<Vec<(BatchState, i64)>, StoreError> {
        let statement = "select state, version from batches where owner_id = $1 and is_open = 0 order by id";
        self.states_over(statement, owner.0).await
    }

    async fn versions_over(
        &self,
        statement: &'static str,
        of: i64,
    ) -> Result<Vec<(BatchId, i64)>, StoreError> {
        let rows: Vec<(i64, i64)> = self.readers.all(statement, [of.into()]).await?;
        Ok(rows.into_iter().map(|(id, version)| (BatchId(id), version)).collect())
    }

    async fn states_over(
        &self,
        statement: &'static str,
        of: i64,
    ) -> Result<Vec<(BatchState, i64)>, StoreError> {
        let rows: Vec<(String, i64)> = self.readers.all(statement, [of.into()]).await?;
        rows.iter().map(|(state, version)| Ok((parsed("batch", state)?, *version))).collect()
    }

    async fn shares(
        &self,
        statement: &'static str,
        values: impl IntoIterator<Item = Value>,
    ) -> Result<Vec<Share>, StoreError> {
        let rows: Vec<ShareRow> = self.readers.all(statement, values).await?;
        each(rows)
    }
}

/// Puts a batch on the board, or takes it off.
pub(super) async fn keep(connection: &mut Connection, share: &ShareWrite) -> Result<(), StoreError> {
    let Some(shared_at) = share.shared_at else {
        connection.run("delete from shares where batch_id = $1", [share.batch.0.into()]).await?;
        return Ok(());
    };
    connection
        .run(
            "insert into shares (batch_id, group_id, member_id, shared_ms, record) values ($1, $2, $3, $4, $5)
             on conflict (batch_id) do update set group_id = excluded.group_id, member_id = excluded.member_id,
                 shared_ms = excluded.shared_ms, record = excluded.record",
            [
                share.batch.0.into(),
                share.group.0.into(),
                share.member.0.into(),
                ms(shared_at).into(),
                share.record.as_str().into(),
            ],
        )
        .await?;
    Ok(())
}
