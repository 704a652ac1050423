//! Invented histories come back too: undone and changed entries, moves, a meter, entries of a helper, any order of times.

use crate::record_file::{comes_back, reply};
use crate::store_world::{ANNA, BEN, BOX, STICK, event, hung, minute, mould, ph, room, weighed, world};
use proptest::prelude::*;
use tallyhook::desk::Desk;
use tallyhook::quantity::{Mass, Ph, RelativeHumidity, Temperature};
use tallyhook::record::meter::{BufferPoint, HygrometerCheck, MeterCheck, SaltPoint, Shown};
use tallyhook::record::{
    AirRow, BatchStage, BatchState, Chamber, ChamberId, Event, EventId, Happening, LoggedAir, MemberId,
    Meter, MeterId, PieceNumber, Reminder, ReminderId, Subject,
};
use tallyhook::store::{BatchWrite, Change, Store};

const CELLAR: ChamberId = ChamberId(2);
const PEN: MeterId = MeterId(1);

fn checked() -> Happening {
    let point = |buffer, shown| BufferPoint { buffer: Ph::new(buffer), shown: Shown::Ph(Ph::new(shown)) };
    Happening::MeterChecked {
        check: MeterCheck {
            temperature: Temperature::celsius(21.0),
            points: vec![point(7.02, 7.0), point(4.0, 4.06)],
            said_slope_percent: Some(97.5),
        },
    }
}

fn jar() -> Happening {
    let jar = SaltPoint {
        salt: "NaCl".to_owned(),
        temperature: Temperature::celsius(20.0),
        reference: RelativeHumidity::percent(75.47),
        shown: RelativeHumidity::percent(73.0),
    };
    Happening::HygrometerChecked { name: None, check: HygrometerCheck { points: vec![jar] } }
}

/// One entry: minutes after the start, what it is about, what happened, and whether a helper wrote it.
fn entry() -> impl Strategy<Value = (i64, Subject, Happening, bool)> {
    let batch = Just(Subject::Batch(STICK));
    let piece = (1_u32..4).prop_map(|number| Subject::Piece(STICK, PieceNumber(number)));
    let grams = || (300.0_f64..500.0).prop_map(|grams| grams / 3.0);
    let of_batch = prop_oneof![
        grams().prop_map(|grams| Happening::PiecesHung { pieces: vec![hung(1, grams), hung(2, grams)] }),
        grams().prop_map(weighed),
        (4.5_f64..6.5).prop_map(ph),
        Just(Happening::StageReached { stage: BatchStage::Fermenting }),
        Just(Happening::StageReached { stage: BatchStage::Drying }),
        Just(Happening::TareSet { tare: Mass::grams(9.3) }),
        Just(Happening::Moved { chamber: CELLAR }),
        Just(Happening::Moved { chamber: BOX }),
        Just(Happening::Noted { text: "=cold smoke, 12 h".to_owned() }),
        Just(mould()),
    ];
    let of_chamber = prop_oneof![(10.0_f64..30.0).prop_map(room), Just(jar())];
    let what = prop_oneof![
        4 => (batch, of_batch),
        2 => (piece, grams().prop_map(weighed)),
        2 => (prop_oneof![Just(Subject::Chamber(BOX)), Just(Subject::Chamber(CELLAR))], of_chamber),
        1 => (Just(Subject::Meter(PEN)), Just(checked())),
        1 => (Just(Subject::Sample(STICK)), (4.5_f64..6.5).prop_map(ph)),
    ];
    (1_i64..5_000, what, prop::bool::weighted(0.3)).prop_map(|(at, (subject, what), is_helpers)| {
        // A helper logs into a batch and its chamber.
        (at, subject, what, is_helpers && !matches!(subject, Subject::Meter(_)))
    })
}

fn story() -> impl Strategy<Value = Vec<Event>> {
    let corrections = prop::collection::vec((any::<prop::sample::Index>(), any::<bool>()), 0..5);
    (prop::collection::vec(entry(), 1..14), corrections).prop_map(|(entries, corrections)| {
        let mut ids = 10..;
        let writer = |is_helpers: bool| if is_helpers { BEN } else { ANNA };
        let mut events: Vec<Event> = entries
            .into_iter()
            .zip(&mut ids)
            .map(|((at, subject, what, helped), id)| event(id, subject, minute(at), writer(helped), what))
            .collect();
        for ((place, is_undo), id) in corrections.into_iter().zip(ids) {
            let spoken_of = place.get(&events);
            let (of, subject, at) = (spoken_of.id, spoken_of.subject, spoken_of.at);
            let is_weighing = matches!(spoken_of.what, Happening::Weighed { .. });
            let what = if is_weighing && !is_undo {
                Happening::Changed { of, to: Box::new(weighed(400.0 / 7.0)) }
            } else {
                Happening::Undone { of }
            };
            events.push(event(id, subject, at, ANNA, what));
        }
        events
    })
}

/// What a logger measured in the box: in both scales, and one row without a temperature.
fn logged() -> LoggedAir {
    let row = |at, temperature, humidity: Option<f64>| AirRow {
        at: minute(at),
        temperature,
        humidity: humidity.map(RelativeHumidity::percent),
    };
    let rows = vec![
        row(7, Some(Temperature::celsius(21.0 / 0.7)), Some(80.1)),
        row(17, Some(Temperature::fahrenheit(71.6)), None),
        row(27, None, Some(79.3)),
    ];
    LoggedAir { entry: EventId(500), rows }
}

/// A record with the story in it, a second chamber, a meter, and reminders of the member's own.
async fn kept(events: &[Event]) -> Store {
    let store = world().await;
    let (_, version, mut all) = store.batch_with_events(STICK).await.unwrap().unwrap();
    all.extend(events.iter().filter(|event| event.subject.batch() == Some(STICK)).cloned());
    let state = BatchState::rebuild(&all).unwrap();
    let file = Happening::AirLogged { file: "box.csv".to_owned(), first: minute(7), rows: 3 };
    let brought = event(500, Subject::Chamber(BOX), minute(27), ANNA, file);
    let repeating = Reminder {
        batch: Some(STICK),
        every_days: Some(3),
        anchor: Some(minute(30_000).naive_utc()),
        ..Reminder::own(ReminderId(4), ANNA, minute(30_000), "turn \"them\"".to_owned())
    };
    let change = Change {
        chambers: vec![Chamber { id: CELLAR, owner: ANNA, name: "Cellar, deep".to_owned() }],
        meters: vec![Meter { id: PEN, owner: ANNA, name: "pen".to_owned() }],
        events: events.iter().cloned().chain([brought]).collect(),
        logged: vec![logged()],
        batches: vec![BatchWrite { state, computed_from: version }],
        reminders: vec![repeating, Reminder::own(ReminderId(5), ANNA, minute(20_000), "salt".to_owned())],
        reminders_cancelled: vec![ReminderId(5)],
        ..Change::default()
    };
    store.commit(change).await.unwrap();
    store
}

/// The entries as the file tells them: of others neither who they are nor the words they typed.
fn as_told(events: Vec<Event>, me: MemberId) -> Vec<Event> {
    let told = |event: Event| {
        let is_own = event.author == Some(me);
        if is_own { event } else { Event { author: None, typed: String::new(), ..event } }
    };
    events.into_iter().map(told).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn an_invented_history_comes_back(events in story()) {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
        runtime.block_on(async {
            let desk = Desk::new(kept(&events).await);
            let now = minute(10_000);
            let again = comes_back(&desk, "Anna", now, &["Ben".to_owned()]).await;
            let (before, after) = (desk.store(), again.store());
            let state = |store: Option<(BatchState, i64)>| store.unwrap().0;
            assert_eq!(state(before.batch(STICK).await.unwrap()), state(after.batch(STICK).await.unwrap()));
            assert_eq!(
                as_told(before.events_of_batch(STICK).await.unwrap(), ANNA),
                after.events_of_batch(STICK).await.unwrap()
            );
            for chamber in [BOX, CELLAR] {
                assert_eq!(
                    as_told(before.events_of_chamber(chamber).await.unwrap(), ANNA),
                    after.events_of_chamber(chamber).await.unwrap()
                );
            }
            assert_eq!(
                before.all_reminders_of(ANNA).await.unwrap(),
                after.all_reminders_of(ANNA).await.unwrap()
            );
            assert_eq!(after.logged_in(BOX).await.unwrap(), [logged()]);
            // What is written next gets a number that was not given out before.
            let next = reply(&again, "Anna", "batch note batch:B1 text:next", now).await.stored[0].id;
            assert!(next > 500, "{next}");
        });
    }
}
