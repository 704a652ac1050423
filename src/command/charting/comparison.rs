//! One piece against others: its course, and where the middle half of theirs lay.

use crate::chart::palette::Style;
use crate::chart::{Axis, Band, Between, Chart, Edge, Extent, Horizontal, Panel, Point, Series};
use crate::reply::say;

/// The words of a comparison.
#[derive(Debug, Clone, Copy)]
pub struct Words<'a> {
    /// What stands above it.
    pub title: &'a str,
    /// The piece.
    pub piece: &'a str,
    /// The others, e.g. "7 batches of 4 members".
    pub others: &'a str,
    /// The numbers in words, for who does not see it.
    pub alt: &'a str,
}

/// The loss of a piece, (days since it was hung, percent), against the quartiles of others on a day, (day, first
/// quartile, median, third quartile), in the order of days.
pub fn comparison(words: Words<'_>, piece: &[(f64, f64)], others: &[(f64, f64, f64, f64)]) -> Chart {
    let edges = others.iter().map(|(day, low, _, high)| Edge { x: *day, low: *low, high: *high });
    let median = others.iter().map(|(day, _, median, _)| Point { x: *day, y: *median });
    let own = piece.iter().map(|(day, lost)| Point { x: *day, y: *lost });
    let mut series = Vec::new();
    let mut bands = Vec::new();
    if !others.is_empty() {
        let name = say("charting.comparison.median", &[]);
        series.push(Series { name, points: median.collect(), style: Style::nth(3), between: Between::Way });
        let name = say("charting.comparison.band", &[("others", words.others)]);
        bands.push(Band { name, extent: Extent::Along(edges.collect()) });
    }
    series.push(Series {
        name: words.piece.to_owned(),
        points: own.collect(),
        style: Style::nth(0),
        between: Between::Way,
    });
    Chart {
        kind: "comparison",
        title: words.title.to_owned(),
        horizontal: Horizontal::Days { label: say("charting.comparison.days", &[]) },
        panels: vec![Panel {
            axis: Axis { label: say("charting.drying.axis", &[]), from: Some(0.0), least_span: 10.0 },
            share: 1.0,
            series,
            bands,
            targets: Vec::new(),
            fan: None,
        }],
        marks: Vec::new(),
        alt: words.alt.to_owned(),
    }
}
