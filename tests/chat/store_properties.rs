//! Whatever the order in which entries arrive, the record is the same, and what is kept is what a rebuild gives.
#![expect(clippy::unwrap_used, reason = "a test stops where its premise does not hold")]

use crate::store_world::{
    ANNA, BEN, STICK, event, hung, keep, minute, mould, ph, pictured, start, weighed, world,
};
use proptest::prelude::*;
use tallyhook::quantity::Mass;
use tallyhook::record::correction::corrected;
use tallyhook::record::{BatchStage, BatchState, Event, EventId, Happening, PieceNumber, Subject};

/// One entry of the batch: minutes after its start, and what happened.
fn entry() -> impl Strategy<Value = (i64, Subject, Happening)> {
    let piece = (1_u32..4).prop_map(|number| Subject::Piece(STICK, PieceNumber(number)));
    let batch = Just(Subject::Batch(STICK));
    // Grams with a long tail of digits: what is kept must read back to the last one.
    let grams = (300.0_f64..500.0).prop_map(|grams| grams / 3.0);
    let of_batch = prop_oneof![
        grams
            .clone()
            .prop_map(|grams| Happening::PiecesHung { pieces: vec![hung(1, grams), hung(2, grams + 0.1)] }),
        grams.clone().prop_map(weighed),
        (4.5_f64..6.5).prop_map(ph),
        Just(Happening::StageReached { stage: BatchStage::Drying }),
        Just(Happening::TareSet { tare: Mass::grams(9.3) }),
        Just(mould()),
        "\\PC{0,40}".prop_map(pictured),
    ];
    let of_piece = grams.prop_map(weighed);
    let what = prop_oneof![(batch, of_batch), (piece, of_piece)];
    // Few minutes, so that several entries share one.
    (1_i64..12, what).prop_map(|(at, (subject, what))| (at, subject, what))
}

fn story() -> impl Strategy<Value = (Vec<Event>, Vec<usize>)> {
    prop::collection::vec(entry(), 1..10).prop_flat_map(|entries| {
        let corrections = prop::collection::vec((any::<usize>(), any::<bool>()), 0..4);
        (Just(entries), corrections).prop_flat_map(|(entries, corrections)| {
            let events = written(entries, &corrections);
            let order: Vec<usize> = (0..events.len()).collect();
            (Just(events), Just(order).prop_shuffle())
        })
    })
}

/// Numbers the entries in the order they were written down, then the corrections: of an entry, or of a correction.
fn written(entries: Vec<(i64, Subject, Happening)>, corrections: &[(usize, bool)]) -> Vec<Event> {
    let mut ids = 10..;
    let mut events: Vec<Event> = entries
        .into_iter()
        .zip(&mut ids)
        .map(|((at, subject, what), id)| event(id, subject, minute(at), ANNA, what))
        .collect();
    for ((place, undone), id) in corrections.iter().zip(ids) {
        let spoken_of = &events[place % events.len()];
        let (of, subject) = (spoken_of.id, spoken_of.subject);
        let what = if *undone {
            Happening::Undone { of }
        } else {
            Happening::Changed { of, to: Box::new(weighed(400.0 / 7.0)) }
        };
        events.push(event(id, subject, minute(id % 12), BEN, what));
    }
    events
}

/// The shuffled order, but a correction waits for the entry it speaks of: nobody corrects what is not kept yet.
fn possible(order: &[usize], events: &[Event]) -> Vec<usize> {
    let mut arrived: Vec<usize> = Vec::new();
    let mut waiting = order.to_vec();
    while !waiting.is_empty() {
        waiting.retain(|place| {
            let ready = corrected(&events[*place].what)
                .is_none_or(|of| arrived.iter().any(|kept| events[*kept].id == of));
            if ready {
                arrived.push(*place);
            }
            !ready
        });
    }
    arrived
}

async fn kept_in(order: &[usize], events: &[Event]) -> (BatchState, Vec<Event>) {
    let store = world().await;
    for place in order {
        keep(&store, events[*place].clone()).await;
    }
    let (state, version) = store.batch(STICK).await.unwrap().unwrap();
    assert_eq!(version, 1 + i64::try_from(events.len()).unwrap());
    (state, store.events_of_batch(STICK).await.unwrap())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_order_of_arrival_gives_the_same_record((events, order) in story()) {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
        let written: Vec<usize> = (0..events.len()).collect();
        let (as_written, first) = runtime.block_on(kept_in(&written, &events));
        let (shuffled, second) = runtime.block_on(kept_in(&possible(&order, &events), &events));
        prop_assert_eq!(&as_written, &shuffled);
        prop_assert_eq!(&first, &second);
        let mut all = start(STICK, 1, "Juniper stick", ANNA).events;
        all.extend(events);
        prop_assert_eq!(BatchState::rebuild(&all), Some(as_written));
        all.sort_by_key(|event| (event.at, event.id));
        prop_assert_eq!(first, all);
        prop_assert!(second.iter().any(|event| event.id == EventId(1)));
    }
}
