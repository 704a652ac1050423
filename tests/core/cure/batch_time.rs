//! The time in the cure of a batch: by its thickness, and by its heaviest raw piece.

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use tallyhook::curing::cure::{Method, time_of_batch};
use tallyhook::quantity::{Length, Mass};
use tallyhook::record::batch::{BatchKind, BatchPlan, Meat, PieceHung};
use tallyhook::record::event::{Event, Happening, Subject};
use tallyhook::record::ids::{BatchId, ChamberId, EventId, GroupId, MemberId, PieceNumber};
use tallyhook::record::state::BatchState;

fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, 25).unwrap()
}

/// A batch of 50 mm muscles, 6 kg in all, with so many pieces hung of which each raw weight may be known.
fn batch(meat_grams: f64, raw: &[Option<f64>]) -> BatchState {
    let plan = BatchPlan {
        name: "Neck".into(),
        owner: MemberId(1),
        group: GroupId(1),
        kind: BatchKind::WholeMuscle,
        meats: vec![Meat { species: "pork".into(), mass: Mass::grams(meat_grams) }],
        thickness: Some(Length::millimetres(50.0)),
        target_loss: None,
        target_ph: None,
        chamber: ChamberId(1),
    };
    let pieces = (1..)
        .zip(raw)
        .map(|(number, raw)| PieceHung {
            number: PieceNumber(number),
            hung: Mass::grams(raw.unwrap_or(900.0)),
            tare: Mass::grams(0.0),
            before_cure: raw.map(Mass::grams),
        })
        .collect();
    let event = |number: i64, what| Event {
        id: EventId(number),
        subject: Subject::Batch(BatchId(1)),
        at: DateTime::<Utc>::UNIX_EPOCH + TimeDelta::hours(number),
        recorded_at: DateTime::UNIX_EPOCH,
        author: None,
        zone: "UTC".into(),
        what,
        typed: String::new(),
    };
    let events = [event(1, Happening::Started { plan }), event(2, Happening::PiecesHung { pieces })];
    BatchState::rebuild(&events).unwrap()
}

fn days(state: &BatchState, method: Method) -> u32 {
    time_of_batch(state, Some(method), today()).unwrap().days
}

/// Dry cure, 3 days a pound, and sweet pickle, 3 1/2 to 4 days a pound (USDA Farmers' Bulletin 2265, 1978, rev.
/// 1981). By hand: 6 kg are 13.228 lb, 39.68 days dry and 52.91 days in the pickle; 50 mm are only 13.78 days.
#[test]
fn the_weight_of_the_meat_lengthens_the_cure() {
    let state = batch(6000.0, &[]);
    assert_eq!(days(&state, Method::Dry), 40);
    assert_eq!(days(&state, Method::Immersion), 53);
    // For pumping no custom is held: as for a dry cure.
    assert_eq!(days(&state, Method::Inject), 40);
}

/// 2500 g are 5.512 lb: 16.53 days at 3 days a pound.
#[test]
fn the_heaviest_raw_piece_counts_where_every_one_is_known() {
    let state = batch(6000.0, &[Some(1800.0), Some(2500.0), Some(1700.0)]);
    assert_eq!(days(&state, Method::Dry), 17);
}

#[test]
fn a_piece_of_unknown_raw_weight_may_be_the_heaviest() {
    let state = batch(6000.0, &[Some(1800.0), None]);
    assert_eq!(days(&state, Method::Dry), 40);
}

/// As long again, and never less than the week of the jambon rule (Annex II to Reg. (EC) 1333/2008).
#[test]
fn the_rest_follows_the_weight_too() {
    let time = time_of_batch(&batch(6000.0, &[]), Some(Method::Dry), today()).unwrap();
    assert_eq!(time.rest_days, 40);
}
