use super::*;
use crate::quantity::Fraction;
use crate::record::batch::{BatchKind, BatchPlan, PieceFate, PieceHung};
use crate::record::event::{Event, Happening, Subject};
use crate::record::ids::{BatchId, ChamberId, EventId, GroupId, MemberId};
use chrono::TimeDelta;

const BATCH: BatchId = BatchId(1);

fn at(day: i64, hour: i64) -> DateTime<Utc> {
    DateTime::UNIX_EPOCH + TimeDelta::days(day) + TimeDelta::hours(hour)
}

struct Story(Vec<Event>);

impl Story {
    /// Pieces of these gross weights hung on day 0 with a tare of 30 g each; target 38 %.
    fn hung(gross: &[f64]) -> Self {
        let plan = BatchPlan {
            name: "sticks".into(),
            owner: MemberId(1),
            group: GroupId(1),
            kind: BatchKind::FermentedSausage,
            meats: Vec::new(),
            thickness: None,
            target_loss: Some(Fraction::percent(38.0)),
            target_ph: None,
            chamber: ChamberId(1),
        };
        let pieces = (1..).zip(gross).map(|(number, grams)| piece(number, *grams));
        let pieces = pieces.collect();
        Self(Vec::new()).happens(at(0, 0), Subject::Batch(BATCH), Happening::Started { plan }).happens(
            at(0, 1),
            Subject::Batch(BATCH),
            Happening::PiecesHung { pieces },
        )
    }

    fn happens(mut self, at: DateTime<Utc>, subject: Subject, what: Happening) -> Self {
        self.0.push(Event {
            id: EventId(self.0.last().map_or(1, |last| last.id.0 + 1)),
            subject,
            at,
            recorded_at: at,
            author: None,
            zone: "UTC".into(),
            what,
            typed: String::new(),
        });
        self
    }

    fn weighed(self, at: DateTime<Utc>, number: u32, grams: f64) -> Self {
        let gross = Mass::grams(grams);
        self.happens(at, Subject::Piece(BATCH, PieceNumber(number)), Happening::Weighed { gross })
    }

    fn weighed_whole(self, at: DateTime<Utc>, grams: f64) -> Self {
        let gross = Mass::grams(grams);
        self.happens(at, Subject::Batch(BATCH), Happening::Weighed { gross })
    }

    fn eaten(self, at: DateTime<Utc>, number: u32) -> Self {
        let what = Happening::PieceLeft { fate: PieceFate::Eaten, reason: String::new() };
        self.happens(at, Subject::Piece(BATCH, PieceNumber(number)), what)
    }

    fn progress(&self) -> BatchProgress {
        BatchProgress::of(&BatchState::rebuild(&self.0).unwrap(), |at| at.date_naive())
    }
}

fn piece(number: u32, grams: f64) -> PieceHung {
    PieceHung {
        number: PieceNumber(number),
        hung: Mass::grams(grams),
        tare: Mass::grams(30.0),
        before_cure: None,
    }
}

fn percent(loss: Fraction) -> String {
    format!("{:.2}", loss.as_percent())
}

#[test]
fn a_piece_that_was_only_hung_has_lost_nothing() {
    let progress = Story::hung(&[1030.0]).progress();
    let first = progress.pieces.first().unwrap();
    assert_eq!(percent(first.loss), "0.00");
    assert!((first.left_to_lose.unwrap().as_grams() - 380.0).abs() < 1e-9);
    assert_eq!(progress.batch, None);
    assert!(!progress.all_reached());
}

#[test]
fn the_batch_goes_by_the_pieces_weighed_that_day_only() {
    let story = Story::hung(&[1030.0, 1030.0, 2030.0])
        .weighed(at(10, 8), 3, 1430.0)
        .weighed(at(20, 8), 1, 650.0)
        .weighed(at(20, 20), 2, 730.0);
    let progress = story.progress();
    let batch = progress.batch.unwrap();
    // 1 − (620 + 700) ÷ 2000
    assert_eq!(percent(batch.loss), "34.00");
    assert_eq!(batch.pieces, [PieceNumber(1), PieceNumber(2)]);
    assert_eq!(batch.at, at(20, 20));
    let reached: Vec<_> = progress.pieces.iter().map(|piece| piece.reached).collect();
    assert_eq!(reached, [true, false, false]);
}

#[test]
fn a_piece_that_left_counts_no_more() {
    let story = Story::hung(&[1030.0, 1030.0])
        .weighed(at(20, 8), 1, 650.0)
        .weighed(at(20, 8), 2, 730.0)
        .eaten(at(21, 8), 2);
    let progress = story.progress();
    assert_eq!(progress.pieces.len(), 1);
    assert_eq!(percent(progress.batch.clone().unwrap().loss), "38.00");
    assert!(progress.all_reached());
}

#[test]
fn the_whole_batch_on_the_scale_stands_for_the_pieces_that_hung_then() {
    // 3 × 30 g of tare: 1 − (2440 − 90) ÷ 3000 until one is eaten.
    let story = Story::hung(&[1030.0, 1030.0, 1030.0]).weighed_whole(at(20, 8), 2440.0);
    let whole = story.progress().batch.unwrap();
    assert!(whole.weighed_as_a_whole);
    assert_eq!(percent(whole.loss), "21.67");
    let later = story.eaten(at(21, 8), 3).weighed_whole(at(22, 8), 1460.0);
    let whole = later.progress().batch.unwrap();
    assert_eq!(whole.pieces.len(), 2);
    assert_eq!(percent(whole.loss), "30.00");
    // Pieces weighed after that speak again for themselves.
    let apart = later.weighed(at(23, 8), 1, 700.0).progress().batch.unwrap();
    assert!(!apart.weighed_as_a_whole);
    assert_eq!(percent(apart.loss), "33.00");
}

#[test]
fn a_piece_hung_anew_forgets_its_older_weighings() {
    let again = Happening::PiecesHung { pieces: vec![piece(1, 930.0)] };
    let story =
        Story::hung(&[1030.0]).weighed(at(5, 8), 1, 980.0).happens(at(6, 8), Subject::Batch(BATCH), again);
    let progress = story.progress();
    assert_eq!(percent(progress.pieces.first().unwrap().loss), "0.00");
    assert_eq!(progress.batch, None);
}

#[test]
fn a_tare_heavier_than_the_piece_leaves_no_figure() {
    let tare = Mass::grams(2000.0);
    let story = Story::hung(&[1030.0]).happens(at(1, 0), Subject::Batch(BATCH), Happening::TareSet { tare });
    assert_eq!(story.progress(), BatchProgress::default());
}
