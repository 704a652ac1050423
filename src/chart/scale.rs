//! From values to pixels.

use super::data::{Chart, Extent, Fan, Panel};

/// A stretch of values and the pixels it is drawn on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// Lowest value.
    pub low: f64,
    /// Highest value.
    pub high: f64,
    /// Pixel of the lowest.
    pub from: f64,
    /// Pixel of the highest.
    pub to: f64,
}

impl Scale {
    /// Where a value stands; values outside stand at the edge.
    pub fn at(&self, value: f64) -> f64 {
        let part = ((value - self.low) / (self.high - self.low)).clamp(0.0, 1.0);
        self.from + part * (self.to - self.from)
    }

    /// Whether a value lies on it.
    pub fn holds(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }
}

/// Room above the highest value, and below the lowest, as a part of the span: labels stand there.
const ABOVE: f64 = 0.14;
const BELOW: f64 = 0.08;
/// Room before the first and beyond the last value.
const BEFORE: f64 = 0.015;
const BEHIND: f64 = 0.03;
/// Days spanned where all values are of one moment.
const LEAST_DAYS: f64 = 1.0;
/// An open fan goes on for this part of the way to its middle.
const OPEN: f64 = 0.5;

/// Lowest and highest `x` of all that is to be seen.
pub fn across(chart: &Chart) -> (f64, f64) {
    let panels = || chart.panels.iter();
    let points = panels().flat_map(|panel| &panel.series).flat_map(|series| &series.points);
    let edges = panels().flat_map(|panel| &panel.bands).flat_map(|band| match &band.extent {
        Extent::Everywhere { .. } => [].as_slice(),
        Extent::Along(edges) => edges.as_slice(),
    });
    let fans = panels().filter_map(|panel| panel.fan.as_ref()).flat_map(reach_of);
    let marks = chart.marks.iter().map(|mark| mark.x);
    let all = points.map(|point| point.x).chain(edges.map(|edge| edge.x)).chain(fans).chain(marks);
    let (low, high) = bounds(all).unwrap_or((0.0, LEAST_DAYS));
    let high = high.max(low + LEAST_DAYS);
    (low - (high - low) * BEFORE, high + (high - low) * BEHIND)
}

/// The days a fan spans.
fn reach_of(fan: &Fan) -> Vec<f64> {
    let mut days = Vec::new();
    for reach in &fan.reaches {
        days.push(reach.early);
        days.extend(reach.middle);
        days.extend(reach.late);
    }
    let open = fan.reaches.iter().any(|reach| reach.late.is_none());
    if let Some((first, last)) = bounds(days.iter().copied()).filter(|_| open) {
        days.push(last + (last - first).max(LEAST_DAYS) * OPEN);
    }
    days
}

/// Lowest and highest value of a panel, with room for what is written there.
pub fn up(panel: &Panel) -> (f64, f64) {
    let points = panel.series.iter().flat_map(|series| &series.points).map(|point| point.y);
    let bands = panel.bands.iter().flat_map(|band| match &band.extent {
        Extent::Everywhere { low, high } => vec![*low, *high],
        Extent::Along(edges) => edges.iter().flat_map(|edge| [edge.low, edge.high]).collect(),
    });
    let targets = panel.targets.iter().map(|target| target.value);
    let fan = panel.fan.iter().flat_map(|fan| &fan.reaches).map(|reach| reach.y);
    let all = points.chain(bands).chain(targets).chain(fan);
    let (low, high) = bounds(all.chain(panel.axis.from)).unwrap_or((0.0, panel.axis.least_span));
    let missing = (panel.axis.least_span - (high - low)).max(0.0);
    let begins = panel.axis.from.filter(|from| *from <= low);
    let (low, high) = match begins {
        Some(from) => (from, high + missing),
        None => (low - missing / 2.0, high + missing / 2.0),
    };
    let span = if high > low { high - low } else { 1.0 };
    let low = if begins.is_some() { low } else { low - span * BELOW };
    (low, high.max(low + span) + span * ABOVE)
}

fn bounds(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.filter(|value| value.is_finite()).fold(None, |bounds, value| {
        let (low, high) = bounds.unwrap_or((value, value));
        Some((low.min(value), high.max(value)))
    })
}
