//! Members' pH meters.

use super::Store;
use super::convert::each;
use super::engine::Connection;
use super::error::StoreError;
use super::names::{Found, fold};
use crate::record::{MemberId, Meter, MeterId};
use sqlx::FromRow;

#[derive(FromRow)]
struct MeterRow {
    id: i64,
    owner_id: i64,
    name: String,
}

impl TryFrom<MeterRow> for Meter {
    type Error = StoreError;

    fn try_from(row: MeterRow) -> Result<Self, StoreError> {
        Ok(Self { id: MeterId(row.id), owner: MemberId(row.owner_id), name: row.name })
    }
}

impl Store {
    /// A meter by its number.
    pub async fn meter(&self, id: MeterId) -> Result<Option<Meter>, StoreError> {
        let row: Option<MeterRow> =
            self.readers.one("select id, owner_id, name from meters where id = $1", [id.0.into()]).await?;
        row.map(Meter::try_from).transpose()
    }

    /// A member's meters, oldest first.
    pub async fn meters_of(&self, owner: MemberId) -> Result<Vec<Meter>, StoreError> {
        let rows: Vec<MeterRow> = self
            .readers
            .all("select id, owner_id, name from meters where owner_id = $1 order by id", [owner.0.into()])
            .await?;
        each(rows)
    }

    /// A member's meter by its name or how it begins.
    pub async fn meter_by_name(&self, owner: MemberId, name: &str) -> Result<Found<Meter>, StoreError> {
        let folded = fold(name);
        let mut meters = self.meters_of(owner).await?;
        meters.retain(|meter| !folded.is_empty() && fold(&meter.name).starts_with(&folded));
        Ok(Found::among(meters, name, |meter| &meter.name))
    }
}

pub(super) async fn keep(connection: &mut Connection, meter: &Meter) -> Result<(), StoreError> {
    let kept = connection
        .run(
            "insert into meters (id, owner_id, name, folded_name) values ($1, $2, $3, $4)
             on conflict (id) do update set name = excluded.name, folded_name = excluded.folded_name",
            [meter.id.0.into(), meter.owner.0.into(), meter.name.as_str().into(), fold(&meter.name).into()],
        )
        .await;
    match kept {
        Err(sqlx::Error::Database(error)) if error.is_unique_violation() => {
            Err(StoreError::NameTaken { what: "meter", name: meter.name.clone() })
        }
        other => other.map(|_| ()).map_err(StoreError::from),
    }
}
