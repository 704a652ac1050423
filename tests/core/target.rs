//! Target weight and loss against worked examples and a published drying series.
#![expect(clippy::unwrap_used, reason = "a story that cannot be told fails its test")]

use crate::reference;
use chrono::{DateTime, TimeDelta, Utc};
use proptest::prelude::*;
use tallyhook::curing::drying::progress::BatchProgress;
use tallyhook::curing::drying::target::Green;
use tallyhook::quantity::{Fraction, Mass};
use tallyhook::record::batch::{BatchKind, BatchPlan, PieceHung};
use tallyhook::record::event::{Event, Happening, Subject};
use tallyhook::record::ids::{BatchId, ChamberId, EventId, GroupId, MemberId, PieceNumber};
use tallyhook::record::state::BatchState;

#[test]
fn worked_targets() {
    reference::load("target_weight.csv").each(|row| {
        let (gross, tare) = (Mass::grams(row.number("gross_g")), Mass::grams(row.number("tare_g")));
        let green = Green::from_scale(gross, tare).map_err(|mistake| mistake.to_string())?;
        let loss = Fraction::percent(row.number("target_percent"));
        let target = green.target(loss).map_err(|mistake| mistake.to_string())?;
        let now = Mass::grams(row.number("now_g"));
        let gone = green.loss_at(now).map_err(|mistake| mistake.to_string())?;
        row.close("loss_percent", gone.as_percent(), 0.005)?;
        row.close("target_net_g", target.net().as_grams(), 0.005)?;
        row.close("target_on_scale_g", target.on_scale().as_grams(), 0.005)?;
        let left = target.left_to_lose(now).map_err(|mistake| mistake.to_string())?;
        row.close("left_to_lose_g", left.as_grams(), 0.005)?;
        let reached = if target.is_reached_at(gone) { "yes" } else { "no" };
        if reached == row.text("reached") {
            return Ok(());
        }
        Err(format!("reached: computed {reached}"))
    });
}

/// What a 1000 g piece weighs on each day of a series: the published losses put on one kilogram.
fn weighings(series: &str) -> Vec<(u32, f64)> {
    let rows = reference::load("galician_chorizo.csv").rows;
    let of_series = rows.iter().filter(|row| row.text("series") == series);
    of_series.map(|row| (row.number("day") as u32, 1000.0 - 10.0 * row.number("loss_pct"))).collect()
}

fn day(number: u32) -> DateTime<Utc> {
    DateTime::UNIX_EPOCH + TimeDelta::days(i64::from(number))
}

/// A batch of one piece of 1000 g, hung on day 0 and weighed up to a day; on day 0 as well.
fn chorizo(series: &str, target: Fraction, until: u32) -> BatchState {
    let batch = BatchId(1);
    let plan = BatchPlan {
        name: "chorizo".into(),
        owner: MemberId(1),
        group: GroupId(1),
        kind: BatchKind::FermentedSausage,
        meats: Vec::new(),
        thickness: None,
        target_loss: Some(target),
        target_ph: None,
        chamber: ChamberId(1),
    };
    let hung = PieceHung {
        number: PieceNumber(1),
        hung: Mass::grams(1000.0),
        tare: Mass::grams(0.0),
        before_cure: None,
    };
    let event = |number: i64, on: u32, subject, what| Event {
        id: EventId(number),
        subject,
        at: day(on),
        recorded_at: day(on),
        author: None,
        zone: "Europe/Madrid".into(),
        what,
        typed: String::new(),
    };
    let mut events = vec![
        event(1, 0, Subject::Batch(batch), Happening::Started { plan }),
        event(2, 0, Subject::Batch(batch), Happening::PiecesHung { pieces: vec![hung] }),
    ];
    for (place, (on, grams)) in (3..).zip(weighings(series)).filter(|(_, (on, _))| *on <= until) {
        let piece = Subject::Piece(batch, PieceNumber(1));
        let gross = Mass::grams(grams);
        events.push(event(place, on, piece, Happening::Weighed { gross }));
    }
    BatchState::rebuild(&events).unwrap()
}

fn first_flagged(series: &str, target: Fraction) -> Option<u32> {
    let mut days = weighings(series).into_iter().map(|(on, _)| on);
    days.find(|on| BatchProgress::of(&chorizo(series, target, *on), |at| at.date_naive()).all_reached())
}

#[test]
fn a_published_series_gives_its_losses() {
    let series = reference::load("galician_chorizo.csv");
    series.each(|row| {
        let on = row.number("day") as u32;
        let batch = chorizo(row.text("series"), Fraction::percent(38.0), on);
        let progress = BatchProgress::of(&batch, |at| at.date_naive());
        let piece = progress.pieces.first().ok_or("the piece is gone")?;
        row.close("loss_pct", piece.loss.as_percent(), 0.005)?;
        let batch = progress.batch.ok_or("the batch has no loss")?;
        row.close("loss_pct", batch.loss.as_percent(), 0.005)
    });
}

#[test]
fn the_target_is_flagged_on_the_first_weighing_past_it() {
    // By hand from the table: 37.31 and 35.57 % on day 14, 44.12 and 42.52 % on day 21.
    for series in ["galchorizo_CNT", "galchorizo_EQU"] {
        assert_eq!(first_flagged(series, Fraction::percent(38.0)), Some(21), "{series}");
        assert_eq!(first_flagged(series, Fraction::percent(35.0)), Some(14), "{series}");
        assert_eq!(first_flagged(series, Fraction::percent(60.0)), None, "{series}");
    }
}

proptest! {
    /// Weight → loss → target weight → what the scale shows is the weight again.
    #[test]
    fn there_and_back(gross in 10_000u32..50_000, tare in 0u32..5_000, percent in 1u32..750) {
        let (gross, tare) = (Mass::grams(f64::from(gross) / 10.0), Mass::grams(f64::from(tare) / 10.0));
        let green = Green::from_scale(gross, tare).unwrap();
        let loss = Fraction::percent(f64::from(percent) / 10.0);
        let target = green.target(loss).unwrap();
        let back = green.loss_back(target.on_scale()).unwrap();
        prop_assert!((back.as_one() - loss.as_one()).abs() < 1e-12);
        prop_assert!(target.is_reached_at(back));
        prop_assert!(target.left_to_lose(target.on_scale()).unwrap().as_grams() <= 0.0);
    }
}
