//! Names beside what they name.

use super::frame::Frame;
use super::legend::{Entry, Legend, Sample};
use super::space::{Label, Rect, Space};
use super::{GAP, LETTERS};
use crate::chart::data::{Band, Between, Chart, Extent, Fan, Series};
use crate::chart::measure;

/// Between the lines of two names.
const PITCH: f64 = 30.0;
/// Widest name beside a course.
const WIDEST: f64 = 220.0;
/// From a course's last value to its name.
const AWAY: f64 = 16.0;
/// A name may stand so far above or below its course's last value.
const FARTHEST: f64 = 90.0;

/// Room to keep on the right for names of courses that go on to the edge.
pub(super) fn beside(chart: &Chart, legend: &Legend, (low, high): (f64, f64)) -> f64 {
    let courses = chart.panels.iter().flat_map(|panel| &panel.series);
    let named = courses.filter(|series| is_named_beside(series) && !legend.names(&entry(series)));
    let at_edge = named.filter(|series| {
        let last = series.points.last().map(|last| last.x);
        series.between == Between::Step || last.is_some_and(|last| last > low + (high - low) * 0.85)
    });
    at_edge.map(|series| AWAY + name_of(&series.name).1).fold(0.0, f64::max)
}

/// Whether a name may stand beside the course. One of many has no place of its own.
fn is_named_beside(series: &Series) -> bool {
    !(series.name.is_empty() || series.points.is_empty() || series.style.is_faint)
}

fn entry(series: &Series) -> Entry {
    let sample = match series.between {
        Between::Way => Sample::Course(series.style),
        Between::Step => Sample::Setting(series.style),
        Between::Nothing => Sample::Values(series.style),
    };
    Entry { name: series.name.clone(), sample }
}

/// A name as it is written, and its width.
fn name_of(name: &str) -> (String, f64) {
    let text = measure::shortened(&measure::drawable(name), LETTERS, false, WIDEST);
    let width = measure::width(&text, LETTERS, false);
    (text, width)
}

/// Writes the names of a frame; gives those that found no place.
pub(super) fn placed(frame: &Frame<'_>, legend: &Legend, space: &mut Space) -> Vec<Entry> {
    let mut homeless = Vec::new();
    let panel = frame.panel;
    let mut place = |entry: Entry, candidates: Vec<Label>| {
        if entry.name.is_empty() || legend.names(&entry) {
            return;
        }
        match candidates.into_iter().find(|label| is_fit(label, frame, space)) {
            Some(label) => space.put(label),
            None => homeless.push(entry),
        }
    };
    for target in &panel.targets {
        let text = measure::drawable(&target.name);
        let y = frame.up.at(target.value);
        place(Entry { name: target.name.clone(), sample: Sample::Level }, along(frame, &text, y, y));
    }
    if let Some(fan) = &panel.fan {
        place(Entry { name: fan.name.clone(), sample: Sample::Fan }, of_fan(frame, fan));
    }
    for band in &panel.bands {
        place(Entry { name: band.name.clone(), sample: Sample::Band }, of_band(frame, band));
    }
    homeless.extend(courses(frame, legend, space));
    homeless
}

fn is_fit(label: &Label, frame: &Frame<'_>, space: &Space) -> bool {
    let inside =
        Rect { left: frame.across.from, right: super::WIDTH - GAP, top: frame.up.to, bottom: frame.up.from };
    let rect = label.rect();
    rect.is_in(&inside) && space.is_free(&rect)
}

/// Above the upper and below the lower of two levels, at the left, the right and between.
fn along(frame: &Frame<'_>, text: &str, upper: f64, lower: f64) -> Vec<Label> {
    let width = measure::width(text, LETTERS, false);
    let (left, right) = (frame.across.from + GAP, frame.across.to - GAP - width);
    let mut places = Vec::new();
    for baseline in [upper - GAP, lower + LETTERS + 2.0] {
        for part in [0.0, 1.0, 0.5, 0.25, 0.75] {
            places.push(Label::inside(text.to_owned(), left + (right - left) * part, baseline));
        }
    }
    places
}

/// Above the end of the fan, else under its far edge.
fn of_fan(frame: &Frame<'_>, fan: &Fan) -> Vec<Label> {
    let text = measure::drawable(&fan.name);
    let width = measure::width(&text, LETTERS, false);
    let Some(last) = fan.reaches.last() else { return Vec::new() };
    let end = last.middle.unwrap_or(frame.across.high);
    let (x, y) = frame.at(end, last.y);
    let far = frame.across.at(last.late.unwrap_or(frame.across.high));
    let most = frame.across.to - width;
    let clamped = |left: f64| left.min(most).max(frame.across.from + GAP);
    let above = [x - width / 2.0, most, x - width].map(|left| (clamped(left), y - GAP));
    let below = [0.3, 0.5, 0.7, 0.9].map(|part| {
        let level = y + (frame.up.from - y) * part;
        (clamped(far - width), level)
    });
    let places = above.into_iter().chain(below);
    places.map(|(left, baseline)| Label::inside(text.clone(), left, baseline)).collect()
}

/// Inside a band that is high enough, else along its edges.
fn of_band(frame: &Frame<'_>, band: &Band) -> Vec<Label> {
    let text = measure::drawable(&band.name);
    let width = measure::width(&text, LETTERS, false);
    match &band.extent {
        Extent::Everywhere { low, high } => {
            let (upper, lower) = (frame.up.at(*high), frame.up.at(*low));
            let mut places = Vec::new();
            if lower - upper > LETTERS + GAP {
                places.extend(along(frame, &text, lower, upper));
            }
            places.extend(along(frame, &text, upper, lower));
            places
        }
        Extent::Along(edges) => {
            let mut places = Vec::new();
            for edge in edges.iter().rev() {
                let (x, upper) = frame.at(edge.x, edge.high);
                let (_, lower) = frame.at(edge.x, edge.low);
                let left = (x - width).max(frame.across.from + GAP);
                places.push(Label::inside(text.clone(), left, lower + LETTERS + GAP));
                places.push(Label::inside(text.clone(), left, upper - GAP));
                places.push(Label::inside(text.clone(), left, f64::midpoint(upper, lower) + LETTERS * 0.36));
            }
            places
        }
    }
}

/// The courses' names at their ends; all of a frame or none, but for those that stand for many.
fn courses(frame: &Frame<'_>, legend: &Legend, space: &mut Space) -> Vec<Entry> {
    let all = &frame.panel.series;
    let many = all.iter().filter(|series| series.style.is_faint && !series.name.is_empty()).map(entry);
    let mut homeless: Vec<Entry> = many.filter(|entry| !legend.names(entry)).collect();
    let named: Vec<&Series> = all.iter().filter(|series| is_named_beside(series)).collect();
    let entries: Vec<Entry> = named.iter().map(|series| entry(series)).collect();
    if entries.iter().all(|entry| legend.names(entry)) {
        return homeless;
    }
    let labels = at_ends(frame, &named);
    let own = |label: &Label| labels.iter().filter(|other| other.rect().meets(&label.rect())).count() == 1;
    if labels.len() == named.len() && labels.iter().all(|label| own(label) && is_fit(label, frame, space)) {
        for label in labels {
            space.put(label);
        }
    } else {
        homeless.extend(entries);
    }
    homeless
}

/// The names at the ends of their courses, moved apart; fewer than courses where that would take them too far away.
fn at_ends(frame: &Frame<'_>, named: &[&Series]) -> Vec<Label> {
    let mut ends: Vec<(f64, f64, &str)> = named
        .iter()
        .filter_map(|series| series.points.last().map(|last| (series, frame.at(last.x, last.y))))
        .map(|(series, (x, y))| {
            (if series.between == Between::Step { frame.across.to } else { x }, y, series.name.as_str())
        })
        .collect();
    ends.sort_by(|one, other| one.1.total_cmp(&other.1));
    let total = PITCH * ends.len().saturating_sub(1) as f64;
    let middle = ends.iter().map(|(_, y, _)| y).sum::<f64>() / ends.len().max(1) as f64;
    let lowest_start = frame.up.from - total - PITCH / 2.0;
    let mut at = f64::NEG_INFINITY;
    let first = (middle - total / 2.0).min(lowest_start).max(frame.up.to + PITCH / 2.0);
    let mut labels = Vec::new();
    for (number, (x, y, name)) in ends.iter().enumerate() {
        let packed = first + PITCH * number as f64;
        let wanted = if ends.len() > 1 && is_dense(&ends) { packed } else { *y };
        at = wanted.max(at + PITCH);
        if (at - y).abs() > FARTHEST {
            continue;
        }
        let (text, _) = name_of(name);
        labels.push(Label::inside(text, x + AWAY, at + LETTERS * 0.36));
    }
    labels
}

fn is_dense(ends: &[(f64, f64, &str)]) -> bool {
    ends.windows(2).any(|pair| pair[1].1 - pair[0].1 < PITCH)
}
