use super::*;
use crate::quantity::Mass;
use crate::record::batch::{BatchPlan, PieceHung};
use crate::record::event::{Event, Happening, Subject};
use crate::record::ids::{EventId, GroupId};
use chrono::TimeDelta;

const BATCH: BatchId = BatchId(1);
const CURING: ChamberId = ChamberId(1);
const DRYING: ChamberId = ChamberId(2);

fn day(days: i64) -> DateTime<Utc> {
    DateTime::UNIX_EPOCH + TimeDelta::days(days)
}

fn entry(id: i64, at: DateTime<Utc>, subject: Subject, what: Happening) -> Event {
    Event {
        id: EventId(id),
        subject,
        at,
        recorded_at: at,
        author: None,
        zone: "UTC".into(),
        what,
        typed: String::new(),
    }
}

/// Two pieces of 1000 g net and 20 g tare, hung on day 2; target 30 %.
fn hung() -> Vec<Event> {
    let plan = BatchPlan {
        name: "sticks".into(),
        owner: MemberId(1),
        group: GroupId(1),
        kind: BatchKind::DriedSausage,
        meats: Vec::new(),
        thickness: Some(Length::millimetres(50.0)),
        target_loss: Some(Fraction::percent(30.0)),
        target_ph: None,
        chamber: CURING,
    };
    let piece = |number| PieceHung {
        number: PieceNumber(number),
        hung: Mass::grams(1020.0),
        tare: Mass::grams(20.0),
        before_cure: None,
    };
    vec![
        entry(1, day(0), Subject::Batch(BATCH), Happening::Started { plan }),
        entry(2, day(2), Subject::Batch(BATCH), Happening::PiecesHung { pieces: vec![piece(1), piece(2)] }),
        entry(3, day(4), Subject::Batch(BATCH), Happening::Moved { chamber: DRYING }),
    ]
}

fn weighed(id: i64, days: i64, piece: u32, net_g: f64) -> Event {
    let subject = Subject::Piece(BATCH, PieceNumber(piece));
    entry(id, day(days), subject, Happening::Weighed { gross: Mass::grams(net_g + 20.0) })
}

fn finished(id: i64, days: i64) -> Event {
    let what = Happening::StageReached { stage: BatchStage::Finished };
    entry(id, day(days), Subject::Batch(BATCH), what)
}

fn dried(more: impl IntoIterator<Item = Event>) -> Option<DriedBatch> {
    let mut events = hung();
    events.extend(more);
    DriedBatch::of(&BatchState::rebuild(&events).unwrap())
}

fn close(found: Option<f64>, expected: f64) {
    assert!((found.unwrap() - expected).abs() < 1e-9, "{found:?} is not {expected}");
}

#[test]
fn losses_and_days_lie_on_the_line_between_weighings() {
    // 10 % on day 4 since hanging, 25 % on day 10, 35 % on day 20.
    let weighings =
        [weighed(4, 6, 1, 900.0), weighed(5, 12, 1, 750.0), weighed(6, 22, 1, 650.0), finished(7, 30)];
    let batch = dried(weighings).unwrap();
    let piece = &batch.pieces[0];
    let loss = |day| piece.curve.loss_at(day).map(Fraction::as_percent);
    close(loss(0.0), 0.0);
    close(loss(2.0), 5.0);
    close(loss(4.0), 10.0);
    close(loss(7.0), 17.5);
    close(loss(20.0), 35.0);
    assert_eq!(loss(20.5), None, "nothing is said after the last weighing");
    // 30 % is half-way between 25 % on day 10 and 35 % on day 20.
    close(piece.target_day, 15.0);
    assert_eq!(batch.pieces[1].target_day, None, "a piece that was never weighed did not get there");
    assert_eq!((batch.ended, batch.ended_at), (Ended::Finished, day(30)));
}

#[test]
fn a_piece_that_left_before_its_target_has_no_day() {
    let left = |id, days| {
        let subject = Subject::Piece(BATCH, PieceNumber(1));
        let what = Happening::PieceLeft { fate: PieceFate::Eaten, reason: String::new() };
        entry(id, day(days), subject, what)
    };
    // 25 % when it left; a weight written down for a later day is not of it any more.
    let early = [weighed(4, 12, 1, 750.0), left(5, 12), weighed(6, 22, 1, 650.0), finished(7, 30)];
    let batch = dried(early).unwrap();
    assert_eq!(batch.pieces[0].target_day, None);
    assert_eq!(batch.pieces[0].curve.points().len(), 1);
    let late = [weighed(4, 12, 1, 750.0), weighed(5, 22, 1, 650.0), left(6, 22), finished(7, 30)];
    close(dried(late).unwrap().pieces[0].target_day, 15.0);
}

#[test]
fn a_batch_that_goes_on_is_none_and_one_thrown_away_says_so() {
    assert_eq!(dried([weighed(4, 12, 1, 750.0)]), None);
    let thrown = entry(5, day(9), Subject::Batch(BATCH), Happening::Discarded { reason: "mould".into() });
    assert_eq!(dried([thrown]).unwrap().ended, Ended::Discarded);
    let out = |id, piece| {
        let what = Happening::PieceLeft { fate: PieceFate::Discarded, reason: "mould".into() };
        entry(id, day(9), Subject::Piece(BATCH, PieceNumber(piece)), what)
    };
    assert_eq!(dried([out(4, 1), out(5, 2), finished(6, 9)]).unwrap().ended, Ended::Discarded);
    assert_eq!(dried([out(4, 1), finished(6, 9)]).unwrap().ended, Ended::Finished);
}

#[test]
fn it_counts_for_the_chamber_it_hung_in_longest() {
    // Day 2 to 4 in the first, day 4 to 30 in the second.
    assert_eq!(dried([finished(4, 30)]).unwrap().chamber, DRYING);
    assert_eq!(dried([finished(4, 5)]).unwrap().chamber, CURING);
}

#[test]
fn of_two_weighings_at_one_moment_the_later_entry_counts() {
    let batch = dried([weighed(4, 12, 1, 750.0), weighed(5, 12, 1, 700.0), finished(6, 30)]).unwrap();
    let points = batch.pieces[0].curve.points();
    assert_eq!(points.len(), 1);
    close(Some(points[0].loss.as_percent()), 30.0);
}

#[test]
fn a_piece_with_impossible_weights_is_left_out() {
    let heavier = Happening::TareSet { tare: Mass::grams(1100.0) };
    let tare = entry(5, day(13), Subject::Batch(BATCH), heavier);
    assert!(dried([weighed(4, 12, 1, 750.0), tare, finished(6, 30)]).unwrap().pieces.len() < 2);
}
