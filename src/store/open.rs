//! Opening a record: whose it is, whether it can be trusted, and that it is ours alone.

use super::engine::{Connection, Readers};
use super::error::StoreError;
use super::lock::{Hold, writable};
use super::numbers::Numbers;
use super::settings::Settings;
use super::throwaway::Throwaway;
use super::writer::Writer;
use super::{Store, claims, groups, members};
use sqlx::migrate::{MigrateError, Migrator};
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection, SqlitePoolOptions};
use sqlx::{ConnectOptions, SqlitePool};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

/// Compiled in, so that the program carries its own schema.
static MIGRATIONS: Migrator = sqlx::migrate!("./migrations/sqlite");
/// 'taly' in ASCII, as the first migration sets it.
const APPLICATION_ID: i64 = 0x7461_6c79;
/// Connections that only read.
const READERS: u32 = 4;
/// How long a statement waits for another program that holds the file.
const PATIENCE: Duration = Duration::from_secs(2);

/// Opens the record at `path`, or begins a new one there; a throwaway folder lives as long as the record.
pub(super) async fn open(path: &Path, throwaway: Option<Throwaway>) -> Result<Store, StoreError> {
    let path = absolute(path)?;
    let hold = Hold::take(&path, throwaway)?;
    writable(&path)?;
    let mut connection = ready(&path, &options(&path).create_if_missing(true)).await?;
    let numbers = take_over(&path, &mut connection).await?;
    let numbers = Arc::new(numbers);
    let settings =
        Arc::new(Settings::new(groups::all(&mut connection).await?, members::all(&mut connection).await?));
    let writer = Writer::new(connection, Arc::clone(&numbers), Arc::clone(&settings), hold).start();
    Ok(Store { readers: readers(options(&path)), writer, numbers, settings, path })
}

/// How every connection is made. Statements are not logged: they carry what members wrote.
fn options(path: &Path) -> SqliteConnectOptions {
    SqliteConnectOptions::new()
        .filename(path)
        .busy_timeout(PATIENCE)
        .foreign_keys(true)
        .disable_statement_logging()
}

/// A connection to a file that is known to be ours, with every migration carried out.
async fn ready(path: &Path, options: &SqliteConnectOptions) -> Result<Connection, StoreError> {
    let opening = |error: sqlx::Error| StoreError::opening(path.to_owned(), &error);
    let mut connection = options.connect().await.map_err(opening)?;
    recognise(path, &mut connection).await?;
    // Before anything is moved: what a migration lets go of is overwritten, too.
    sqlx::query("pragma secure_delete = on").execute(&mut connection).await.map_err(opening)?;
    MIGRATIONS.run_direct(None, &mut connection, false).await.map_err(|error| migrating(path, error))?;
    // Only now: a file that turned out to be somebody else's was not touched.
    for pragma in ["pragma journal_mode = wal", "pragma synchronous = full"] {
        sqlx::query(pragma).execute(&mut connection).await.map_err(opening)?;
    }
    Ok(Connection::Sqlite(connection))
}

/// Refuses a file that is another program's.
async fn recognise(path: &Path, connection: &mut SqliteConnection) -> Result<(), StoreError> {
    let (application, tables): (i64, i64) = sqlx::query_as(
        "select (select application_id from pragma_application_id),
             (select count(*) from sqlite_schema where name not like '\\_sqlx%' escape '\\'
                 and name not like 'sqlite\\_%' escape '\\')",
    )
    .fetch_one(connection)
    .await
    .map_err(|error| StoreError::opening(path.to_owned(), &error))?;
    match (application, tables) {
        (APPLICATION_ID, _) | (0, 0) => Ok(()),
        _ => Err(StoreError::AnotherApplication { path: path.to_owned() }),
    }
}

fn migrating(path: &Path, error: MigrateError) -> StoreError {
    let path = path.to_owned();
    match error {
        MigrateError::Execute(error) | MigrateError::ExecuteMigration(error, _) => {
            StoreError::opening(path, &error)
        }
        MigrateError::VersionMissing(_) | MigrateError::VersionMismatch(_) => {
            StoreError::OtherVersion { path }
        }
        other => StoreError::CannotOpen { path, reason: other.to_string() },
    }
}

/// Makes the file this process's own: checks it where the last one did not close it, frees what that one had
/// claimed, and goes on with its numbers.
async fn take_over(path: &Path, connection: &mut Connection) -> Result<Numbers, StoreError> {
    let opening = |error: sqlx::Error| StoreError::opening(path.to_owned(), &error);
    if !take_closed_mark(connection).await.map_err(opening)? {
        tracing::info!(path = %path.display(), "the record was not closed properly; checking it");
        check(path, connection).await?;
    }
    claims::free(connection).await.map_err(opening)?;
    Numbers::read(connection).await.map_err(opening)
}

/// Reads the mark of a proper closing and takes it away, so that it is missing should this process die.
/// A new record counts as closed.
async fn take_closed_mark(connection: &mut Connection) -> Result<bool, sqlx::Error> {
    let marks: Vec<(String,)> = connection.all("select value from meta where name = 'closed'", []).await?;
    connection
        .run(
            "insert into meta (name, value) values ('closed', 'no')
             on conflict (name) do update set value = excluded.value",
            [],
        )
        .await?;
    Ok(marks.first().is_none_or(|(mark,)| mark == "yes"))
}

/// Notes that everything was written and the file was let go.
pub(super) async fn mark_closed(connection: &mut Connection) -> Result<(), sqlx::Error> {
    connection.run("update meta set value = 'yes' where name = 'closed'", []).await.map(|_| ())
}

/// `SQLite`'s own check of the file's structure.
async fn check(path: &Path, connection: &mut Connection) -> Result<(), StoreError> {
    let found: Vec<(String,)> = connection
        .all("pragma quick_check(1)", [])
        .await
        .map_err(|error| StoreError::opening(path.to_owned(), &error))?;
    match found.into_iter().next() {
        Some((verdict,)) if verdict == "ok" => Ok(()),
        other => Err(StoreError::Damaged {
            path: path.to_owned(),
            detail: other.map_or_else(|| "no answer".to_owned(), |(detail,)| detail),
        }),
    }
}

/// The same check on a connection of its own, for a record that is in use.
pub(super) async fn check_beside(path: &Path) -> Result<(), StoreError> {
    let connection = options(path)
        .read_only(true)
        .connect()
        .await
        .map_err(|error| StoreError::opening(path.to_owned(), &error))?;
    let mut connection = Connection::Sqlite(connection);
    let result = check(path, &mut connection).await;
    connection.close().await?;
    result
}

fn readers(options: SqliteConnectOptions) -> Readers {
    let pool: SqlitePool = SqlitePoolOptions::new()
        .max_connections(READERS)
        .test_before_acquire(false)
        .connect_lazy_with(options.read_only(true));
    Readers::Sqlite(pool)
}

/// The file's own path, so that two ways to write it meet at the same lock.
fn absolute(path: &Path) -> Result<PathBuf, StoreError> {
    let cannot = |reason: String| StoreError::CannotOpen { path: path.to_owned(), reason };
    if path.is_dir() {
        return Err(cannot("it is a folder".to_owned()));
    }
    if let Ok(existing) = path.canonicalize() {
        return Ok(existing);
    }
    let name = path.file_name().ok_or_else(|| cannot("it names no file".to_owned()))?;
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let folder =
        folder.canonicalize().map_err(|error| cannot(format!("its folder cannot be reached: {error}")))?;
    Ok(folder.join(name))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A user who may write everywhere cannot be kept out by file modes, so the connection itself only reads.
    #[tokio::test]
    async fn a_record_that_may_only_be_read_says_so() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("record.sqlite3");
        open(&path, None).await.unwrap().close().await.unwrap();
        let mut connection = ready(&path, &options(&path)).await.unwrap();
        assert!(take_over(&path, &mut connection).await.is_ok());
        connection.close().await.unwrap();
        let reading = options(&path).read_only(true);
        let opened = match ready(&path, &reading).await {
            Ok(mut connection) => take_over(&path, &mut connection).await.map(|_| ()),
            Err(error) => Err(error),
        };
        assert_eq!(opened, Err(StoreError::ReadOnly { path }));
    }

    #[test]
    fn one_file_has_one_path() {
        let folder = tempfile::tempdir().unwrap();
        let inner = folder.path().join("inner");
        std::fs::create_dir(&inner).unwrap();
        let straight = absolute(&folder.path().join("record.sqlite3")).unwrap();
        assert_eq!(absolute(&inner.join("../record.sqlite3")), Ok(straight));
        let folder_itself = absolute(&inner).unwrap_err();
        assert!(folder_itself.to_string().ends_with("cannot be opened: it is a folder."), "{folder_itself}");
        let nowhere = absolute(&folder.path().join("no/record.sqlite3")).unwrap_err();
        assert!(nowhere.to_string().contains("its folder cannot be reached"), "{nowhere}");
    }
}
