//! What a record refuses, and that a refusal changes nothing.
#![expect(clippy::unwrap_used, reason = "a test stops where its premise does not hold")]

use crate::store_world::{ANNA, BEN, BOX, STICK, event, minute, people, ph, room, start, weighed, world};
use chrono::TimeDelta;
use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{ConnectOptions, SqliteConnection};
use std::collections::BTreeSet;
use std::fs::Permissions;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::sync::Arc;
use tallyhook::record::{BatchId, EventId, Happening, PlannedReminder, ReminderKind, Subject};
use tallyhook::store::{BatchWrite, Change, ReminderPlan, Store, StoreError};
use tokio::sync::Barrier;
use tokio::task::JoinSet;

/// Bytes of a page where none are asked for (<https://sqlite.org/pragma.html#pragma_page_size>).
const PAGE: usize = 4096;

/// A connection past the store, as another program has it.
async fn raw(path: &Path) -> SqliteConnection {
    SqliteConnectOptions::new().filename(path).create_if_missing(true).connect().await.unwrap()
}

async fn run(connection: &mut SqliteConnection, statement: &'static str) {
    sqlx::query(statement).execute(connection).await.unwrap();
}

async fn refusal(path: &Path) -> StoreError {
    Store::open(path).await.map(|_| ()).unwrap_err()
}

#[tokio::test]
async fn a_file_that_is_no_database_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("diary.txt");
    let text = "Hung the sticks today. ".repeat(100);
    std::fs::write(&path, &text).unwrap();
    let refused = refusal(&path).await;
    assert!(matches!(refused, StoreError::NotADatabase { .. }), "{refused}");
    assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
}

#[tokio::test]
async fn another_programs_database_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    for (name, marks) in [("plain.db", None), ("marked.db", Some("pragma application_id = 7"))] {
        let path = folder.path().join(name);
        let mut other = raw(&path).await;
        run(&mut other, "create table recipes (name text)").await;
        if let Some(mark) = marks {
            run(&mut other, mark).await;
        }
        sqlx::Connection::close(other).await.unwrap();
        let before = std::fs::read(&path).unwrap();
        let refused = refusal(&path).await;
        assert!(matches!(refused, StoreError::AnotherApplication { .. }), "{refused}");
        assert_eq!(std::fs::read(&path).unwrap(), before);
    }
}

#[tokio::test]
async fn a_record_of_another_version_is_left_alone() {
    let newer = "insert into _sqlx_migrations (version, description, success, checksum, execution_time)
                 values (9999, 'later', true, x'00', 0)";
    let edited = "update _sqlx_migrations set checksum = x'00' where version = 1";
    for alteration in [newer, edited] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("record.sqlite3");
        Store::open(&path).await.unwrap().close().await.unwrap();
        let mut other = raw(&path).await;
        run(&mut other, alteration).await;
        sqlx::Connection::close(other).await.unwrap();
        let before = std::fs::read(&path).unwrap();
        let refused = refusal(&path).await;
        assert!(matches!(refused, StoreError::OtherVersion { .. }), "{refused}");
        assert_eq!(std::fs::read(&path).unwrap(), before);
    }
}

#[tokio::test]
async fn one_process_owns_a_record() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record.sqlite3");
    let store = Store::open(&path).await.unwrap();
    assert!(matches!(refusal(&path).await, StoreError::InUse { .. }));
    let link = folder.path().join("link.sqlite3");
    std::os::unix::fs::symlink(&path, &link).unwrap();
    assert!(matches!(refusal(&link).await, StoreError::InUse { .. }), "however the file is named");
    store.close().await.unwrap();
    drop(store);
    Store::open(&path).await.unwrap();
}

#[tokio::test]
async fn a_record_that_another_program_holds_is_not_opened() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record.sqlite3");
    Store::open(&path).await.unwrap().close().await.unwrap();
    let mut other = raw(&path).await;
    run(&mut other, "begin immediate").await;
    assert!(matches!(refusal(&path).await, StoreError::InUse { .. }));
}

#[tokio::test]
async fn while_another_program_holds_the_file_nothing_is_saved_and_afterwards_everything_is() {
    let store = world().await;
    let mut other = raw(store.path()).await;
    run(&mut other, "begin immediate").await;
    let change = Change {
        events: vec![event(10, Subject::Chamber(BOX), minute(1), ANNA, room(20.0))],
        ..Change::default()
    };
    let refused = store.commit(change.clone()).await.unwrap_err();
    assert_eq!(refused.to_string(), "Not saved: another program is holding the file.");
    assert_eq!(store.event(EventId(10)).await, Ok(None));
    run(&mut other, "rollback").await;
    store.commit(change).await.unwrap();
    assert!(store.event(EventId(10)).await.unwrap().is_some());
}

#[tokio::test]
async fn a_read_only_record_is_refused_and_opens_again_once_it_may_be_written() {
    let store = world().await;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record.sqlite3");
    cut_off(&store, &path);
    let allow = |mode| std::fs::set_permissions(&path, Permissions::from_mode(mode)).unwrap();
    allow(0o444);
    let refused = refusal(&path).await;
    assert!(matches!(refused, StoreError::ReadOnly { .. }), "{refused}");
    allow(0o644);
    let opened = Store::open(&path).await.unwrap();
    assert!(opened.batch(STICK).await.unwrap().is_some());
}

#[tokio::test]
async fn a_file_that_cannot_be_reached_is_named_with_the_reason() {
    let folder = tempfile::tempdir().unwrap();
    let refused = refusal(folder.path()).await;
    assert!(matches!(refused, StoreError::CannotOpen { .. }), "{refused}");
    let refused = refusal(&folder.path().join("no/such/folder.sqlite3")).await;
    assert!(refused.to_string().contains("its folder cannot be reached"), "{refused}");
}

/// Copies the files as they are on the disk, which is what a power cut or `kill -9` leaves.
fn cut_off(store: &Store, to: &Path) {
    for end in ["", "-wal"] {
        let mut from = store.path().as_os_str().to_owned();
        from.push(end);
        let mut name = to.as_os_str().to_owned();
        name.push(end);
        std::fs::copy(from, name).unwrap();
    }
}

#[tokio::test]
async fn what_was_acknowledged_survives_a_power_cut() {
    let store = world().await;
    let folder = tempfile::tempdir().unwrap();
    for id in 10..60 {
        let change = Change {
            events: vec![event(id, Subject::Chamber(BOX), minute(id), ANNA, room(20.0))],
            ..Change::default()
        };
        store.commit(change).await.unwrap();
        if id % 10 == 0 {
            let copy = folder.path().join(format!("{id}.sqlite3"));
            cut_off(&store, &copy);
            let found = Store::open(&copy).await.unwrap();
            let last = found.event(EventId(id)).await.unwrap();
            assert!(last.is_some(), "entry {id} was acknowledged");
            assert_eq!(found.next_event_id(), EventId(id + 1));
        }
    }
}

#[tokio::test]
async fn a_claim_dies_with_its_process() {
    let store = world().await;
    let plan = ReminderPlan {
        batch: STICK,
        member: ANNA,
        planned: vec![PlannedReminder {
            kind: ReminderKind::Weigh,
            occurrence: 0,
            due: minute(10),
            text: "weigh".to_owned(),
        }],
        computed_from: 1,
        air: vec![],
    };
    store.commit(Change { reminder_plans: vec![plan], ..Change::default() }).await.unwrap();
    assert_eq!(
        store.claim_reminders(store.next_claimant(), minute(100_000), 5, None).await.unwrap().len(),
        1
    );
    let folder = tempfile::tempdir().unwrap();
    let copy = folder.path().join("copy.sqlite3");
    cut_off(&store, &copy);
    let found = Store::open(&copy).await.unwrap();
    let again = found.claim_reminders(found.next_claimant(), minute(20), 5, None).await.unwrap();
    assert_eq!((again.len(), again[0].tries), (1, 2));
}

#[tokio::test]
async fn a_damaged_record_is_found_out() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record.sqlite3");
    let store = Store::open(&path).await.unwrap();
    store.commit(people()).await.unwrap();
    for id in 1..400 {
        store
            .commit(Change {
                events: vec![event(id, Subject::Chamber(BOX), minute(id), ANNA, room(20.0))],
                ..Change::default()
            })
            .await
            .unwrap();
    }
    assert_eq!(store.check_in_background().await.unwrap(), Ok(()));
    store.close().await.unwrap();
    drop(store);
    let mut bytes = std::fs::read(&path).unwrap();
    // The page of an entry that is not among the newest, which opening reads.
    let old = bytes.windows(8).position(|part| part == b"line 200").unwrap() / PAGE * PAGE;
    bytes[old..old + PAGE].fill(0xa5);
    std::fs::write(&path, &bytes).unwrap();

    let closed_properly = Store::open(&path).await.unwrap();
    let found = closed_properly.check_in_background().await.unwrap().unwrap_err();
    assert!(matches!(found, StoreError::Damaged { .. }), "{found}");
    closed_properly.close().await.unwrap();

    let mut other = raw(&path).await;
    run(&mut other, "update meta set value = 'no' where name = 'closed'").await;
    sqlx::Connection::close(other).await.unwrap();
    let refused = refusal(&path).await;
    assert!(matches!(refused, StoreError::Damaged { .. }), "{refused}");
}

#[tokio::test]
async fn of_many_changes_at_once_the_bad_ones_fail_alone() {
    let store = Arc::new(world().await);
    let mut tasks = JoinSet::new();
    for id in 100..200 {
        let store = Arc::clone(&store);
        tasks.spawn(async move {
            let mut change = Change {
                request: Some(format!("request {id}")),
                events: vec![event(id, Subject::Chamber(BOX), minute(id), ANNA, room(20.0))],
                ..Change::default()
            };
            if id % 10 == 0 {
                // The second entry speaks of a batch that does not exist, after the first was already written.
                let lost = Subject::Batch(BatchId(77));
                change.events.push(event(id + 1000, lost, minute(id), ANNA, ph(5.0)));
            }
            (id, store.commit(change).await)
        });
    }
    while let Some(task) = tasks.join_next().await {
        let (id, result) = task.unwrap();
        let kept = store.event(EventId(id)).await.unwrap().is_some();
        if id % 10 == 0 {
            assert!(matches!(result, Err(StoreError::Unfit { .. })), "{id}: {result:?}");
            assert!(!kept, "{id}");
        } else {
            assert!(result.is_ok() && kept, "{id}: {result:?}");
        }
    }
    let mended = Change {
        request: Some("request 100".to_owned()),
        events: vec![event(3000, Subject::Chamber(BOX), minute(1), ANNA, room(20.0))],
        ..Change::default()
    };
    assert!(!store.commit(mended).await.unwrap().duplicate, "a refused request may be sent again");
}

#[tokio::test]
async fn of_two_who_computed_from_the_same_state_one_computes_again() {
    let store = Arc::new(world().await);
    let everybody_has_read = Arc::new(Barrier::new(32));
    let mut tasks = JoinSet::new();
    for id in 10..42_i32 {
        let store = Arc::clone(&store);
        let everybody_has_read = Arc::clone(&everybody_has_read);
        tasks.spawn(async move {
            let entry = event(
                id.into(),
                Subject::Batch(STICK),
                minute(id.into()),
                BEN,
                weighed(800.0 - f64::from(id)),
            );
            let mut conflicts = 0;
            loop {
                let (_, version, mut events) = store.batch_with_events(STICK).await.unwrap().unwrap();
                events.push(entry.clone());
                if conflicts == 0 {
                    everybody_has_read.wait().await;
                }
                let state = tallyhook::record::BatchState::rebuild(&events).unwrap();
                let change = Change {
                    events: vec![entry.clone()],
                    batches: vec![BatchWrite { state, computed_from: version }],
                    ..Change::default()
                };
                match store.commit(change).await {
                    Ok(_) => return conflicts,
                    Err(StoreError::Conflict { batch: STICK }) => conflicts += 1,
                    Err(error) => panic!("{error}"),
                }
            }
        });
    }
    let conflicts: u32 = tasks.join_all().await.into_iter().sum();
    assert!(conflicts >= 31, "all but one had to compute again");
    let (state, version) = store.batch(STICK).await.unwrap().unwrap();
    assert_eq!((state.total_weighings.len(), version), (32, 33));
}

#[tokio::test]
async fn what_would_not_read_back_is_refused() {
    let store = world().await;
    let dose = Happening::RoomSet { temperature: None, humidity: None, hysteresis_celsius: f64::NAN };
    let mut finer = event(11, Subject::Chamber(BOX), minute(1), ANNA, room(20.0));
    finer.at += TimeDelta::microseconds(1);
    for entry in [event(10, Subject::Chamber(BOX), minute(1), ANNA, dose), finer] {
        let refused = store.commit(Change { events: vec![entry], ..Change::default() }).await;
        assert!(matches!(refused, Err(StoreError::Unfit { .. })), "{refused:?}");
    }
    assert_eq!(store.events_of_chamber(BOX).await, Ok(vec![]));
}

#[tokio::test]
async fn two_ticks_never_take_the_same_reminder() {
    let store = Arc::new(world().await);
    let planned = (0..200).map(|occurrence| PlannedReminder {
        kind: ReminderKind::Weigh,
        occurrence,
        due: minute(i64::from(occurrence)),
        text: "weigh".to_owned(),
    });
    let plan = ReminderPlan {
        batch: STICK,
        member: ANNA,
        planned: planned.collect(),
        computed_from: 1,
        air: vec![],
    };
    store.commit(Change { reminder_plans: vec![plan], ..Change::default() }).await.unwrap();
    let mut ticks = JoinSet::new();
    for _ in 0..4 {
        let store = Arc::clone(&store);
        ticks.spawn(async move {
            let (by, mut taken) = (store.next_claimant(), Vec::new());
            loop {
                let claimed = store.claim_reminders(by, minute(500), 7, None).await.unwrap();
                if claimed.is_empty() {
                    return taken;
                }
                taken.extend(claimed.into_iter().map(|reminder| reminder.id));
            }
        });
    }
    let taken: Vec<_> = ticks.join_all().await.into_iter().flatten().collect();
    assert_eq!(taken.len(), 200);
    assert_eq!(taken.iter().collect::<BTreeSet<_>>().len(), 200);
}

#[tokio::test]
async fn what_waits_is_kept_before_the_record_closes() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record.sqlite3");
    let store = Arc::new(Store::open(&path).await.unwrap());
    store.commit(people()).await.unwrap();
    let mut tasks = JoinSet::new();
    for id in 1..100 {
        let store = Arc::clone(&store);
        tasks.spawn(async move {
            let name = format!("Batch {id}");
            (id, store.commit(start(BatchId(id), id, &name, ANNA)).await)
        });
    }
    tokio::task::yield_now().await;
    store.close().await.unwrap();
    let kept: Vec<i64> = tasks
        .join_all()
        .await
        .into_iter()
        .filter_map(|(id, result)| match result {
            Ok(_) => Some(id),
            Err(StoreError::Closed) => None,
            Err(error) => panic!("{error}"),
        })
        .collect();
    let found = Store::open(&path).await.unwrap();
    let there: BTreeSet<i64> = found.batches_of(ANNA).await.unwrap().iter().map(|batch| batch.id.0).collect();
    assert_eq!(there, kept.into_iter().collect());
}

#[tokio::test]
async fn a_temporary_record_leaves_nothing_behind() {
    let store = world().await;
    let folder = store.path().parent().unwrap().to_owned();
    assert!(folder.is_dir());
    store.close().await.unwrap();
    assert!(!folder.exists());
}
