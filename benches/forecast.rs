//! What the forecasts and pictures cost: `cargo bench --bench forecast`.
//!
//! The first row adds up a million numbers: the others divided by it are ratios that travel from machine to machine.
#![expect(clippy::expect_used, reason = "a measurement that fails has nothing to report")]

#[path = "../tests/support/charts.rs"]
mod charts;

use chrono::{DateTime, TimeDelta, Utc};
use divan::{Bencher, black_box};
use tallyhook::chart::{png::png, svg::svg};
use tallyhook::curing::drying::forecast::{Class, Knowledge, Piece, Weighed, window};
use tallyhook::desk::{Answered, Desk, Incoming};
use tallyhook::quantity::{Fraction, Length, Mass};
use tallyhook::store::Store;

fn main() {
    divan::main();
}

#[divan::bench]
fn adding_up_a_million_numbers(bencher: Bencher<'_, '_>) {
    let numbers: Vec<f64> = (0..1_000_000).map(f64::from).collect();
    bencher.bench_local(|| black_box(&numbers).iter().sum::<f64>());
}

/// Limit: 0.5 ms with ten weighings.
#[divan::bench(args = [0, 1, 4, 10, 40])]
fn finish_window_by_weighings(bencher: Bencher<'_, '_>, weighings: u32) {
    let weighed = |number: u32| {
        let day = 3.0 * f64::from(number);
        Weighed { day, net: Mass::grams((1000.0 * (1.0 - 0.45 * day / (40.0 + day))).round()) }
    };
    let piece = Piece {
        class: Class::Sausage,
        diameter: Some(Length::millimetres(60.0)),
        green: Mass::grams(1000.0),
        weighings: (1..=weighings).map(weighed).collect(),
        target: Fraction::percent(42.0),
    };
    let knowledge = Knowledge::default();
    bencher.bench_local(|| window(black_box(&piece), &knowledge).expect("a window"));
}

/// Limit: 12 ms a picture.
#[divan::bench]
fn drying_chart_as_png(bencher: Bencher<'_, '_>) {
    let chart = charts::drying();
    bencher.bench_local(|| png(&svg(black_box(&chart))).expect("a picture"));
}

/// Limit: 1 ms with its forecast, for one piece; the whole way of the line, but for the network.
#[divan::bench(args = [1, 6, 20])]
fn status_card_of_so_many_pieces(bencher: Bencher<'_, '_>, pieces: u32) {
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().expect("a runtime");
    let desk = runtime.block_on(dried(pieces));
    let now = start() + TimeDelta::days(31);
    bencher.bench_local(|| {
        runtime.block_on(async {
            ask(&desk, "batch show batch:B1", now).await;
        });
    });
}

fn start() -> DateTime<Utc> {
    DateTime::from_timestamp(1_780_000_000, 0).expect("a moment")
}

async fn ask(desk: &Desk, text: &str, at: DateTime<Utc>) -> String {
    let line = Incoming { confirmed: true, ..Incoming::line("home", "mara", text, at) };
    match desk.answer(&line).await {
        Answered::Reply(reply) => reply.lines.join("\n"),
        other => panic!("{text}: {}", other.text()),
    }
}

/// A batch with ten weighings of every piece and a reading of the air with each.
async fn dried(pieces: u32) -> Desk {
    let desk = Desk::new(Store::open_temporary().await.expect("a store"));
    let line = "batch start name:Stick kind:dried-sausage meat:20 kg pork casing:60 mm loss:38%";
    ask(&desk, line, start()).await;
    let weights = |day: i64| {
        let of = |piece: u32| format!("{}", 1000 - 7 * day - i64::from(piece));
        (1..=pieces).map(of).collect::<Vec<_>>().join(" ")
    };
    ask(&desk, &format!("hung {} g", weights(0)), start()).await;
    ask(&desk, "batch stage batch:B1 to:drying", start()).await;
    for day in (3..=30).step_by(3) {
        let at = start() + TimeDelta::days(day);
        ask(&desk, &format!("{} g", weights(day)), at).await;
        ask(&desk, "13 C 78%", at).await;
    }
    let card = ask(&desk, "batch show batch:B1", start() + TimeDelta::days(31)).await;
    assert!(card.contains("At its target about"), "a card without a forecast measures nothing: {card}");
    desk
}
