//! A record that an earlier version kept opens, with what waits in it.
#![expect(clippy::unwrap_used, reason = "a test stops where its premise does not hold")]

use crate::store_world::{ANNA, minute};
use sqlx::sqlite::{SqliteConnectOptions, SqlitePool};
use tallyhook::record::{ChamberId, EventId, Happening, OutgoingState, ReminderState};
use tallyhook::store::{Change, Store};

/// What the first version left behind: a person, a chamber, reminders, a message, two requests. Invented.
const LEFT_BEHIND: &str = "
    insert into groups values (1, 'Home', 'home', '{}');
    insert into members values (1, '{}');
    insert into memberships values (1, 1, 'Anna', 'anna', 'steward');
    insert into reminders values (1, 1, null, 'own', 0, 1767225600000, 'rinse', 7, 'scheduled', 0, null, null);
    insert into reminders values (2, 1, null, 'own', 0, 1767225600000, 'soak', null, 'claimed', 1, 1, null);
    insert into reminders values (3, 1, null, 'own', 0, 1767225600000, 'salt', null, 'sent', 1, null, 5);
    insert into outbox values (1, 1, null, 1767225600000, 'hello', 'waiting', null);
    insert into chambers values (1, 1, 'Box', 'box');
    insert into events (id, chamber_id, is_sample, at_ms, recorded_ms, author_id, zone, kind, tells_temperature,
        payload, typed, request)
        values (1, 1, 0, 0, 0, 1, 'UTC', 'note', 0, '{}', 'x', 'told by anna');
    insert into chambers values (2, 1, 'Room', 'room');
    insert into events (id, chamber_id, is_sample, at_ms, recorded_ms, author_id, zone, kind, tells_temperature,
        payload, typed)
        values (2, 2, 0, 1000, 2000, 1, 'Europe/Rome', 'note', 0, '{\"happening\":\"noted\",\"text\":\"swept\"}',
            'note swept');
    insert into requests values ('told by anna'), ('told by somebody');";

#[tokio::test]
async fn what_the_first_version_kept_is_still_there_and_goes_out() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record.sqlite3");
    first_version(&path).await;
    let store = Store::open(&path).await.unwrap();
    let kept = store.all_reminders_of(ANNA).await.unwrap();
    let states: Vec<_> = kept.iter().map(|reminder| reminder.state).collect();
    // A claim of the process that is gone is free again.
    assert_eq!(states, [ReminderState::Scheduled, ReminderState::Scheduled, ReminderState::Sent]);
    assert!(kept.iter().all(|reminder| reminder.anchor.is_none() && reminder.not_before.is_none()));
    assert_eq!(store.outgoing_to(ANNA).await.unwrap()[0].state, OutgoingState::Waiting);
    let by = store.next_claimant();
    assert_eq!(store.claim_reminders(by, minute(1), 10, None).await.unwrap().len(), 2);
    assert_eq!(store.claim_messages(by, minute(1), 10, None).await.unwrap().len(), 1);
    let [swept] = &store.events_of_chamber(ChamberId(2)).await.unwrap()[..] else { panic!("one entry") };
    assert_eq!((swept.id, &*swept.typed, &*swept.zone), (EventId(2), "note swept", "Europe/Rome"));
    assert_eq!(swept.what, Happening::Noted { text: "swept".to_owned() });
    // A request that left an entry is remembered, with whose it was. Of the others nobody knows that any more; one would
    // only be met again within a moment of a restart.
    for (request, is_known) in [("told by anna", true), ("told by somebody", false)] {
        let again = Change {
            request: Some(request.to_owned()),
            reminders_cancelled: vec![kept[0].id],
            ..Change::default()
        };
        assert_eq!(store.commit(again).await.unwrap().duplicate, is_known, "{request}");
    }
}

/// A record with the first migration alone.
async fn first_version(path: &std::path::Path) {
    let migrations = tempfile::tempdir().unwrap();
    let name = "0001_record.sql";
    let all = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("migrations/sqlite");
    std::fs::copy(all.join(name), migrations.path().join(name)).unwrap();
    let options = SqliteConnectOptions::new().filename(path).create_if_missing(true);
    let pool = SqlitePool::connect_with(options).await.unwrap();
    let migrator = sqlx::migrate::Migrator::new(migrations.path()).await.unwrap();
    migrator.run(&pool).await.unwrap();
    sqlx::raw_sql(LEFT_BEHIND).execute(&pool).await.unwrap();
    pool.close().await;
}
