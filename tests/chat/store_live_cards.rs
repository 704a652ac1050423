//! What the store remembers of the cards at the top of batches' threads: which are out of date, and when they may be
//! edited. All invented.
#![expect(clippy::unwrap_used, reason = "a test stops where its premise does not hold")]

use crate::store_world::{ANNA, BOX, HOME, STICK, event, keep, minute, ph, plan, room, world};
use chrono::{DateTime, Utc};
use tallyhook::record::{ChatId, Happening, LiveCard, Place, PlaceKind, Subject};
use tallyhook::store::{Change, Store};

const THREAD: ChatId = ChatId(70);

fn card() -> LiveCard {
    LiveCard {
        batch: STICK,
        place: THREAD,
        message: Some(ChatId(71)),
        card: None,
        shown: "planned".to_owned(),
        changes: 0,
        shown_changes: 0,
        not_before: minute(0),
        ages: None,
        failures: 0,
        posts: 1,
        tagged: None,
    }
}

fn thread(reachable: bool) -> Place {
    Place {
        id: THREAD,
        group: HOME,
        kind: PlaceKind::Thread,
        member: None,
        batch: Some(STICK),
        seen: THREAD,
        reachable,
    }
}

async fn write(store: &Store, live: LiveCard) {
    store.commit(Change { live_cards: vec![live], ..Change::default() }).await.unwrap();
}

async fn with_card() -> Store {
    let store = world().await;
    store.commit(Change { places: vec![thread(true)], ..Change::default() }).await.unwrap();
    write(&store, card()).await;
    store
}

async fn read(store: &Store) -> LiveCard {
    store.live_card(STICK).await.unwrap().unwrap()
}

async fn is_due(store: &Store, at: DateTime<Utc>) -> bool {
    store.live_cards_due(at, 10).await.unwrap().iter().any(|live| live.batch == STICK)
}

/// Says that it shows everything there is.
async fn shown(store: &Store) {
    let live = read(store).await;
    write(store, LiveCard { shown_changes: live.changes, ..live }).await;
    assert!(!is_due(store, minute(0)).await);
}

#[tokio::test]
async fn what_is_kept_of_a_batch_or_its_room_makes_its_card_out_of_date() {
    let store = with_card().await;
    assert!(read(&store).await.is_behind(), "something may have been kept before the card was");
    shown(&store).await;
    keep(&store, event(2, Subject::Sample(STICK), minute(1), ANNA, ph(5.4))).await;
    assert!(is_due(&store, minute(1)).await);
    shown(&store).await;
    keep(&store, event(3, Subject::Chamber(BOX), minute(2), ANNA, room(13.0))).await;
    assert!(is_due(&store, minute(2)).await);
    shown(&store).await;
    // What the card was written down with does not count back what came meanwhile.
    let before = read(&store).await;
    keep(&store, event(4, Subject::Sample(STICK), minute(3), ANNA, ph(5.3))).await;
    write(&store, LiveCard { shown: "5.4".to_owned(), shown_changes: before.changes, ..before }).await;
    assert!(is_due(&store, minute(3)).await);
    // Another batch is no concern of it.
    shown(&store).await;
    let other = tallyhook::record::BatchId(2);
    store.commit(crate::store_world::start(other, 5, "Coppa", ANNA)).await.unwrap();
    let noted = Happening::Noted { text: "x".to_owned() };
    keep(&store, event(6, Subject::Batch(other), minute(4), ANNA, noted)).await;
    assert!(!is_due(&store, minute(4)).await);
    assert_eq!(plan("Coppa", ANNA).chamber, BOX, "though they hang in one room");
}

#[tokio::test]
async fn a_card_waits_for_its_time_its_message_and_its_place() {
    let store = with_card().await;
    let live = read(&store).await;
    write(&store, LiveCard { not_before: minute(10), ..live.clone() }).await;
    assert!(!is_due(&store, minute(9)).await);
    assert!(is_due(&store, minute(10)).await);
    write(&store, LiveCard { message: None, ..live.clone() }).await;
    assert!(!is_due(&store, minute(10)).await, "it is not posted yet");
    write(&store, live.clone()).await;
    store.commit(Change { places: vec![thread(false)], ..Change::default() }).await.unwrap();
    assert!(!is_due(&store, minute(10)).await, "nothing can be written there");
    store.commit(Change { places: vec![thread(true)], ..Change::default() }).await.unwrap();
    shown(&store).await;
    // By the clock alone.
    let live = read(&store).await;
    write(&store, LiveCard { ages: Some(minute(60)), not_before: minute(70), ..live }).await;
    assert!(!is_due(&store, minute(69)).await, "not before its time either");
    assert!(is_due(&store, minute(70)).await);
}

#[tokio::test]
async fn a_card_goes_with_its_batch() {
    let store = with_card().await;
    store.commit(Change { erase_member: Some(ANNA), ..Change::default() }).await.unwrap();
    assert_eq!(store.live_card(STICK).await.unwrap(), None);
}
