//! The two database engines behind one small face: a statement, its values, rows back.
//!
//! Every statement is written once, as a `&'static str` with `$1`, `$2`, …, which both engines read. `SQLite` is the
//! only variant so far; `PostgreSQL` becomes a second one here and in `open`, and nowhere else.

use super::error::StoreError;
use sqlx::sqlite::{SqliteArguments, SqliteConnection, SqliteRow};
use sqlx::{Arguments, FromRow, SqlitePool};

/// A value bound to a statement. Typed also when it is null: `PostgreSQL` wants to know.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Value {
    /// A number.
    Int(Option<i64>),
    /// A number with decimals.
    Real(Option<f64>),
    /// A text.
    Text(Option<String>),
}

impl From<i64> for Value {
    fn from(number: i64) -> Self {
        Self::Int(Some(number))
    }
}

impl From<Option<i64>> for Value {
    fn from(number: Option<i64>) -> Self {
        Self::Int(number)
    }
}

impl From<Option<f64>> for Value {
    fn from(number: Option<f64>) -> Self {
        Self::Real(number)
    }
}

impl From<bool> for Value {
    fn from(flag: bool) -> Self {
        Self::Int(Some(i64::from(flag)))
    }
}

impl From<&str> for Value {
    fn from(text: &str) -> Self {
        Self::Text(Some(text.to_owned()))
    }
}

impl From<String> for Value {
    fn from(text: String) -> Self {
        Self::Text(Some(text))
    }
}

impl From<Option<&str>> for Value {
    fn from(text: Option<&str>) -> Self {
        Self::Text(text.map(str::to_owned))
    }
}

/// A row that every engine can hand out.
pub(super) trait Row: for<'r> FromRow<'r, SqliteRow> + Send + Unpin {}
impl<T> Row for T where T: for<'r> FromRow<'r, SqliteRow> + Send + Unpin {}

/// The connections that only read.
#[derive(Debug, Clone)]
pub(super) enum Readers {
    Sqlite(SqlitePool),
}

impl Readers {
    /// Every row.
    pub(super) async fn all<T: Row>(
        &self,
        statement: &'static str,
        values: impl IntoIterator<Item = Value>,
    ) -> Result<Vec<T>, StoreError> {
        let Self::Sqlite(pool) = self;
        let arguments = bound(values).map_err(|error| StoreError::reading(&error))?;
        sqlx::query_as_with(statement, arguments)
            .fetch_all(pool)
            .await
            .map_err(|error| StoreError::reading(&error))
    }

    /// The first row, if there is one.
    pub(super) async fn one<T: Row>(
        &self,
        statement: &'static str,
        values: impl IntoIterator<Item = Value>,
    ) -> Result<Option<T>, StoreError> {
        let Self::Sqlite(pool) = self;
        let arguments = bound(values).map_err(|error| StoreError::reading(&error))?;
        sqlx::query_as_with(statement, arguments)
            .fetch_optional(pool)
            .await
            .map_err(|error| StoreError::reading(&error))
    }

    pub(super) async fn close(&self) {
        let Self::Sqlite(pool) = self;
        pool.close().await;
    }
}

/// The one connection that writes.
#[derive(Debug)]
pub(super) enum Connection {
    Sqlite(SqliteConnection),
}

impl Connection {
    /// Carries out one statement; answers how many rows it touched.
    pub(super) async fn run(
        &mut self,
        statement: &'static str,
        values: impl IntoIterator<Item = Value>,
    ) -> Result<u64, sqlx::Error> {
        let Self::Sqlite(connection) = self;
        sqlx::query_with(statement, bound(values)?).execute(connection).await.map(|done| done.rows_affected())
    }

    /// Every row.
    pub(super) async fn all<T: Row>(
        &mut self,
        statement: &'static str,
        values: impl IntoIterator<Item = Value>,
    ) -> Result<Vec<T>, sqlx::Error> {
        let Self::Sqlite(connection) = self;
        sqlx::query_as_with(statement, bound(values)?).fetch_all(connection).await
    }

    pub(super) async fn close(self) -> Result<(), sqlx::Error> {
        let Self::Sqlite(connection) = self;
        sqlx::Connection::close(connection).await
    }
}

fn bound(values: impl IntoIterator<Item = Value>) -> Result<SqliteArguments, sqlx::Error> {
    let mut arguments = SqliteArguments::default();
    for value in values {
        match value {
            Value::Int(number) => arguments.add(number),
            Value::Real(number) => arguments.add(number),
            Value::Text(text) => arguments.add(text),
        }
        .map_err(sqlx::Error::Encode)?;
    }
    Ok(arguments)
}
