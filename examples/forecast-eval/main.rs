//! How good the finish window is: `cargo run --release --example forecast-eval`.
//!
//! Forecasts of pieces whose end is known, on published series and on a simulator that shares nothing with the forecast,
//! beside the two lines that anybody can draw with a ruler. The random start values differ from those the calibration was
//! tuned on.
#![expect(clippy::print_stdout, reason = "it prints what it measured")]

#[allow(dead_code, reason = "the tests use more of it")]
#[path = "../../tests/support/drying_simulator/mod.rs"]
mod drying_simulator;
#[allow(dead_code, reason = "the tests use more of it")]
#[path = "../../tests/support/forecast_trial/mod.rs"]
mod forecast_trial;

use drying_simulator::Shape;
use forecast_trial::{BANDS, Days, Trial, band, groups, score, series, simulated};
use std::time::{Duration, Instant};

type Way = (&'static str, fn(&Trial) -> Days);

const LINE: Way = ("line through the last two", Trial::line);
const HANG: Way = ("straight line from hanging", Trial::straight);
const BASE: Way = ("base engine", Trial::base);
const PLAIN: Way = ("ours, by weighings alone", Trial::of_weighings);
const AIR: Way = ("ours, with the air", Trial::with_air);
const LEARNT: Way = ("ours, with finished batches", Trial::ours);

const TARGETS: [f64; 4] = [0.30, 0.35, 0.38, 0.40];

fn main() {
    println!("errors in days; covered: ends inside the window of 8 in 10; later: ends after it");
    let open = series::trials();
    table("published series", &open, &[LINE, HANG, BASE, PLAIN]);
    let sausages = simulated::trials(20_261, Shape::Cylinder, 800, &TARGETS);
    table("800 simulated sausages", &sausages, &[LINE, HANG, BASE, PLAIN, AIR]);
    let muscles = simulated::trials(20_262, Shape::Slab, 400, &TARGETS);
    table("400 simulated muscles", &muscles, &[LINE, HANG, BASE, PLAIN, AIR]);
    for (name, shape) in [("sausages", Shape::Cylinder), ("muscles", Shape::Slab)] {
        let learning = groups::trials(20_263, shape, 40);
        for part in [0.0, 0.25, 0.5, 0.75] {
            let some: Vec<Trial> = learning
                .iter()
                .filter(|trial| trial.progress.to_bits() == f64::to_bits(part))
                .cloned()
                .collect();
            println!("\n{name} of 40 simulated groups, {} % of the way", part * 100.0);
            rows(&some.iter().collect::<Vec<_>>(), &[BASE, PLAIN, LEARNT]);
        }
    }
    pace(&sausages);
}

fn table(name: &str, trials: &[Trial], ways: &[Way]) {
    for (band_name, from, to) in BANDS {
        println!("\n{name}, {band_name}");
        rows(&band(trials, from, to), ways);
    }
}

fn rows(trials: &[&Trial], ways: &[Way]) {
    println!(
        "{:30}{:>5} {:>7} {:>7}   {:4} {:4} {:>6}",
        "", "count", "mean", "median", "cov.", "lat.", "width"
    );
    for (name, forecast) in ways {
        println!("  {name:28}{}", score(trials, forecast));
    }
}

/// A forecast's time, beside that of adding up a million numbers: a measure that travels.
fn pace(trials: &[Trial]) {
    let ten: Vec<&Trial> = trials.iter().filter(|trial| trial.weighings.len() == 10).collect();
    let measure = |work: &mut dyn FnMut()| {
        let mut times: Vec<Duration> = (0..200)
            .map(|_| {
                let began = Instant::now();
                work();
                began.elapsed()
            })
            .collect();
        times.sort();
        times[times.len() / 2]
    };
    let numbers: Vec<f64> = (0..1_000_000).map(f64::from).collect();
    let yardstick = measure(&mut || {
        std::hint::black_box(numbers.iter().sum::<f64>());
    });
    let mut turn = ten.iter().cycle();
    let forecast = measure(&mut || {
        std::hint::black_box(turn.next().map(|trial| trial.of_weighings()));
    });
    let ratio = forecast.as_secs_f64() / yardstick.as_secs_f64();
    println!("\na forecast of 10 weighings: {forecast:.1?} ({ratio:.2} times adding up a million numbers)");
}
