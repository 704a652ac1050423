//! Charts of batches, as members' lines make them. Invented.

use chrono::{DateTime, TimeDelta, Utc};
use std::fmt::Write;
use tallyhook::chart::layout::{Shape, laid};
use tallyhook::chart::png::png;
use tallyhook::chart::svg::svg;
use tallyhook::chart::{Chart, Extent, Horizontal};
use tallyhook::command::charting::comparison::{Words, comparison};
use tallyhook::desk::{Answered, Desk, Incoming};
use tallyhook::reply::Reply;
use tallyhook::store::Store;

/// A record with one member and a clock that goes on by hand.
struct Kitchen {
    desk: Desk,
    now: DateTime<Utc>,
}

impl Kitchen {
    async fn new() -> Self {
        let desk = Desk::new(Store::open_temporary().await.unwrap());
        Self { desk, now: "2026-03-01T12:00:00Z".parse().unwrap() }
    }

    async fn say(&self, line: &str) -> Box<Reply> {
        let incoming = Incoming { confirmed: true, ..Incoming::line("home", "mara", line, self.now) };
        match self.desk.answer(&incoming).await {
            Answered::Reply(reply) => reply,
            other => panic!("{line}: {}", other.text()),
        }
    }

    fn wait(&mut self, hours: i64) {
        self.now += TimeDelta::hours(hours);
    }

    async fn chart(&self, kind: &str) -> Chart {
        let reply = self.say(&format!("batch show B1 chart:{kind}")).await;
        reply.chart.unwrap_or_else(|| panic!("no chart: {:?}", reply.lines))
    }
}

fn points(chart: &Chart, panel: usize, series: usize) -> Vec<(f64, f64)> {
    chart.panels[panel].series[series].points.iter().map(|point| (point.x, point.y)).collect()
}

fn assert_near(came: &[(f64, f64)], expected: &[(f64, f64)]) {
    assert_eq!(came.len(), expected.len(), "{came:?}");
    for (came, expected) in came.iter().zip(expected) {
        approx::assert_abs_diff_eq!(came.0, expected.0, epsilon = 1e-6);
        approx::assert_abs_diff_eq!(came.1, expected.1, epsilon = 1e-6);
    }
}

#[tokio::test]
async fn twenty_pieces_with_the_longest_name_stay_one_readable_chart() {
    let mut kitchen = Kitchen::new().await;
    let name = "Juniper ".repeat(7);
    kitchen
        .say(&format!("batch start name:{name} kind:dried-sausage meat:20 kg beef casing:50 mm loss:35%"))
        .await;
    // Each piece has lost a gram more than the one before.
    let weights = |most: u32| {
        (0..20).fold(String::new(), |mut line, number| {
            let _ = write!(line, "{} ", most - number);
            line
        })
    };
    kitchen.say(&format!("batch piece weights:{}g", "1000 ".repeat(20))).await;
    kitchen.say("batch stage to:drying").await;
    for most in [950, 900, 860] {
        kitchen.wait(96);
        kitchen.say(&format!("B1 {}g", weights(most))).await;
    }
    let chart = kitchen.chart("drying").await;
    let series = &chart.panels[0].series;
    assert_eq!(series.len(), 20);
    assert_eq!(series.iter().map(|series| series.points.len()).sum::<usize>(), 80);
    let names: Vec<&str> =
        series.iter().map(|series| series.name.as_str()).filter(|name| !name.is_empty()).collect();
    assert_eq!(names, ["#20 lost most", "18 between", "#1 lost least"]);
    let drawn = laid(&chart).shapes;
    assert!(drawn.iter().filter(|shape| matches!(shape, Shape::Marker { .. })).count() >= 80);
    assert!(chart.alt.encode_utf16().count() <= 1024, "{}", chart.alt);
    assert!(chart.alt.contains("Pieces: 20.") && chart.alt.contains("Target 35 %"), "{}", chart.alt);
    assert!(!chart.alt.contains("#7 "), "only the first and the last: {}", chart.alt);
}

// By hand: 24 °C is 75.2 °F, 15.2 degrees above 60 °F, so that 20 h count 304 degree-hours; the row for up to 90 °F has
// 1200. The pH that ends the count is 5.3.
#[tokio::test]
async fn a_fermentation_shows_its_acid_its_room_and_what_is_used_of_the_limit() {
    let mut kitchen = Kitchen::new().await;
    kitchen.say("me set country:IT timezone:Europe/Rome temperature:F").await;
    kitchen
        .say("batch start name:Sour kind:fermented-sausage meat:2 kg beef casing:50 mm loss:35% ph:4.9")
        .await;
    kitchen.say("batch piece weights:520 g").await;
    kitchen.say("batch stage to:fermenting").await;
    for ph in ["5.62", "5.4", "5.05"] {
        kitchen.say(&format!("ph {ph} at 21 C calibrated 1 h ago slope 98%, 24 C 90%")).await;
        if ph != "5.05" {
            kitchen.wait(10);
        }
    }
    let chart = kitchen.chart("fermentation").await;
    let Horizontal::Calendar { zone, .. } = chart.horizontal else { panic!("{:?}", chart.horizontal) };
    assert_eq!(zone.name(), "Europe/Rome");
    assert_near(&points(&chart, 0, 0), &[(0.0, 5.62), (10.0 / 24.0, 5.4), (20.0 / 24.0, 5.05)]);
    let levels: Vec<f64> = chart.panels[0].targets.iter().map(|target| target.value).collect();
    assert_eq!(levels, [5.3, 4.9]);
    assert_eq!(chart.panels[0].bands[0].extent, Extent::Everywhere { low: 4.8, high: 5.3 });
    assert_near(&points(&chart, 1, 0), &[(0.0, 75.2), (10.0 / 24.0, 75.2), (20.0 / 24.0, 75.2)]);
    assert_eq!(points(&chart, 2, 0).first(), Some(&(0.0, 0.0)));
    let last = points(&chart, 2, 0).pop().unwrap();
    approx::assert_abs_diff_eq!(last.1, 304.0, epsilon = 1e-6);
    approx::assert_abs_diff_eq!(chart.panels[2].targets[0].value, 1200.0);
    for said in ["3 pH readings: from 5.62", "to 5.05", "Aim 4.9", "304 used at most, limit 1200", "75.2 °F"]
    {
        assert!(chart.alt.contains(said), "no {said:?} in {:?}", chart.alt);
    }
}

// By hand: 13 °C is 55.4 °F, 1 °C above it 57.2 °F; 13.5 °C is 56.3 °F, 12.5 °C is 54.5 °F.
#[tokio::test]
async fn a_chamber_shows_what_was_read_beside_what_was_set() {
    let mut kitchen = Kitchen::new().await;
    kitchen.say("me set country:US timezone:America/New_York temperature:F").await;
    kitchen.say("batch start name:Air kind:dried-sausage meat:1 kg beef loss:35%").await;
    kitchen.say("chamber set temperature:13 C humidity:80% hysteresis:1 C").await;
    kitchen.wait(24);
    kitchen.say("13.5 C 76%").await;
    kitchen.wait(24);
    kitchen.say("12.5 C 81%").await;
    let chart = kitchen.chart("chamber").await;
    let names = |panel: usize| -> Vec<&str> {
        chart.panels[panel].series.iter().map(|series| series.name.as_str()).collect()
    };
    assert_eq!((names(0), names(1)), (vec!["set", "read"], vec!["set", "read"]));
    assert_near(&points(&chart, 0, 0), &[(0.0, 55.4)]);
    assert_near(&points(&chart, 0, 1), &[(1.0, 56.3), (2.0, 54.5)]);
    assert_near(&points(&chart, 1, 0), &[(0.0, 80.0)]);
    assert_near(&points(&chart, 1, 1), &[(1.0, 76.0), (2.0, 81.0)]);
    let Extent::Along(edges) = &chart.panels[0].bands[0].extent else {
        panic!("{:?}", chart.panels[0].bands)
    };
    let edge = edges.first().unwrap();
    approx::assert_abs_diff_eq!(edge.low, 55.4, epsilon = 1e-9);
    approx::assert_abs_diff_eq!(edge.high, 57.2, epsilon = 1e-9);
    assert!(chart.alt.contains("first 56.3 °F, last 54.5 °F"), "{}", chart.alt);
    assert!(chart.alt.contains("between 76 % and 81 %"), "{}", chart.alt);
}

#[tokio::test]
async fn without_anything_to_see_there_is_a_sentence_and_no_empty_picture() {
    let kitchen = Kitchen::new().await;
    kitchen.say("batch start name:New kind:whole-muscle meat:1 kg beef loss:35%").await;
    for (kind, said) in [
        ("drying", "nothing of B1 New was hung"),
        ("fermentation", "does not ferment"),
        ("chamber", "was not read"),
    ] {
        let reply = kitchen.say(&format!("batch show B1 chart:{kind}")).await;
        assert_eq!(reply.chart, None, "{kind}");
        assert!(reply.lines.iter().any(|line| line.contains(said)), "{kind}: {:?}", reply.lines);
    }
    kitchen.say("batch piece weights:900 g").await;
    let reply = kitchen.say("batch show B1 chart:drying").await;
    assert_eq!(reply.chart, None);
    assert!(reply.lines.iter().any(|line| line.contains("was weighed")), "{:?}", reply.lines);
}

#[test]
fn a_piece_is_held_against_the_middle_half_of_others() {
    let words = Words {
        title: "B1 Juniper stick, #1, beside the group",
        piece: "#1",
        others: "7 batches of 4 members",
        alt: "#1 lost 20 % by day 9; of 7 batches the middle half had lost 14 to 19 %.",
    };
    let piece = [(0.0, 0.0), (3.0, 8.0), (9.0, 20.0)];
    let others = [(0.0, 0.0, 0.0, 0.0), (5.0, 8.0, 9.5, 11.0), (10.0, 15.0, 17.0, 20.0)];
    let chart = comparison(words, &piece, &others);
    assert_eq!(chart.alt, words.alt);
    let Extent::Along(edges) = &chart.panels[0].bands[0].extent else {
        panic!("{:?}", chart.panels[0].bands)
    };
    assert_eq!(edges.iter().map(|edge| (edge.x, edge.low, edge.high)).next_back(), Some((10.0, 15.0, 20.0)));
    assert_eq!(points(&chart, 0, 0), [(0.0, 0.0), (5.0, 9.5), (10.0, 17.0)]);
    assert_eq!(points(&chart, 0, 1), piece);
    let written: Vec<String> = laid(&chart).labels.into_iter().map(|label| label.text).collect();
    for text in ["#1", "median", "middle half of 7 batches of 4 members", "days since hung"] {
        assert!(written.iter().any(|label| label == text), "no {text} in {written:?}");
    }
    assert!(png(&svg(&chart)).unwrap().len() < 200_000);
    // Nobody to be compared with: the piece alone.
    let alone = comparison(words, &piece, &[]);
    assert_eq!((alone.panels[0].bands.len(), alone.panels[0].series.len()), (0, 1));
}
