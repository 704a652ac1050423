//! The finish window on pieces whose end is known, beside the line through the last two weighings.
//!
//! The evaluation that prints the figures is `cargo run --release --example forecast-eval`; here stand what it must hold.

use crate::drying_simulator::{Course, Habit, Make, Room, Shape};
use crate::forecast_trial::{BANDS, Trial, band, groups, score, series, simulated};
use crate::reference::{self, Row};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use std::collections::BTreeMap;

#[test]
fn the_published_losses_follow_from_their_moisture() {
    for file in ["drying_harbin.csv", "drying_harbin_yeast.csv", "drying_bacon.csv"] {
        let reference = reference::load(file);
        let solids = |row: &Row| 100.0 - row.number("moisture_pct");
        let hung: BTreeMap<&str, f64> = reference
            .rows
            .iter()
            .filter(|row| row.text("day") == "0")
            .map(|row| (row.text("series"), solids(row)))
            .collect();
        assert_eq!(hung.len(), 3);
        reference
            .each(|row| row.close("loss_pct", 100.0 * (1.0 - hung[row.text("series")] / solids(row)), 0.01));
    }
}

/// 85 forecasts of 12 published series, none of which the calibration was tuned on alone.
#[test]
fn on_published_series_half_the_error_of_the_line_and_never_worse() {
    let trials = series::trials();
    assert_eq!(trials.len(), 85);
    for (name, from, to) in BANDS {
        let some = band(&trials, from, to);
        let (ours, line) = (score(&some, Trial::ours), score(&some, Trial::line));
        assert!(ours.mean <= line.mean * 1.05, "{name}: {ours} against {line}");
        assert!(ours.mean <= score(&some, Trial::straight).mean * 1.05, "{name}");
    }
    let early = band(&trials, 0.0, 0.5);
    assert!(score(&early, Trial::ours).mean <= 0.5 * score(&early, Trial::line).mean);
    let all = band(&trials, 0.0, 1.0);
    let ours = score(&all, Trial::ours);
    assert!((0.65..=0.95).contains(&ours.covered), "{ours}");
    assert!(ours.mean < score(&all, Trial::base).mean * 1.05, "{ours}");
    assert!(ours.median < score(&all, Trial::base).median, "{ours}");
}

/// What the simulator does by itself, against published courses: a sausage of 35 mm lost 35 % in 30 days, one of 55 mm in
/// 60, one of 80 mm 30 % in 75 (`tests/references/drying_endpoints.csv`).
#[test]
fn the_simulator_dries_as_published_sausages_do() {
    for (size_mm, loss, days) in [(35.0, 0.35, 30.0), (55.0, 0.35, 60.0), (80.0, 0.30, 75.0)] {
        let mut found: Vec<f64> =
            (0..21).filter_map(|number| sausage(number, size_mm).day_of(loss)).collect();
        found.sort_by(f64::total_cmp);
        let middle = found[found.len() / 2];
        assert!((days * 0.6..days * 1.6).contains(&middle), "{size_mm} mm: {middle} days, published {days}");
    }
}

fn sausage(random_start: u64, size_mm: f64) -> Course {
    let mut random = ChaCha8Rng::seed_from_u64(random_start);
    let make = Make { size_mm, ..Make::draw(&mut random, Shape::Cylinder) };
    let habit = Habit::draw(&mut random);
    let room = Room::draw(&mut random, habit, make.fermentation_days, simulated::DAYS);
    make.dry(habit, &room)
}

/// Of what dries in it nothing is lost but water, and never more than there was.
#[test]
fn the_simulator_keeps_its_dry_matter() {
    for number in 0..6 {
        let course = sausage(number, 30.0);
        let losses: Vec<f64> = (0..course.days() as u32).map(|day| course.loss(f64::from(day))).collect();
        assert!(losses.iter().all(|loss| (-0.01..0.66).contains(loss)), "{losses:?}");
    }
}

fn holds(trials: &[Trial], pieces: usize) {
    let all = band(trials, 0.0, 1.0);
    let (ours, base, line) = (score(&all, Trial::ours), score(&all, Trial::base), score(&all, Trial::line));
    assert!(all.len() >= pieces * 2, "{ours}");
    assert!((0.75..=0.85).contains(&score(&all, Trial::of_weighings).covered), "{ours}");
    assert!((0.72..=0.90).contains(&ours.covered), "with the air: {ours}");
    assert!(ours.mean < base.mean && ours.median < base.median, "{ours} against {base}");
    assert!(ours.mean < 0.75 * line.mean, "{ours} against {line}");
    for (name, from, to) in BANDS {
        let some = band(trials, from, to);
        assert!(score(&some, Trial::ours).mean <= score(&some, Trial::line).mean, "{name}");
    }
}

#[test]
fn the_window_of_seven_hundred_simulated_sausages() {
    holds(&simulated::trials(31, Shape::Cylinder, 700, &[0.35]), 600);
}

#[test]
fn the_window_of_three_hundred_simulated_muscles() {
    holds(&simulated::trials(32, Shape::Slab, 300, &[0.35]), 280);
}

#[test]
fn finished_batches_say_more_than_none_before_the_first_weighing_and_harm_little_later() {
    let trials = groups::trials(33, Shape::Slab, 6);
    let (before, later): (Vec<&Trial>, Vec<&Trial>) =
        trials.iter().partition(|trial| trial.weighings.is_empty());
    let gain = |trials: &[&Trial]| score(trials, Trial::ours).mean / score(trials, Trial::with_air).mean;
    assert!(gain(&before) < 0.9, "{}", gain(&before));
    assert!(gain(&later) < 1.05, "{}", gain(&later));
}
