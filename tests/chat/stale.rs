//! What was computed from a record that moved on meanwhile is refused, and computed again.
#![expect(clippy::unwrap_used, reason = "a test stops where its premise does not hold")]

use crate::store_world::{ANNA, BEN, BOX, HOME, STICK, event, keep, minute, room, weighed, world};
use chrono::{DateTime, Utc};
use std::sync::Arc;
use tallyhook::command::access::Deed;
use tallyhook::command::journal::Journal;
use tallyhook::command::{Asking, Seen, Services, lookup};
use tallyhook::desk::{Desk, Incoming};
use tallyhook::record::{BatchStage, EventId, Happening, MemberId, ReminderState, Subject};
use tallyhook::store::{Change, StoreError};

fn asking(services: &Services, id: MemberId, at: DateTime<Utc>) -> Asking {
    Asking {
        member: services.store.member(id, HOME).unwrap(),
        group: services.store.group(HOME).unwrap(),
        now: at,
        request: None,
        confirmed: false,
        moderates: false,
        place: None,
        typed: "a line".to_owned(),
        file: None,
        files: tallyhook::command::pictures::Files::default(),
        seen: Seen::default(),
    }
}

fn fermenting() -> Happening {
    Happening::StageReached { stage: BatchStage::Fermenting }
}

fn note() -> Happening {
    Happening::Noted { text: "smells clean".to_owned() }
}

#[tokio::test]
async fn an_entry_decided_on_an_older_state_is_refused() {
    let services = Services::new(world().await);
    for (time, is_stale) in [(10, true), (20, false)] {
        let asking = asking(&services, ANNA, minute(time));
        let judged = lookup::named_batch(&services, &asking, "B1", Deed::LookAt).await.unwrap();
        if is_stale {
            keep(&services.store, event(90, Subject::Batch(STICK), minute(5), BEN, weighed(900.0))).await;
        }
        let mut journal = Journal::new(&services, &asking);
        let entry = journal.event(Subject::Batch(judged.id), minute(time), note());
        journal.append(entry).await.unwrap();
        let kept = services.store.commit(journal.finish().await.unwrap()).await.map(|_| ());
        let expected = if is_stale { Err(StoreError::Conflict { batch: STICK }) } else { Ok(()) };
        assert_eq!(kept, expected);
    }
}

#[tokio::test]
async fn an_entry_that_does_not_come_last_is_refused_too() {
    let services = Services::new(world().await);
    keep(&services.store, event(90, Subject::Batch(STICK), minute(50), ANNA, weighed(950.0))).await;
    let asking = asking(&services, ANNA, minute(60));
    let mut journal = Journal::new(&services, &asking);
    journal.load(STICK).await.unwrap();
    keep(&services.store, event(91, Subject::Batch(STICK), minute(55), BEN, weighed(900.0))).await;
    let entry = journal.event(Subject::Batch(STICK), minute(40), note());
    journal.append(entry).await.unwrap();
    let kept = services.store.commit(journal.finish().await.unwrap()).await;
    assert_eq!(kept, Err(StoreError::Conflict { batch: STICK }));
}

#[tokio::test]
async fn a_plan_made_from_an_older_state_is_refused() {
    let services = Services::new(world().await);
    let asking = asking(&services, ANNA, minute(10));
    let mut journal = Journal::new(&services, &asking);
    journal.load(STICK).await.unwrap();
    keep(&services.store, event(90, Subject::Batch(STICK), minute(5), ANNA, fermenting())).await;
    let kept = services.store.commit(journal.finish().await.unwrap()).await;
    assert_eq!(kept, Err(StoreError::Conflict { batch: STICK }));
}

#[tokio::test]
async fn a_plan_made_from_older_air_is_refused() {
    let services = Services::new(world().await);
    keep(&services.store, event(90, Subject::Batch(STICK), minute(5), ANNA, fermenting())).await;
    let asking = asking(&services, ANNA, minute(100));
    for (time, is_stale) in [(50, true), (60, false)] {
        let mut journal = Journal::new(&services, &asking);
        let reading = journal.event(Subject::Chamber(BOX), minute(time), room(24.0));
        journal.append(reading).await.unwrap();
        let change = journal.finish().await.unwrap();
        if is_stale {
            let meanwhile = event(200, Subject::Chamber(BOX), minute(55), ANNA, room(30.0));
            services.store.commit(Change { events: vec![meanwhile], ..Change::default() }).await.unwrap();
        }
        let kept = services.store.commit(change).await.map(|_| ());
        let expected = if is_stale { Err(StoreError::Conflict { batch: STICK }) } else { Ok(()) };
        assert_eq!(kept, expected);
    }
    assert_eq!(services.store.events_of_chamber(BOX).await.unwrap().len(), 2);
}

async fn new_desk() -> Desk {
    let store = world().await;
    // The world's own entry came with the number before it.
    assert_eq!(store.next_event_id(), EventId(2));
    Desk::new(store)
}

async fn told(desk: &Desk, author: &str, at: DateTime<Utc>, text: &str) {
    let incoming = Incoming { confirmed: true, ..Incoming::line("Home", author, text, at) };
    let answered = desk.answer(&incoming).await;
    assert_eq!(answered.exit_status(), 0, "{text}: {}", answered.text());
}

/// What waits for a member: kind, occurrence, when, what it says.
async fn waiting(desk: &Desk) -> Vec<(String, u32, DateTime<Utc>, String)> {
    let mut kept = desk.store().all_reminders_of(ANNA).await.unwrap();
    kept.retain(|reminder| reminder.state == ReminderState::Scheduled);
    kept.sort_by_key(|reminder| (reminder.due, reminder.kind, reminder.occurrence));
    kept.into_iter().map(|it| (it.kind.word().to_owned(), it.occurrence, it.due, it.text)).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn lines_that_arrive_together_leave_the_plan_of_one_after_the_other() {
    let lines = [
        "chamber 24 C",
        "chamber 31 C",
        "B1 pH 5.7 at 21 C",
        "batch note batch:B1 text:smells clean",
        "chamber 25 C",
        "chamber 26 C",
        "batch note batch:B1 text:still clean",
        "B1 pH 5.6 at 21 C",
        "chamber 27 C",
        "chamber 28 C",
        "chamber 29 C",
        "B1 pH 5.5 at 21 C",
    ];
    let desk = Arc::new(new_desk().await);
    told(&desk, "Anna", minute(10), "batch stage batch:B1 to:fermenting").await;
    let mut together = tokio::task::JoinSet::new();
    for (number, line) in (0..).zip(lines) {
        let desk = Arc::clone(&desk);
        together.spawn(async move { told(&desk, "Anna", minute(100 + number), line).await });
    }
    together.join_all().await;
    let kept = waiting(&desk).await;

    let desk = new_desk().await;
    told(&desk, "Anna", minute(10), "batch stage batch:B1 to:fermenting").await;
    for (number, line) in (0..).zip(lines) {
        told(&desk, "Anna", minute(100 + number), line).await;
    }
    assert!(!kept.is_empty());
    assert_eq!(kept, waiting(&desk).await);
}
