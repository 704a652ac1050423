//! Meters and their checks in the record.
#![expect(clippy::unwrap_used, reason = "a test stops where its premise does not hold")]

use crate::store_world::{ANNA, BEN, BOX, event, minute, room, world};
use tallyhook::quantity::{Ph, RelativeHumidity, Temperature, Voltage};
use tallyhook::record::meter::{BufferPoint, HygrometerCheck, MeterCheck, SaltPoint, Shown};
use tallyhook::record::{Event, EventId, Happening, MemberId, Meter, MeterId, Subject};
use tallyhook::store::{Change, Store, StoreError};

fn meter(id: i64, owner: MemberId, name: &str) -> Meter {
    Meter { id: MeterId(id), owner, name: name.to_owned() }
}

fn checked(of: i64, id: i64, at: i64, millivolts: f64) -> Event {
    let point = |buffer, millivolts| BufferPoint {
        buffer: Ph::new(buffer),
        shown: Shown::Millivolts(Voltage::millivolts(millivolts)),
    };
    let check = MeterCheck {
        temperature: Temperature::fahrenheit(68.0),
        points: vec![point(7.02, -5.0), point(4.0, millivolts)],
        said_slope_percent: None,
    };
    event(id, Subject::Meter(MeterId(of)), minute(at), ANNA, Happening::MeterChecked { check })
}

fn over_salt(shown: f64) -> Happening {
    let point = SaltPoint {
        salt: "NaCl".to_owned(),
        temperature: Temperature::celsius(20.0),
        reference: RelativeHumidity::percent(75.48),
        shown: RelativeHumidity::percent(shown),
    };
    Happening::HygrometerChecked { name: None, check: HygrometerCheck { points: vec![point] } }
}

async fn keep(store: &Store, event: Event) {
    store.commit(Change { events: vec![event], ..Change::default() }).await.unwrap();
}

#[tokio::test]
async fn a_meter_and_its_checks_read_back_as_they_were() {
    let store = world().await;
    let kept = checked(1, 10, 5, 171.5);
    let change =
        Change { meters: vec![meter(1, ANNA, "Pen")], events: vec![kept.clone()], ..Change::default() };
    store.commit(change).await.unwrap();
    keep(&store, checked(1, 11, 2, 170.0)).await;
    assert_eq!(store.meters_of(ANNA).await.unwrap(), [meter(1, ANNA, "Pen")]);
    assert_eq!(store.meters_of(BEN).await.unwrap(), []);
    assert_eq!(store.meter_by_name(ANNA, " pEn ").await.unwrap().one(), Some(meter(1, ANNA, "Pen")));
    let ids: Vec<EventId> =
        store.events_of_meter(MeterId(1)).await.unwrap().iter().map(|event| event.id).collect();
    assert_eq!(ids, [EventId(11), EventId(10)], "in the order of time");
    assert_eq!(store.event(EventId(10)).await.unwrap(), Some(kept));
    let again = Change { meters: vec![meter(2, ANNA, "pen")], ..Change::default() };
    assert!(matches!(store.commit(again).await, Err(StoreError::NameTaken { what: "meter", .. })));
    let of_nobody =
        store.commit(Change { events: vec![checked(7, 12, 5, 170.0)], ..Change::default() }).await;
    assert!(of_nobody.is_err(), "a check of a meter that is not there");
}

#[tokio::test]
async fn a_meter_goes_with_its_member_and_its_number_is_not_given_again() {
    let store = world().await;
    let id = store.next_meter_id();
    let change = Change {
        request: Some("check by anna".to_owned()),
        meters: vec![meter(id.0, ANNA, "Pen")],
        events: vec![checked(id.0, 10, 5, 171.0)],
        ..Change::default()
    };
    store.commit(change).await.unwrap();
    let everything = store.everything_of(ANNA).await.unwrap();
    assert_eq!(everything.meters.len(), 1);
    assert!(everything.entries.iter().any(|entry| entry.id == EventId(10)));
    store.commit(Change { erase_member: Some(ANNA), ..Change::default() }).await.unwrap();
    assert_eq!(store.meter(id).await.unwrap(), None);
    assert_eq!(store.event(EventId(10)).await.unwrap(), None);
    assert!(store.next_meter_id() > id);
}

#[tokio::test]
async fn the_last_check_of_a_hygrometer_stands_in_front_of_a_window() {
    let store = world().await;
    let subject = Subject::Chamber(BOX);
    let entries = [
        (10, 1, over_salt(70.0)),
        (11, 2, over_salt(71.0)),
        (12, 3, over_salt(72.0)),
        (13, 100, room(13.0)),
        // The last check before the window never was.
        (14, 200, Happening::Undone { of: EventId(12) }),
    ];
    for (id, at, what) in entries {
        keep(&store, event(id, subject, minute(at), ANNA, what)).await;
    }
    let window = store.chamber_events(BOX, minute(50), minute(150)).await.unwrap();
    let ids: Vec<i64> = window.iter().map(|event| event.id.0).collect();
    assert_eq!(ids, [11, 13]);
}
