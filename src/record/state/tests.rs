//! The fold: what a batch is after its entries, in whatever order they were written.

use super::*;
use crate::quantity::{Fraction, Ph};
use crate::record::{BatchKind, GroupId, Meat, MemberId, Rating};
use chrono::TimeDelta;

const BATCH: BatchId = BatchId(1);

fn hour(hours: i64) -> DateTime<Utc> {
    DateTime::from_timestamp(1_790_000_000, 0).unwrap() + TimeDelta::hours(hours)
}

fn event(id: i64, hours: i64, subject: Subject, what: Happening) -> Event {
    Event {
        id: EventId(id),
        subject,
        at: hour(hours),
        recorded_at: hour(hours),
        author: None,
        zone: "UTC".to_owned(),
        what,
        typed: String::new(),
    }
}

fn started() -> Event {
    let plan = BatchPlan {
        name: "One".to_owned(),
        owner: MemberId(1),
        group: GroupId(1),
        kind: BatchKind::DriedSausage,
        meats: vec![Meat { species: "pork".to_owned(), mass: Mass::grams(1000.0) }],
        thickness: None,
        target_loss: Some(Fraction::percent(38.0)),
        target_ph: Some(Ph::new(5.1)),
        chamber: ChamberId(1),
    };
    event(1, 0, Subject::Batch(BATCH), Happening::Started { plan })
}

fn hung(id: i64, hours: i64, grams: f64) -> Event {
    let piece = PieceHung {
        number: PieceNumber(1),
        hung: Mass::grams(grams),
        tare: Mass::grams(0.0),
        before_cure: None,
    };
    event(id, hours, Subject::Batch(BATCH), Happening::PiecesHung { pieces: vec![piece] })
}

fn weighed(id: i64, hours: i64, grams: f64) -> Event {
    let gross = Mass::grams(grams);
    event(id, hours, Subject::Piece(BATCH, PieceNumber(1)), Happening::Weighed { gross })
}

fn last_grams(events: &[Event]) -> f64 {
    BatchState::rebuild(events).unwrap().pieces[0].last_gross().0.as_grams()
}

#[test]
fn entries_count_by_their_time_in_whatever_order_they_came() {
    let mut events = vec![weighed(4, 20, 800.0), started(), weighed(3, 30, 700.0), hung(2, 1, 1000.0)];
    let state = BatchState::rebuild(&events).unwrap();
    assert!((last_grams(&events) - 700.0).abs() < 1e-9);
    events.reverse();
    assert_eq!(BatchState::rebuild(&events).unwrap(), state);
}

#[test]
fn folding_at_the_end_is_folding_again() {
    let (mut events, next) = (vec![started(), hung(2, 1, 1000.0)], weighed(3, 10, 900.0));
    let mut state = BatchState::rebuild(&events).unwrap();
    assert!(state.takes_at_end(&next));
    state.fold(&next);
    events.push(next);
    assert_eq!(BatchState::rebuild(&events).unwrap(), state);
    assert!(!state.takes_at_end(&weighed(4, 5, 950.0)));
}

#[test]
fn what_a_piece_weighed_before_it_was_hung_anew_does_not_count() {
    let events = [started(), hung(2, 1, 1000.0), weighed(3, 10, 900.0), hung(4, 20, 880.0)];
    assert!((last_grams(&events) - 880.0).abs() < 1e-9);
}

#[test]
fn a_look_at_an_earlier_moment_knows_nothing_later_but_the_corrections() {
    let undo = event(5, 40, Subject::Piece(BATCH, PieceNumber(1)), Happening::Undone { of: EventId(3) });
    let events = [started(), hung(2, 1, 1000.0), weighed(3, 10, 900.0), weighed(4, 30, 700.0), undo];
    let then = BatchState::rebuild_as_of(&events, hour(20)).unwrap();
    assert!((then.pieces[0].last_gross().0.as_grams() - 1000.0).abs() < 1e-9);
    assert!((last_grams(&events) - 700.0).abs() < 1e-9);
}

#[test]
fn an_undone_undo_has_no_effect_and_the_last_change_counts() {
    let of_piece = |id, what| event(id, 50, Subject::Piece(BATCH, PieceNumber(1)), what);
    let change = |id, grams: f64| {
        let to = Box::new(Happening::Weighed { gross: Mass::grams(grams) });
        Event { at: hour(10), ..of_piece(id, Happening::Changed { of: EventId(3), to }) }
    };
    let mut events = vec![started(), hung(2, 1, 1000.0), weighed(3, 10, 900.0)];
    events.push(change(4, 890.0));
    events.push(change(5, 880.0));
    assert!((last_grams(&events) - 880.0).abs() < 1e-9);
    events.push(of_piece(6, Happening::Undone { of: EventId(5) }));
    assert!((last_grams(&events) - 890.0).abs() < 1e-9);
    events.push(of_piece(7, Happening::Undone { of: EventId(6) }));
    assert!((last_grams(&events) - 880.0).abs() < 1e-9);
}

#[test]
fn a_piece_that_left_and_was_hung_again_hangs() {
    let left = event(
        3,
        2,
        Subject::Piece(BATCH, PieceNumber(1)),
        Happening::PieceLeft { fate: PieceFate::Packed, reason: String::new() },
    );
    let mut events = vec![started(), hung(2, 1, 1000.0), left];
    assert_eq!(BatchState::rebuild(&events).unwrap().hanging().count(), 0);
    events.push(hung(4, 3, 700.0));
    let state = BatchState::rebuild(&events).unwrap();
    assert_eq!(state.pieces[0].left, None);
    assert_eq!(state.hanging().count(), 1);
}

#[test]
fn a_batch_that_was_kept_before_batches_were_rated_is_read_and_ratings_add_up() {
    let state = BatchState::rebuild(&[started(), hung(2, 1, 900.0)]).unwrap();
    let mut kept = serde_json::to_value(&state).unwrap();
    kept.as_object_mut().unwrap().remove("appraisal").unwrap();
    assert_eq!(serde_json::from_value::<BatchState>(kept).unwrap(), state);
    let rated = |id, taste, look| {
        let appraisal =
            Appraisal { taste: Rating::new(taste), look: Rating::new(look), ..Appraisal::default() };
        event(id, id, Subject::Batch(BATCH), Happening::Appraised { appraisal })
    };
    let undone = event(5, 5, Subject::Batch(BATCH), Happening::Undone { of: EventId(4) });
    let entries = [started(), hung(2, 1, 900.0), rated(3, 2, 5), rated(4, 4, 0)];
    let after = BatchState::rebuild(&entries).unwrap().appraisal;
    assert_eq!((after.taste, after.look), (Rating::new(4), Rating::new(5)), "what is not said again stays");
    let entries = [&entries[..], &[undone]].concat();
    assert_eq!(BatchState::rebuild(&entries).unwrap().appraisal.taste, Rating::new(2));
    let again: Vec<Event> = serde_json::from_str(&serde_json::to_string(&entries).unwrap()).unwrap();
    assert_eq!(again, entries, "an export is read again as it was");
}
