//! Members who help with somebody else's batch.

use super::Store;
use super::batches::BatchSummary;
use super::convert::{each, instant, ms};
use super::engine::Connection;
use super::error::StoreError;
use crate::record::{BatchId, ChamberId, Helper, MemberId};
use sqlx::FromRow;

#[derive(FromRow)]
struct HelperRow {
    batch_id: i64,
    member_id: i64,
    invited_ms: i64,
    accepted_ms: Option<i64>,
}

impl TryFrom<HelperRow> for Helper {
    type Error = StoreError;

    fn try_from(row: HelperRow) -> Result<Self, StoreError> {
        Ok(Self {
            batch: BatchId(row.batch_id),
            member: MemberId(row.member_id),
            invited_at: instant(row.invited_ms)?,
            accepted_at: row.accepted_ms.map(instant).transpose()?,
        })
    }
}

impl Store {
    /// Who helps with a batch or was asked to, in the order in which they were asked.
    pub async fn helpers_of(&self, batch: BatchId) -> Result<Vec<Helper>, StoreError> {
        let rows: Vec<HelperRow> = self
            .readers
            .all(
                "select batch_id, member_id, invited_ms, accepted_ms from helpers
                 where batch_id = $1 order by invited_ms, member_id",
                [batch.0.into()],
            )
            .await?;
        each(rows)
    }

    /// The batches a member helps with or was asked to help with, the latest first.
    pub async fn helping(&self, member: MemberId) -> Result<Vec<Helper>, StoreError> {
        let rows: Vec<HelperRow> = self
            .readers
            .all(
                "select batch_id, member_id, invited_ms, accepted_ms from helpers
                 where member_id = $1 order by invited_ms desc, batch_id desc",
                [member.0.into()],
            )
            .await?;
        each(rows)
    }

    /// The batches a member helps with, the one with the latest entry first.
    pub async fn batches_helped(&self, member: MemberId) -> Result<Vec<BatchSummary>, StoreError> {
        let mut batches = Vec::new();
        for helper in self.helping(member).await? {
            if helper.accepted_at.is_some() {
                batches.extend(self.batch_summary(helper.batch).await?);
            }
        }
        batches.sort_by_key(|batch| std::cmp::Reverse((batch.last_at, batch.id)));
        Ok(batches)
    }

    /// Who helps with a batch that is in a chamber.
    pub async fn helpers_in_chamber(&self, chamber: ChamberId) -> Result<Vec<MemberId>, StoreError> {
        let rows: Vec<(i64,)> = self
            .readers
            .all(
                "select distinct h.member_id from helpers h join batches b on b.id = h.batch_id
                 where b.chamber_id = $1 and h.accepted_ms is not null order by h.member_id",
                [chamber.0.into()],
            )
            .await?;
        Ok(rows.into_iter().map(|(member,)| MemberId(member)).collect())
    }
}

/// Keeps who was asked, or that they said yes.
pub(super) async fn keep(connection: &mut Connection, helper: &Helper) -> Result<(), StoreError> {
    connection
        .run(
            "insert into helpers (batch_id, member_id, invited_ms, accepted_ms) values ($1, $2, $3, $4)
             on conflict (batch_id, member_id) do update set accepted_ms = excluded.accepted_ms",
            [
                helper.batch.0.into(),
                helper.member.0.into(),
                ms(helper.invited_at).into(),
                helper.accepted_at.map(ms).into(),
            ],
        )
        .await?;
    Ok(())
}

/// Somebody helps no longer, or was asked no longer.
pub(super) async fn remove(
    connection: &mut Connection,
    batch: BatchId,
    member: MemberId,
) -> Result<(), StoreError> {
    connection
        .run("delete from helpers where batch_id = $1 and member_id = $2", [batch.0.into(), member.0.into()])
        .await?;
    Ok(())
}
