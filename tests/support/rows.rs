//! Every row of a record, as the file holds it.

use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{ConnectOptions, Connection, SqliteConnection};
use std::collections::BTreeMap;
use std::path::Path;

/// Each table with its rows, each row as the literals of its columns. What only counts openings is left out.
pub(crate) async fn rows(path: &Path) -> BTreeMap<String, Vec<String>> {
    let mut connection = SqliteConnectOptions::new().filename(path).read_only(true).connect().await.unwrap();
    let mut all = BTreeMap::new();
    for table in tables(&mut connection).await {
        let columns: Vec<(String,)> =
            sqlx::query_as("select 'quote(\"' || name || '\")' from pragma_table_info($1)")
                .bind(&table)
                .fetch_all(&mut connection)
                .await
                .unwrap();
        let columns: Vec<&str> = columns.iter().map(|(column,)| column.as_str()).collect();
        let statement = format!("select {} from \"{table}\"", columns.join(" || ', ' || "));
        let mut rows: Vec<(String,)> =
            sqlx::query_as(sqlx::AssertSqlSafe(statement)).fetch_all(&mut connection).await.unwrap();
        rows.sort();
        all.insert(table, rows.into_iter().map(|(row,)| row).collect());
    }
    connection.close().await.unwrap();
    all
}

async fn tables(connection: &mut SqliteConnection) -> Vec<String> {
    let tables: Vec<(String,)> = sqlx::query_as(
        "select name from sqlite_schema where type = 'table' and name not like '\\_sqlx%' escape '\\'
         and name not like 'sqlite\\_%' escape '\\' and name <> 'meta' order by name",
    )
    .fetch_all(connection)
    .await
    .unwrap();
    tables.into_iter().map(|(name,)| name).collect()
}
