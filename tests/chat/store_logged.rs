//! Rows of loggers' files: kept as they are, read as readings of their chamber, and counting no longer than the entry
//! that brought them. All invented.
#![expect(clippy::unwrap_used, reason = "a test stops where its premise does not hold")]

use crate::store_world::{ANNA, BOX, event, minute, people};
use tallyhook::quantity::{RelativeHumidity, Temperature};
use tallyhook::record::{AirRow, Event, EventId, Happening, LoggedAir, Subject};
use tallyhook::store::{Change, Store};

fn row(at: i64, temperature: Option<Temperature>, humidity: Option<f64>) -> AirRow {
    AirRow { at: minute(at), temperature, humidity: humidity.map(RelativeHumidity::percent) }
}

fn file(id: i64, rows: Vec<AirRow>) -> Change {
    let (first, last) = (rows.first().unwrap().at, rows.last().unwrap().at);
    let what = Happening::AirLogged { file: "box.csv".to_owned(), first, rows: rows.len() as u32 };
    Change {
        events: vec![event(id, Subject::Chamber(BOX), last, ANNA, what)],
        logged: vec![LoggedAir { entry: EventId(id), rows }],
        ..Change::default()
    }
}

fn correction(id: i64, of: i64) -> Change {
    let what = Happening::Undone { of: EventId(of) };
    Change { events: vec![event(id, Subject::Chamber(BOX), minute(10_000), ANNA, what)], ..Change::default() }
}

async fn world() -> Store {
    let store = Store::open_temporary().await.unwrap();
    store.commit(people()).await.unwrap();
    store
}

/// What was read, between two minutes, as minute and degrees.
async fn read(store: &Store, from: i64, to: i64) -> Vec<(i64, f64)> {
    let events = store.chamber_events(BOX, minute(from), minute(to)).await.unwrap();
    let reading = |event: &Event| match &event.what {
        Happening::RoomRead { temperature: Some(read), .. } => {
            Some(((event.at - minute(0)).num_minutes(), read.as_celsius()))
        }
        _ => None,
    };
    events.iter().filter_map(reading).collect()
}

#[tokio::test]
async fn rows_come_back_to_the_last_digit_and_in_their_own_scale() {
    let store = world().await;
    // More than one statement holds, so that both kinds of statement are used.
    let rows: Vec<AirRow> = (0..1203)
        .map(|at| match at % 3 {
            0 => row(at, Some(Temperature::celsius(12.1 + at as f64 / 7.0 / 1000.0)), Some(80.3)),
            1 => row(at, Some(Temperature::fahrenheit(55.4)), None),
            _ => row(at, None, Some(79.0 + at as f64 / 3.0 / 1000.0)),
        })
        .collect();
    store.commit(file(1, rows.clone())).await.unwrap();
    assert_eq!(store.logged_with(EventId(1)).await.unwrap(), rows);
    assert_eq!(store.logged_in(BOX).await.unwrap(), [LoggedAir { entry: EventId(1), rows }]);
}

#[tokio::test]
async fn a_window_has_its_rows_and_the_last_temperature_before_it() {
    let store = world().await;
    let celsius = |at, degrees| row(at, Some(Temperature::celsius(degrees)), None);
    let rows = vec![celsius(0, 20.0), celsius(10, 21.0), row(15, None, Some(80.0)), celsius(20, 22.0)];
    store.commit(file(1, rows)).await.unwrap();
    assert_eq!(read(&store, 16, 20).await, [(10, 21.0), (20, 22.0)], "the humidity is no temperature");
    assert_eq!(read(&store, 30, 40).await, [(20, 22.0)]);
    // A reading that was typed later than a row is the last before the window, and the other way round.
    let typed = Happening::RoomRead { temperature: Some(Temperature::celsius(30.0)), humidity: None };
    let events = vec![event(2, Subject::Chamber(BOX), minute(25), ANNA, typed)];
    store.commit(Change { events, ..Change::default() }).await.unwrap();
    assert_eq!(read(&store, 30, 40).await, [(25, 30.0)]);
    store.commit(file(3, vec![celsius(27, 23.0)])).await.unwrap();
    assert_eq!(read(&store, 30, 40).await, [(27, 23.0)]);
}

#[tokio::test]
async fn rows_count_as_long_as_their_entry_does() {
    let store = world().await;
    let celsius = |at, degrees| row(at, Some(Temperature::celsius(degrees)), None);
    store.commit(file(1, vec![celsius(0, 20.0), celsius(10, 21.0)])).await.unwrap();
    store.commit(file(2, vec![celsius(5, 25.0)])).await.unwrap();
    assert_eq!(read(&store, 0, 60).await, [(0, 20.0), (5, 25.0), (10, 21.0)]);
    store.commit(correction(3, 1)).await.unwrap();
    assert_eq!(read(&store, 0, 60).await, [(5, 25.0)]);
    assert_eq!(read(&store, 20, 60).await, [(5, 25.0)], "before a window, too");
    store.commit(correction(4, 3)).await.unwrap();
    assert_eq!(read(&store, 0, 60).await, [(0, 20.0), (5, 25.0), (10, 21.0)]);
    assert_eq!(read(&store, 20, 60).await, [(10, 21.0)]);
}

#[tokio::test]
async fn rows_go_with_their_owner() {
    let store = world().await;
    store.commit(file(1, vec![row(0, None, Some(80.0))])).await.unwrap();
    store.commit(Change { erase_member: Some(ANNA), ..Change::default() }).await.unwrap();
    assert!(store.logged_with(EventId(1)).await.unwrap().is_empty());
}
