//! Batches: the state their events add up to, and what lists show of them.

use super::Store;
use super::change::BatchWrite;
use super::convert::{each, instant, json, ms, parsed, word};
use super::engine::{Connection, Value};
use super::error::StoreError;
use super::names::{Found, fold};
use crate::record::{BatchId, BatchKind, BatchStage, BatchState, ChamberId, Event, GroupId, MemberId};
use chrono::{DateTime, Utc};
use sqlx::FromRow;

/// What a list shows of a batch without reading its whole state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BatchSummary {
    /// Number.
    pub id: BatchId,
    /// Name as typed.
    pub name: String,
    /// Whose.
    pub owner: MemberId,
    /// In which group.
    pub group: GroupId,
    /// The chamber it is in.
    pub chamber: ChamberId,
    /// Which kind.
    pub kind: BatchKind,
    /// Where it stands.
    pub stage: BatchStage,
    /// Whether it still goes on.
    pub is_open: bool,
    /// When it was started.
    pub started_at: DateTime<Utc>,
    /// Time of its last entry.
    pub last_at: DateTime<Utc>,
}

#[derive(FromRow)]
struct SummaryRow {
    id: i64,
    name: String,
    owner_id: i64,
    group_id: i64,
    chamber_id: i64,
    kind: String,
    stage: String,
    is_open: i64,
    started_ms: i64,
    last_ms: i64,
}

impl TryFrom<SummaryRow> for BatchSummary {
    type Error = StoreError;

    fn try_from(row: SummaryRow) -> Result<Self, StoreError> {
        Ok(Self {
            id: BatchId(row.id),
            name: row.name,
            owner: MemberId(row.owner_id),
            group: GroupId(row.group_id),
            chamber: ChamberId(row.chamber_id),
            kind: word("kind of batch", &row.kind, BatchKind::parse)?,
            stage: word("stage", &row.stage, BatchStage::parse)?,
            is_open: row.is_open != 0,
            started_at: instant(row.started_ms)?,
            last_at: instant(row.last_ms)?,
        })
    }
}

macro_rules! summaries {
    ($rest:literal) => {
        concat!(
            "select id, name, owner_id, group_id, chamber_id, kind, stage, is_open, started_ms, last_ms from batches ",
            $rest
        )
    };
}

impl Store {
    /// A batch's state and its version, to be handed back in the [`BatchWrite`] that follows from it.
    pub async fn batch(&self, id: BatchId) -> Result<Option<(BatchState, i64)>, StoreError> {
        let row: Option<(String, i64)> =
            self.readers.one("select state, version from batches where id = $1", [id.0.into()]).await?;
        row.map(|(state, version)| Ok((parsed("batch", &state)?, version))).transpose()
    }

    /// A batch's state and version with every entry of its, for whoever has to fold again from the start.
    ///
    /// The version is read before the entries: should one be added in between, the version is the old one and the
    /// write that follows is refused, instead of forgetting that entry.
    pub async fn batch_with_events(
        &self,
        id: BatchId,
    ) -> Result<Option<(BatchState, i64, Vec<Event>)>, StoreError> {
        let Some((state, version)) = self.batch(id).await? else {
            return Ok(None);
        };
        Ok(Some((state, version, self.events_of_batch(id).await?)))
    }

    /// What a list shows of one batch.
    pub async fn batch_summary(&self, id: BatchId) -> Result<Option<BatchSummary>, StoreError> {
        let row: Option<SummaryRow> = self.readers.one(summaries!("where id = $1"), [id.0.into()]).await?;
        row.map(BatchSummary::try_from).transpose()
    }

    /// Every batch of a member's, the one with the latest entry first.
    pub async fn batches_of(&self, owner: MemberId) -> Result<Vec<BatchSummary>, StoreError> {
        self.summaries(summaries!("where owner_id = $1 order by last_ms desc, id desc"), [owner.0.into()])
            .await
    }

    /// A member's batches that still go on, the one with the latest entry first.
    pub async fn open_batches(&self, owner: MemberId) -> Result<Vec<BatchSummary>, StoreError> {
        self.summaries(
            summaries!("where owner_id = $1 and is_open = 1 order by last_ms desc, id desc"),
            [owner.0.into()],
        )
        .await
    }

    /// The batches of all members that still go on in a chamber: what is read there counts for them.
    pub async fn open_batches_in(&self, chamber: ChamberId) -> Result<Vec<BatchSummary>, StoreError> {
        self.summaries(summaries!("where chamber_id = $1 and is_open = 1 order by id"), [chamber.0.into()])
            .await
    }

    /// A batch by its name or how it begins: among the member's own first, then among those they help with and those
    /// on the group's board.
    pub async fn batch_by_name(
        &self,
        owner: MemberId,
        group: GroupId,
        text: &str,
    ) -> Result<Found<BatchSummary>, StoreError> {
        let folded = fold(text);
        if folded.is_empty() {
            return Ok(Found::Nothing);
        }
        let own = self
            .summaries(
                summaries!(
                    "where owner_id = $1 and substr(folded_name, 1, length($2)) = $2
                 order by last_ms desc, id desc"
                ),
                [owner.0.into(), folded.as_str().into()],
            )
            .await?;
        if !own.is_empty() {
            return Ok(Found::among(own, text, |batch| &batch.name));
        }
        let others = self
            .summaries(
                summaries!(
                    "where substr(folded_name, 1, length($2)) = $2
                     and (id in (select batch_id from shares where group_id = $1)
                         or id in (select batch_id from helpers where member_id = $3 and accepted_ms is not null))
                 order by last_ms desc, id desc"
                ),
                [group.0.into(), folded.as_str().into(), owner.0.into()],
            )
            .await?;
        Ok(Found::among(others, text, |batch| &batch.name))
    }

    async fn summaries(
        &self,
        statement: &'static str,
        values: impl IntoIterator<Item = Value>,
    ) -> Result<Vec<BatchSummary>, StoreError> {
        let rows: Vec<SummaryRow> = self.readers.all(statement, values).await?;
        each(rows)
    }
}

/// Keeps a batch's new state, if nobody was faster.
pub(super) async fn keep(connection: &mut Connection, write: &BatchWrite) -> Result<(), StoreError> {
    let statement = if write.computed_from == 0 {
        "insert into batches (id, owner_id, group_id, chamber_id, name, folded_name, kind, stage, is_open,
             started_ms, last_ms, state, version)
         values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13 + 1)
         on conflict (id) do nothing"
    } else {
        "update batches set owner_id = $2, group_id = $3, chamber_id = $4, name = $5, folded_name = $6,
             kind = $7, stage = $8, is_open = $9, started_ms = $10, last_ms = $11, state = $12, version = $13 + 1
         where id = $1 and version = $13"
    };
    let state = &write.state;
    let (standing, _) = state.stage();
    let started_at = state.stages.first().map_or(state.last_at, |(_, at)| *at);
    let kept = connection
        .run(
            statement,
            [
                state.id.0.into(),
                state.plan.owner.0.into(),
                state.plan.group.0.into(),
                state.chamber().0.into(),
                state.plan.name.as_str().into(),
                fold(&state.plan.name).into(),
                state.plan.kind.word().into(),
                standing.word().into(),
                (!standing.is_over()).into(),
                ms(started_at).into(),
                ms(state.last_at).into(),
                json(state)?.into(),
                write.computed_from.into(),
            ],
        )
        .await;
    match kept {
        Ok(0) => Err(StoreError::Conflict { batch: state.id }),
        Ok(_) => Ok(()),
        Err(sqlx::Error::Database(error)) if error.is_unique_violation() => {
            Err(StoreError::NameTaken { what: "batch", name: state.plan.name.clone() })
        }
        Err(error) => Err(error.into()),
    }
}
