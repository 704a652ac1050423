//! Times how long a chart takes from its description to an image: `cargo run --release --example chart_pace`.
//!
//! For each case the layout with its SVG, and the image of it, in milliseconds and as a ratio to the limit of 12 ms; and
//! the size of the file.
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

/// The middle one of the rounds, in milliseconds.
fn middle(mut work: impl FnMut()) -> f64 {
    let round = |_| {
        let start = Instant::now();
        work();
        start.elapsed().as_secs_f64() * 1e3
    };
    let mut times: Vec<f64> = (0..ROUNDS).map(round).collect();
    times.sort_by(f64::total_cmp);
    times[ROUNDS / 2]
}

fn main() {
    println!(
        "{:<22} {:>8} {:>8} {:>8} {:>7} {:>9} {:>9}",
        "chart", "svg ms", "png ms", "all ms", "of 12", "letters", "bytes"
    );
    for (name, chart) in cases::all() {
        let picture = svg(&chart);
        let image = png(&picture).unwrap();
        let drawing = middle(|| drop(black_box(svg(black_box(&chart)))));
        let painting = middle(|| drop(black_box(png(black_box(&picture)))));
        let letters = middle(|| drop(black_box(block(black_box(&chart)))));
        let all = drawing + painting;
        println!(
            "{name:<22} {drawing:>8.2} {painting:>8.2} {all:>8.2} {:>7.2} {letters:>9.3} {:>9}",
            all / LIMIT_MS,
            image.len()
        );
    }
}
