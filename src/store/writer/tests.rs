//! The writer on files that cannot be written: the faults are `SQLite`'s own, brought about on purpose.

use super::*;
use crate::record::{Group, GroupId, GroupSettings};
use crate::store::Store;
use sqlx::ConnectOptions;
use sqlx::sqlite::SqliteConnectOptions;

fn group(id: i64, name: String) -> Work {
    Work::Keep(Box::new(Change {
        groups: vec![Group {
            id: GroupId(id),
            name,
            settings: GroupSettings::default(),
            chat: None,
            left: None,
        }],
        ..Change::default()
    }))
}

/// A writer on a closed record, over a connection that was prepared with one pragma.
async fn writer(folder: &tempfile::TempDir, pragma: &'static str) -> (Inbox, Arc<Settings>) {
    let path = folder.path().join("record.sqlite3");
    Store::open(&path).await.unwrap().close().await.unwrap();
    let mut connection =
        Connection::Sqlite(SqliteConnectOptions::new().filename(&path).connect().await.unwrap());
    connection.run(pragma, []).await.unwrap();
    let settings = Arc::new(Settings::default());
    let writer =
        Writer::new(connection, Arc::default(), Arc::clone(&settings), Hold::take(&path, None).unwrap());
    (writer.start(), settings)
}

#[tokio::test]
async fn a_full_disk_keeps_nothing_and_the_writer_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    // SQLite answers SQLITE_FULL for a page beyond the most it may have; 60 pages are 240 kB.
    let (inbox, settings) = writer(&folder, "pragma max_page_count = 60").await;
    inbox.ask(group(1, "small".to_owned())).await.unwrap();
    let full = inbox.ask(group(2, "x".repeat(1_000_000))).await.unwrap_err();
    assert_eq!(full.to_string(), "Not saved: the disk is full.");
    assert!(settings.group(GroupId(2)).is_none(), "what is not kept is not known either");
    inbox.ask(group(3, "small again".to_owned())).await.unwrap();
    inbox.ask(Work::Close).await.unwrap();
    let store = Store::open(folder.path().join("record.sqlite3")).await.unwrap();
    assert!(store.group(GroupId(1)).is_some() && store.group(GroupId(3)).is_some());
    assert!(store.group(GroupId(2)).is_none());
}

#[tokio::test]
async fn a_file_that_may_only_be_read_keeps_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let (inbox, settings) = writer(&folder, "pragma query_only = on").await;
    for id in [1, 2] {
        let refused = inbox.ask(group(id, "small".to_owned())).await.unwrap_err();
        assert_eq!(refused.to_string(), "Not saved: the file is read-only.");
    }
    assert!(settings.group(GroupId(1)).is_none());
}

#[tokio::test]
async fn whoever_comes_after_the_closing_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let (inbox, _) = writer(&folder, "pragma synchronous = full").await;
    let early = inbox.ask(group(1, "early".to_owned()));
    let close = inbox.ask(Work::Close);
    let late = inbox.ask(group(2, "late".to_owned()));
    let (early, closed, late) = tokio::join!(early, close, late);
    assert!(early.is_ok() && closed.is_ok());
    assert_eq!(late.unwrap_err(), StoreError::Closed);
    let store = Store::open(folder.path().join("record.sqlite3")).await.unwrap();
    assert!(store.group(GroupId(1)).is_some());
    assert!(store.group(GroupId(2)).is_none());
}
