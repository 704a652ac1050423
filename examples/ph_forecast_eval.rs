//! How good the forecast of a pH is, on simulated batches and on published series, beside the line through the last two
//! readings: `cargo run --release --example ph_forecast_eval`.
#![expect(clippy::print_stdout, reason = "it prints what it measured")]

#[path = "../tests/support/ph_trials.rs"]
#[allow(dead_code, unreachable_pub, reason = "the tests use the rest")]
mod ph_trials;

use ph_trials::{Score, Told, course, published, score, simulated};
use std::time::Instant;
use tallyhook::curing::fermentation::ph_forecast::{PhForecast, SourReading, of_readings};
use tallyhook::quantity::Ph;

const BATCHES: usize = 500;
/// A fixed random start value, another one than the tests'.
const START: u64 = 20_261_101;

fn main() {
    println!("simulated batches ({BATCHES} for each row), hours");
    println!(
        "readings  at   remain | forecast median/p90/mean | line median/p90/mean | covered  width | slowing stalled"
    );
    for part in [0.4, 0.7] {
        for count in [2, 3, 4, 6] {
            row(count, part, &score(&simulated(BATCHES, count, part, START)));
        }
    }
    println!("\npublished series, hours; where no room is printed, one that stays as it is");
    println!("series          target  readings  at h | remain | forecast p50 (p10-p90)      | line");
    for (name, told) in published() {
        for target in [5.7, 5.5, 5.3, 5.2, 5.1] {
            real(&name, &told, target);
        }
    }
    pace();
}

fn real(name: &str, told: &Told, target: f64) {
    let Some(reached) = told.reaches(target) else { return };
    for count in 2..told.ph.len() {
        let known = told.until(count);
        let Some((now, ph)) = known.ph.last().copied().filter(|(now, _)| *now < reached) else { return };
        if ph <= target {
            return;
        }
        let line = known.line(target);
        let shown = shown(known.forecast(target));
        println!(
            "{name:<15} {target:>6.1} {count:>9} {now:>5.0} | {:>6.1} | {shown:<27} | {line:.1}",
            reached - now
        );
    }
}

fn shown(found: PhForecast) -> String {
    let hours = |hours: Option<f64>| hours.map_or_else(|| "never".to_owned(), |hours| format!("{hours:.1}"));
    match found {
        PhForecast::Window(window) => {
            format!("{} ({}-{})", hours(window.p50), hours(window.p10), hours(window.p90))
        }
        PhForecast::Slowing(pace) => format!("slowing ({:.2} in {:.0} h)", pace.moved, pace.hours),
        PhForecast::Stalled(pace) => format!("stalled ({:.2} in {:.0} h)", pace.moved, pace.hours),
        other => format!("{other:?}"),
    }
}

/// Time for one forecast.
fn pace() {
    const ROUNDS: u32 = 200;
    println!("\ntime for one forecast");
    for count in [2, 4, 6, 10, 20] {
        let hours = |index: usize| 30.0 * index as f64 / (count - 1) as f64;
        let readings: Vec<SourReading> = (0..count)
            .map(|index| SourReading::by_meter(hours(index), 5.8 - 0.015 * (hours(index) - 8.0).max(0.0)))
            .collect();
        let begun = Instant::now();
        for _ in 0..ROUNDS {
            std::hint::black_box(of_readings(std::hint::black_box(&readings), Ph::new(5.0), 30.0, 1.0));
        }
        println!(
            "{count:>4} readings {:>8.3} ms",
            begun.elapsed().as_secs_f64() * 1000.0 / f64::from(ROUNDS)
        );
    }
    let room: Vec<(f64, f64)> = (0..200).map(|hour| (f64::from(hour) / 4.0, 24.0)).collect();
    let begun = Instant::now();
    for _ in 0..ROUNDS {
        std::hint::black_box(course(std::hint::black_box(&room), 50.0));
    }
    println!(
        "the course of 200 thermometer readings {:.3} ms",
        begun.elapsed().as_secs_f64() * 1000.0 / f64::from(ROUNDS)
    );
}

fn row(count: usize, part: f64, score: &Score) {
    println!(
        "{count:>8} {:>3.0} % {:>7.1} | {:>9.1} {:>6.1} {:>6.1} | {:>8.1} {:>6.1} {:>6.1} | {:>7.2} {:>6.1} | {:>7} {:>7}",
        part * 100.0,
        score.truth,
        score.median,
        score.p90,
        score.mean,
        score.line_median,
        score.line_p90,
        score.line_mean,
        score.covered,
        score.width,
        score.slowing,
        score.stalled,
    );
}
