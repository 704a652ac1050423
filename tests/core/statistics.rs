//! What a group's batches tell together, against an independent library; and what must make no difference.

use crate::reference::{self, Row};
use chrono::{DateTime, TimeDelta, Utc};
use proptest::prelude::*;
use std::collections::BTreeMap;
use tallyhook::curing::drying::finished::DriedBatch;
use tallyhook::curing::statistics::dryings::{cells, chosen, curve, days_to_target, losses_on};
use tallyhook::curing::statistics::{Comparison, Missing, Quartiles};
use tallyhook::quantity::{Fraction, Length, Mass};
use tallyhook::record::state::{Piece, Weighing};
use tallyhook::record::{
    BatchId, BatchKind, BatchPlan, BatchStage, BatchState, ChamberId, Event, EventId, GroupId, Happening,
    MemberId, PieceHung, PieceNumber, Subject,
};

fn day(days: f64) -> DateTime<Utc> {
    DateTime::UNIX_EPOCH + TimeDelta::minutes((days * 1440.0) as i64)
}

/// A batch whose pieces were hung on the day of its number; weights are net grams times `unit_g`.
fn batch(
    number: i64,
    member: i64,
    kind: BatchKind,
    millimetres: f64,
    pieces: &str,
    unit_g: f64,
) -> BatchState {
    let plan = BatchPlan {
        name: format!("batch {number}"),
        owner: MemberId(member),
        group: GroupId(1),
        kind,
        meats: Vec::new(),
        thickness: Some(Length::millimetres(millimetres)),
        target_loss: Some(Fraction::percent(35.0)),
        target_ph: None,
        chamber: ChamberId(1),
    };
    let start = Event {
        id: EventId(1),
        subject: Subject::Batch(BatchId(number)),
        at: day(0.0),
        recorded_at: day(0.0),
        author: None,
        zone: "UTC".into(),
        what: Happening::Started { plan },
        typed: String::new(),
    };
    let mut state = BatchState::started(&start).unwrap();
    state.pieces = (1..).zip(pieces.split(';')).map(|(of, text)| piece(of, number, text, unit_g)).collect();
    state.stages.push((BatchStage::Finished, day(200.0 + number as f64)));
    state
}

fn piece(of: u32, number: i64, text: &str, unit_g: f64) -> Piece {
    let tare = Mass::grams(25.0);
    let points: Vec<(f64, f64)> = text
        .split_whitespace()
        .map(|point| point.split_once(':').unwrap())
        .map(|(days, net)| (days.parse().unwrap(), net.parse().unwrap()))
        .collect();
    let gross = |net: f64| Mass::grams(net * unit_g) + tare;
    let hung = PieceHung { number: PieceNumber(of), hung: gross(points[0].1), tare, before_cure: None };
    let hung_at = day(number as f64);
    let weighings = (2..).zip(&points[1..]).map(|(event, (days, net))| Weighing {
        event: EventId(event),
        at: day(number as f64 + days),
        gross: gross(*net),
    });
    Piece { hung, hung_at, weighings: weighings.collect(), left: None }
}

fn of_rows(rows: &[Row], unit_g: f64) -> Vec<DriedBatch> {
    let of_row = |(number, row): (i64, &Row)| {
        let kind = BatchKind::parse(row.text("kind")).unwrap();
        let member = row.number("member") as i64;
        let state = batch(number, member, kind, row.number("diameter_mm"), row.text("pieces"), unit_g);
        DriedBatch::of(&state).unwrap()
    };
    (1..).zip(rows).map(of_row).collect()
}

fn batches() -> Vec<DriedBatch> {
    of_rows(&reference::load("group_dryings.csv").rows, 1.0)
}

#[test]
fn quartiles_as_numpy_has_them() {
    reference::load("quartiles_numpy.csv").each(|row| {
        let values: Vec<f64> = row.text("values").split(' ').map(|value| value.parse().unwrap()).collect();
        let count = values.len();
        let found = Quartiles::of(values).unwrap();
        row.close("low", found.low, 1e-9)?;
        row.close("middle", found.middle, 1e-9)?;
        row.close("high", found.high, 1e-9)?;
        if found.count == count { Ok(()) } else { Err(format!("{} counted", found.count)) }
    });
    assert_eq!(Quartiles::of(Vec::new()), None);
}

#[test]
fn a_batch_reaches_its_target_with_its_median_piece() {
    let of_number: BTreeMap<i64, DriedBatch> =
        batches().into_iter().map(|batch| (batch.id.0, batch)).collect();
    let rows = reference::load("group_dryings.csv");
    for (number, row) in (1..).zip(&rows.rows) {
        let mut days: Vec<f64> =
            of_number[&number].pieces.iter().filter_map(|piece| piece.target_day).collect();
        days.sort_by(f64::total_cmp);
        let median = Quartiles::of(days).map(|quartiles| quartiles.middle);
        match (row.optional_number("target_day"), median) {
            (None, None) => {}
            (Some(_), Some(found)) => row.close("target_day", found, 1e-9).unwrap(),
            (printed, found) => panic!("batch {number}: {found:?}, not {printed:?}"),
        }
    }
}

#[test]
fn cells_and_curves_as_numpy_has_them() {
    let batches = batches();
    reference::load("group_quartiles.csv").each(|row| {
        let kind = BatchKind::parse(row.text("kind")).unwrap();
        let thickness = Length::millimetres(row.number("diameter_mm"));
        let of_cell = chosen(&batches, &[kind], Some(thickness));
        let found = match row.optional_number("day") {
            None => days_to_target(&of_cell),
            Some(day) => losses_on(&of_cell, day),
        };
        let count = row.number("count") as usize;
        match (row.optional("low"), found) {
            (None, Err(missing)) if missing.batches == count => Ok(()),
            (Some(_), Ok(found)) if found.count == count => {
                row.close("low", found.low, 1e-9)?;
                row.close("middle", found.middle, 1e-9)?;
                row.close("high", found.high, 1e-9)
            }
            (_, found) => Err(format!("{found:?}")),
        }
    });
}

#[test]
fn a_typical_curve_ends_where_too_few_still_hang() {
    let batches = batches();
    let thick = chosen(&batches, &[BatchKind::WholeMuscle], Some(Length::millimetres(90.0)));
    let days = [42.0, 60.0, 90.0];
    let told: Vec<f64> = curve(&thick, &days).into_iter().map(|on| on.day).collect();
    assert_eq!(told, [42.0]);
}

#[test]
fn a_batch_beside_the_group_and_beside_ones_own() {
    // The group's five batches of three members lose 10, 12, … 18 % by day 10; one's own are numbers 1 and 4, of
    // 10 and 16 %. Number 9 is hung after them and has lost 13 % by day 10. The quartiles by hand.
    let of = |number: i64, member: i64, grams: i64| {
        batch(number, member, BatchKind::DriedSausage, 50.0, &format!("0:1000 10:{grams} 30:600"), 1.0)
    };
    let states: Vec<BatchState> = [(1, 1, 900), (2, 2, 880), (3, 2, 860), (4, 1, 840), (5, 3, 820)]
        .map(|(number, member, grams)| of(number, member, grams))
        .into();
    let shown: Vec<DriedBatch> = states.iter().filter_map(DriedBatch::of).collect();
    let own: Vec<DriedBatch> = shown.iter().filter(|batch| batch.owner == MemberId(1)).cloned().collect();
    let mut current = batch(9, 1, BatchKind::FermentedSausage, 45.0, "0:1000 10:870", 1.0);
    current.stages.pop();
    let found = Comparison::of(&current, &shown, &own).unwrap();
    assert!((found.day - 10.0).abs() < 1e-9 && (found.loss.as_percent() - 13.0).abs() < 1e-9);
    let group = found.group.unwrap().unwrap();
    let percent = [group.low, group.middle, group.high].map(|part| (part * 1000.0).round() / 10.0);
    assert_eq!((percent, group.count), ([12.0, 14.0, 16.0], 5));
    let own: Vec<f64> = found.own.iter().map(|loss| loss.as_percent().round()).collect();
    assert_eq!(own, [16.0, 10.0], "the latest first");
    // Held beside itself a shared batch is not among the others.
    let found = Comparison::of(&states[4], &shown, &[]).unwrap();
    assert_eq!(found.group, Some(Err(Missing { batches: 4, members: 2 })));
    let muscle = batch(9, 1, BatchKind::WholeMuscle, 50.0, "0:1000 10:870", 1.0);
    let found = Comparison::of(&muscle, &shown, &shown).unwrap();
    assert_eq!((found.group, found.own.len()), (Some(Err(Missing { batches: 0, members: 0 })), 0));
    let unweighed = batch(9, 1, BatchKind::DriedSausage, 50.0, "0:1000", 1.0);
    assert_eq!(Comparison::of(&unweighed, &shown, &[]), None);
}

#[test]
fn pieces_weighed_in_one_round_are_held_together() {
    // The second piece is weighed a quarter of an hour after the first: day 10 and 10.01.
    let state = batch(1, 1, BatchKind::DriedSausage, 50.0, "0:1000 10:900; 0:1000 10.0104:800", 1.0);
    let found = Comparison::of(&state, &[], &[]).unwrap();
    assert!((found.loss.as_percent() - 15.0).abs() < 1e-6, "{:?}", found.loss);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]
    #[test]
    fn the_order_of_batches_makes_no_difference(order in Just((0..23).collect::<Vec<usize>>()).prop_shuffle()) {
        let batches = batches();
        prop_assert_eq!(batches.len(), order.len());
        let told: Vec<&DriedBatch> = batches.iter().collect();
        let turned: Vec<&DriedBatch> = order.iter().map(|place| &batches[*place]).collect();
        prop_assert_eq!(cells(&told), cells(&turned));
        prop_assert_eq!(curve(&told, &[7.0, 21.0]), curve(&turned, &[7.0, 21.0]));
    }

    /// Grams, ounces or anything else: a loss is a part.
    #[test]
    fn the_unit_of_the_weights_makes_no_difference(unit_g in 0.5..50.0f64) {
        let rows = reference::load("group_dryings.csv").rows;
        let (grams, other) = (of_rows(&rows, 1.0), of_rows(&rows, unit_g));
        let kinds = [BatchKind::WholeMuscle];
        let days = |batches: &[DriedBatch]| days_to_target(&chosen(batches, &kinds, None)).unwrap();
        let (one, two) = (days(&grams), days(&other));
        prop_assert_eq!(one.count, two.count);
        for (one, two) in [(one.low, two.low), (one.middle, two.middle), (one.high, two.high)] {
            prop_assert!((one - two).abs() < 1e-6, "{one} and {two}");
        }
    }
}
