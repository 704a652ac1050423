//! Times how long a chart takes from its description to an image: `cargo run --release --example chart_pace`.
//!
//! For each case the layout with its SVG, the image of it, and both, in milliseconds and as a ratio to the limit of 12 ms;
//! and the size of the file.
#![expect(clippy::print_stdout, reason = "it prints what it measured")]
#![expect(clippy::unwrap_used, reason = "a measurement that fails has nothing to report")]

#[path = "../tests/support/charts.rs"]
mod cases;

use std::hint::black_box;
use std::time::Instant;
use tallyhook::chart::block::block;
use tallyhook::chart::png::png;
use tallyhook::chart::svg::svg;

const ROUNDS: usize = 60;
const LIMIT_MS: f64 = 12.0;

/// The least and the middle one of the rounds, in milliseconds: on a machine that others use too the least says more.
fn timed(mut work: impl FnMut()) -> (f64, f64) {
    let round = |_| {
        let start = Instant::now();
        work();
        start.elapsed().as_secs_f64() * 1e3
    };
    let mut times: Vec<f64> = (0..ROUNDS).map(round).collect();
    times.sort_by(f64::total_cmp);
    (times[0], times[ROUNDS / 2])
}

fn main() {
    println!(
        "{:<20} {:>7} {:>7} {:>9} {:>6} {:>10} {:>8}",
        "ms: chart", "svg", "png", "both", "of 12", "middle", "bytes"
    );
    for (name, chart) in cases::all() {
        let picture = svg(&chart);
        let image = png(&picture).unwrap();
        let drawing = timed(|| drop(black_box(svg(black_box(&chart)))));
        let painting = timed(|| drop(black_box(png(black_box(&picture)))));
        let both = drawing.0 + painting.0;
        println!(
            "{name:<20} {:>7.3} {:>7.2} {both:>9.2} {:>6.2} {:>10.2} {:>8}",
            drawing.0,
            painting.0,
            both / LIMIT_MS,
            drawing.1 + painting.1,
            image.len()
        );
    }
    let chart = cases::drying();
    let letters = timed(|| drop(black_box(block(black_box(&chart)))));
    println!("in letters of a terminal: {:.3}", letters.0);
}
