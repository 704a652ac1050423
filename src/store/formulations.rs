//! Recipes that members keep.

use super::Store;
use super::convert::{each, instant, json, ms, parsed};
use super::engine::{Connection, Value};
use super::error::StoreError;
use super::names::{Found, fold};
use crate::record::{Formulation, GroupId, MemberId};
use sqlx::FromRow;

#[derive(FromRow)]
struct FormulationRow {
    owner_id: i64,
    name: String,
    group_id: i64,
    content: String,
    saved_ms: i64,
    shared_ms: Option<i64>,
}

impl TryFrom<FormulationRow> for Formulation {
    type Error = StoreError;

    fn try_from(row: FormulationRow) -> Result<Self, StoreError> {
        Ok(Self {
            owner: MemberId(row.owner_id),
            name: row.name,
            group: GroupId(row.group_id),
            recipe: parsed("recipe", &row.content)?,
            saved_at: instant(row.saved_ms)?,
            shared_at: row.shared_ms.map(instant).transpose()?,
        })
    }
}

impl Store {
    /// A member's recipes, the one saved last first.
    pub async fn formulations_of(&self, owner: MemberId) -> Result<Vec<Formulation>, StoreError> {
        self.formulations(
            "select owner_id, name, group_id, content, saved_ms, shared_ms from formulations
             where owner_id = $1 order by saved_ms desc, folded_name",
            [owner.0.into()],
        )
        .await
    }

    /// The recipes that a group's members share with it, the latest first.
    pub async fn formulations_shared(&self, group: GroupId) -> Result<Vec<Formulation>, StoreError> {
        self.formulations(
            "select owner_id, name, group_id, content, saved_ms, shared_ms from formulations
             where group_id = $1 and shared_ms is not null order by shared_ms desc, folded_name, owner_id",
            [group.0.into()],
        )
        .await
    }

    /// The recipe of a name, or the only one whose name begins so: among the member's own, else among those shared.
    pub async fn formulation_by_name(
        &self,
        member: MemberId,
        group: GroupId,
        name: &str,
    ) -> Result<Found<Formulation>, StoreError> {
        let folded = fold(name);
        let begins = |kept: &Formulation| !folded.is_empty() && fold(&kept.name).starts_with(&folded);
        let mut found = self.formulations_of(member).await?;
        found.retain(begins);
        if found.is_empty() {
            found = self.formulations_shared(group).await?;
            found.retain(begins);
        }
        Ok(Found::among(found, name, |kept| &kept.name))
    }

    async fn formulations(
        &self,
        statement: &'static str,
        values: impl IntoIterator<Item = Value>,
    ) -> Result<Vec<Formulation>, StoreError> {
        let rows: Vec<FormulationRow> = self.readers.all(statement, values).await?;
        each(rows)
    }
}

/// Takes a member's number out of the recipes that others copied from theirs: a copy then is of one without a name.
pub(super) async fn forget_owner(connection: &mut Connection, member: MemberId) -> Result<(), StoreError> {
    let copies: Vec<FormulationRow> = connection
        .all(
            "select owner_id, name, group_id, content, saved_ms, shared_ms from formulations
             where owner_id <> $1 and content like '%\"after\":%'",
            [member.0.into()],
        )
        .await?;
    let copies: Vec<Formulation> = each(copies)?;
    for mut copy in copies {
        if let Some(from) = copy.recipe.after.as_mut().filter(|from| from.owner == Some(member)) {
            from.owner = None;
            keep(connection, &copy).await?;
        }
    }
    Ok(())
}

/// Keeps a recipe, in the place of its owner's of the same name.
pub(super) async fn keep(connection: &mut Connection, kept: &Formulation) -> Result<(), StoreError> {
    connection
        .run(
            "insert into formulations (owner_id, folded_name, name, group_id, content, saved_ms, shared_ms)
             values ($1, $2, $3, $4, $5, $6, $7)
             on conflict (owner_id, folded_name) do update set name = excluded.name,
                 group_id = excluded.group_id, content = excluded.content, saved_ms = excluded.saved_ms,
                 shared_ms = excluded.shared_ms",
            [
                kept.owner.0.into(),
                fold(&kept.name).into(),
                kept.name.as_str().into(),
                kept.group.0.into(),
                json(&kept.recipe)?.into(),
                ms(kept.saved_at).into(),
                kept.shared_at.map(ms).into(),
            ],
        )
        .await?;
    Ok(())
}
