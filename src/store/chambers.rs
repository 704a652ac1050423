//! Chambers.

use super::Store;
use super::convert::each;
use super::engine::Connection;
use super::error::StoreError;
use super::names::{Found, fold};
use crate::record::{Chamber, ChamberId, MemberId};
use sqlx::FromRow;

#[derive(FromRow)]
struct ChamberRow {
    id: i64,
    owner_id: i64,
    name: String,
}

impl TryFrom<ChamberRow> for Chamber {
    type Error = StoreError;

    fn try_from(row: ChamberRow) -> Result<Self, StoreError> {
        Ok(Self { id: ChamberId(row.id), owner: MemberId(row.owner_id), name: row.name })
    }
}

impl Store {
    /// A chamber by its number.
    pub async fn chamber(&self, id: ChamberId) -> Result<Option<Chamber>, StoreError> {
        let row: Option<ChamberRow> =
            self.readers.one("select id, owner_id, name from chambers where id = $1", [id.0.into()]).await?;
        row.map(Chamber::try_from).transpose()
    }

    /// A member's chambers, oldest first.
    pub async fn chambers_of(&self, owner: MemberId) -> Result<Vec<Chamber>, StoreError> {
        let rows: Vec<ChamberRow> = self
            .readers
            .all("select id, owner_id, name from chambers where owner_id = $1 order by id", [owner.0.into()])
            .await?;
        each(rows)
    }

    /// A member's chamber by its name or how it begins.
    pub async fn chamber_by_name(&self, owner: MemberId, name: &str) -> Result<Found<Chamber>, StoreError> {
        let folded = fold(name);
        let mut chambers = self.chambers_of(owner).await?;
        chambers.retain(|chamber| !folded.is_empty() && fold(&chamber.name).starts_with(&folded));
        Ok(Found::among(chambers, name, |chamber| &chamber.name))
    }
}

pub(super) async fn keep(connection: &mut Connection, chamber: &Chamber) -> Result<(), StoreError> {
    let kept = connection
        .run(
            "insert into chambers (id, owner_id, name, folded_name) values ($1, $2, $3, $4)
             on conflict (id) do update set name = excluded.name, folded_name = excluded.folded_name",
            [
                chamber.id.0.into(),
                chamber.owner.0.into(),
                chamber.name.as_str().into(),
                fold(&chamber.name).into(),
            ],
        )
        .await;
    match kept {
        Err(sqlx::Error::Database(error)) if error.is_unique_violation() => {
            Err(StoreError::NameTaken { what: "chamber", name: chamber.name.clone() })
        }
        other => other.map(|_| ()).map_err(StoreError::from),
    }
}
