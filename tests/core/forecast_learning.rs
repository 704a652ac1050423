//! What finished batches and logged air add to the finish window.

use proptest::prelude::*;
use tallyhook::curing::air::Air;
use tallyhook::curing::drying::forecast::{
    AirAt, Class, Expectation, FinishedBatch, Knowledge, Maker, Piece, Weighed, Window, window,
};
use tallyhook::quantity::{Fraction, Length, Mass, RelativeHumidity, Temperature};
use tallyhook::record::ChamberId;

const ME: Maker = Maker { member: 0, chamber: ChamberId(1) };
const MY_OTHER_CHAMBER: Maker = Maker { member: 0, chamber: ChamberId(2) };
const SOMEBODY: Maker = Maker { member: 1, chamber: ChamberId(3) };

/// A sausage of 50 mm that took so many days to 35 %.
fn took(days: f64, maker: Maker) -> FinishedBatch {
    FinishedBatch {
        class: Class::Sausage,
        diameter: Some(Length::millimetres(50.0)),
        lost: Fraction::percent(35.0),
        days_to_half: None,
        days,
        maker,
    }
}

fn piece(weighings: &[(f64, f64)]) -> Piece {
    Piece {
        class: Class::Sausage,
        diameter: Some(Length::millimetres(50.0)),
        green: Mass::grams(1000.0),
        weighings: weighings
            .iter()
            .map(|(day, grams)| Weighed { day: *day, net: Mass::grams(*grams) })
            .collect(),
        target: Fraction::percent(35.0),
    }
}

fn after(finished: &[FinishedBatch], weighings: &[(f64, f64)]) -> Window {
    let expectation = Expectation::of(Class::Sausage, ME, finished);
    window(&piece(weighings), &Knowledge { expectation, air: Vec::new() }).unwrap()
}

#[test]
fn without_a_finished_batch_nothing_is_learnt() {
    assert_eq!(Expectation::of(Class::Sausage, ME, &[]), Expectation::default());
    let muscle = FinishedBatch { class: Class::WholeMuscle, ..took(90.0, ME) };
    assert_eq!(after(&[muscle], &[]), after(&[], &[]), "a muscle says nothing of a sausage");
}

#[test]
fn it_moves_slowly_and_says_how_many_it_rests_on() {
    let middle = |count: usize| after(&vec![took(80.0, ME); count], &[]).p50.unwrap();
    let (none, one, three, twenty) = (middle(0), middle(1), middle(3), middle(20));
    assert!(
        none < 42.0 && none < one && one < three && three < twenty && twenty < 84.0,
        "{none} {one} {three} {twenty}"
    );
    // The middle of all curves lies a little past the curve of all middles, so it may end a little past the 80 days.
    // One batch of 80 days moves the middle less than two thirds of the way, on the logarithm.
    assert!((one / none).ln() < 0.67 * (80.0_f64 / none).ln());
    assert_eq!(after(&vec![took(80.0, ME); 3], &[]).batches, 3);
}

#[test]
fn ones_own_chamber_says_more_than_ones_other_and_that_more_than_others() {
    let middle = |maker| after(&[took(80.0, maker); 2], &[]).p50.unwrap();
    assert!(middle(ME) > middle(MY_OTHER_CHAMBER));
    assert!(middle(MY_OTHER_CHAMBER) > middle(SOMEBODY));
    assert!(middle(SOMEBODY) > after(&[], &[]).p50.unwrap());
}

#[test]
fn what_was_seen_narrows_the_window_and_weighings_outweigh_it() {
    let wide = |finished: &[FinishedBatch], weighings: &[(f64, f64)]| {
        let window = after(finished, weighings);
        window.p90.unwrap() / window.p10.unwrap()
    };
    let many = [took(40.0, ME); 10];
    assert!(wide(&many, &[]) < 0.8 * wide(&[], &[]));
    let weighed = [(4.0, 930.0), (9.0, 860.0), (15.0, 800.0), (21.0, 750.0), (27.0, 710.0)];
    let slow = after(&[took(120.0, ME); 10], &weighed).p50.unwrap();
    let quick = after(&[took(20.0, ME); 10], &weighed).p50.unwrap();
    assert!(slow / quick < 1.35, "{slow} {quick}");
}

#[test]
fn a_slip_of_the_record_moves_little() {
    for days in [0.0, -3.0, f64::NAN, f64::INFINITY] {
        assert_eq!(Expectation::of(Class::Sausage, ME, &[took(days, ME)]).batches, 0, "{days}");
    }
    let odd = FinishedBatch { days_to_half: Some(39.999), ..took(40.0, ME) };
    let window = after(&[odd], &[(6.0, 900.0)]);
    assert!(window.p10.unwrap() > 6.0 && window.p90.unwrap() < 400.0);
}

fn air(day: f64, celsius: f64, percent: f64) -> AirAt {
    let air = Air::new(Temperature::celsius(celsius), RelativeHumidity::percent(percent)).unwrap();
    AirAt { day, air }
}

fn in_air(readings: Vec<AirAt>) -> Window {
    let knowledge = Knowledge { air: readings, ..Knowledge::default() };
    window(&piece(&[(5.0, 960.0), (10.0, 925.0), (15.0, 870.0), (20.0, 820.0)]), &knowledge).unwrap()
}

#[test]
fn a_damp_beginning_explains_a_slow_one() {
    let steady = in_air((0..=20).map(|day| air(f64::from(day), 13.0, 76.0)).collect());
    let damp = |percent: f64| {
        let of_day = |day: u32| air(f64::from(day), 13.0, if day < 10 { percent } else { 76.0 });
        in_air((0..=20).map(of_day).collect())
    };
    let unread = in_air(Vec::new());
    assert!(steady.by_air && !unread.by_air);
    assert!(
        (steady.p50.unwrap() - unread.p50.unwrap()).abs() < 1e-6,
        "a room that stays as it is changes nothing"
    );
    assert!(damp(90.0).p50.unwrap() < steady.p50.unwrap(), "what went slowly in damp air goes faster now");
    assert!(damp(65.0).p50.unwrap() > steady.p50.unwrap());
}

#[test]
fn a_hygrometer_that_is_always_off_and_the_scale_of_the_thermometer_change_nothing_much() {
    let with = |off: f64| {
        let of_day = |day: u32| air(f64::from(day), 13.0, off + if day < 10 { 84.0 } else { 76.0 });
        in_air((0..=20).map(of_day).collect()).p50.unwrap()
    };
    assert!((with(0.0) / with(-4.0) - 1.0).abs() < 0.06, "{} {}", with(0.0), with(-4.0));
}

#[test]
fn too_few_readings_are_as_good_as_none() {
    let unread = in_air(Vec::new());
    assert_eq!(in_air(vec![air(1.0, 13.0, 90.0)]), unread);
    assert_eq!(in_air(vec![air(19.5, 13.0, 90.0)]), unread);
}

proptest! {
    #[test]
    fn the_order_of_finished_batches_makes_no_difference(days in proptest::collection::vec(5.0..200.0f64, 2..12)) {
        let batches: Vec<FinishedBatch> = days.iter().map(|days| took(*days, ME)).collect();
        let backwards: Vec<FinishedBatch> = batches.iter().rev().copied().collect();
        let (one, other) = (after(&batches, &[(5.0, 930.0)]), after(&backwards, &[(5.0, 930.0)]));
        prop_assert!((one.p50.unwrap() - other.p50.unwrap()).abs() < 1e-6);
    }

    #[test]
    fn whatever_air_is_logged_the_window_lies_ahead(
        readings in proptest::collection::vec((-5.0..40.0f64, -5.0..40.0f64, 5.0..100.0f64), 0..60),
    ) {
        let window = in_air(readings.into_iter().map(|(day, celsius, percent)| air(day, celsius, percent)).collect());
        prop_assert!(window.p10.unwrap() > 20.0);
        prop_assert!(window.p10.unwrap() <= window.p50.unwrap() && window.p50.unwrap() <= window.p90.unwrap_or(f64::INFINITY));
    }
}
