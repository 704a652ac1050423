//! One panel in its frame.

use super::space::{Label, Space};
use super::{Drawing, GAP, LETTERS, Shape};
use crate::chart::data::{Band, Between, Extent, Fan, Panel, Series};
use crate::chart::measure;
use crate::chart::palette::{self, Marker};
use crate::chart::scale::Scale;
use crate::chart::ticks::Tick;

/// Half the width of a value; of values that stand close; of one among many courses.
const MARKER: f64 = 8.0;
const SMALL_MARKER: f64 = 4.0;
const DOT: f64 = 3.5;
/// Values of a course that still have room for the large one.
const MOST_LARGE: usize = 40;
/// Width of lines: of a course, of one among many.
const COURSE: f64 = 4.0;
const FAINT_COURSE: f64 = 2.5;

/// A panel in its place.
#[derive(Debug)]
pub(super) struct Frame<'a> {
    pub(super) panel: &'a Panel,
    /// On what line its name stands.
    pub(super) heading: f64,
    pub(super) across: Scale,
    pub(super) up: Scale,
    pub(super) numbers: Vec<Tick>,
    pub(super) dates: Vec<Tick>,
}

impl Frame<'_> {
    /// A place in pixels.
    pub(super) fn at(&self, x: f64, y: f64) -> (f64, f64) {
        (self.across.at(x), self.up.at(y))
    }

    /// Name, grid, numbers and edge; bands and levels, which lie under everything else.
    pub(super) fn draw_ground(&self, drawing: &mut Drawing, space: &mut Space) {
        let (left, right) = (self.across.from, self.across.to);
        let room = right - super::MARGIN;
        let name = measure::shortened(&measure::drawable(&self.panel.axis.label), LETTERS, true, room);
        space.put(Label { is_bold: true, ..Label::at(name, super::MARGIN, self.heading) });
        let grid = |corners| Shape::Line { corners, stroke: palette::GRID, width: 1.5, dash: "" };
        for tick in &self.numbers {
            let y = self.up.at(tick.value);
            drawing.shapes.push(grid(vec![(left, y), (right, y)]));
            let beside = left - GAP - measure::width(&tick.text, LETTERS, false);
            let number = Label::at(tick.text.clone(), beside, y + LETTERS * 0.36);
            // At the upper edge the name of the frame may stand there.
            if space.is_unwritten(&number.rect()) {
                space.put(number);
            }
        }
        for tick in &self.dates {
            let x = self.across.at(tick.value);
            drawing.shapes.push(grid(vec![(x, self.up.to), (x, self.up.from)]));
        }
        self.panel.bands.iter().for_each(|band| self.draw_band(band, drawing));
        drawing.shapes.push(Shape::Line {
            corners: vec![(left, self.up.to), (left, self.up.from), (right, self.up.from)],
            stroke: palette::QUIET_INK,
            width: 2.0,
            dash: "",
        });
        for target in &self.panel.targets {
            let corners = self.level(target.value);
            space.block(&corners);
            drawing.shapes.push(Shape::Line {
                corners,
                stroke: palette::LEVEL,
                width: 2.5,
                dash: LEVEL_DASH,
            });
        }
    }

    /// A level from edge to edge.
    fn level(&self, value: f64) -> Vec<(f64, f64)> {
        let y = self.up.at(value);
        vec![(self.across.from, y), (self.across.to, y)]
    }

    fn draw_band(&self, band: &Band, drawing: &mut Drawing) {
        let corners = self.corners_of(&band.extent);
        drawing.shapes.push(Shape::Area { corners: corners.clone(), fill: palette::WANTED, opacity: 0.16 });
        // The edges say where it ends to who does not see the shade.
        let half = corners.len() / 2;
        for corners in [&corners[..half], &corners[half..]] {
            drawing.shapes.push(Shape::Line {
                corners: corners.to_vec(),
                stroke: palette::WANTED,
                width: 1.5,
                dash: "",
            });
        }
    }

    /// The upper edge from left to right, then the lower one back.
    fn corners_of(&self, extent: &Extent) -> Vec<(f64, f64)> {
        match extent {
            Extent::Everywhere { low, high } => {
                let mut corners = self.level(*high);
                corners.extend(self.level(*low).into_iter().rev());
                corners
            }
            Extent::Along(edges) => {
                let upper = edges.iter().map(|edge| self.at(edge.x, edge.high));
                let lower = edges.iter().rev().map(|edge| self.at(edge.x, edge.low));
                upper.chain(lower).collect()
            }
        }
    }

    /// What was measured, and what is expected.
    pub(super) fn draw_courses(&self, drawing: &mut Drawing, space: &mut Space) {
        if let Some(fan) = &self.panel.fan {
            self.draw_fan(fan, drawing, space);
        }
        let (faint, plain): (Vec<_>, Vec<_>) =
            self.panel.series.iter().partition(|series| series.style.is_faint);
        for series in faint.into_iter().chain(plain) {
            self.draw_course(series, drawing, space);
        }
    }

    fn draw_fan(&self, fan: &Fan, drawing: &mut Drawing, space: &mut Space) {
        let edge = |days: Option<f64>| days.unwrap_or(self.across.high);
        let early: Vec<_> = fan.reaches.iter().map(|reach| self.at(reach.early, reach.y)).collect();
        let late: Vec<_> = fan.reaches.iter().map(|reach| self.at(edge(reach.late), reach.y)).collect();
        let corners = early.iter().chain(late.iter().rev()).copied().collect();
        drawing.shapes.push(Shape::Area { corners, fill: palette::EXPECTED, opacity: 0.32 });
        let middle: Vec<_> =
            fan.reaches.iter().filter_map(|reach| Some(self.at(reach.middle?, reach.y))).collect();
        for corners in [&early, &late, &middle] {
            space.block(corners);
        }
        for (corners, width, dash) in [(early, 1.5, ""), (middle, 3.0, "3 7")] {
            drawing.shapes.push(Shape::Line { corners, stroke: palette::INK, width, dash });
        }
        // An open end has no line.
        let closed: Vec<_> = fan.reaches.iter().take_while(|reach| reach.late.is_some()).collect();
        let corners = closed.iter().map(|reach| self.at(edge(reach.late), reach.y)).collect();
        drawing.shapes.push(Shape::Line { corners, stroke: palette::INK, width: 1.5, dash: "" });
    }

    fn draw_course(&self, series: &Series, drawing: &mut Drawing, space: &mut Space) {
        let points = series.points.iter().map(|point| self.at(point.x, point.y)).collect();
        let points = thinned(points);
        let style = series.style;
        let width = if style.is_faint { FAINT_COURSE } else { COURSE };
        let line = |corners| Shape::Line { corners, stroke: style.colour, width, dash: style.dash };
        match series.between {
            Between::Way => {
                space.block(&points);
                drawing.shapes.push(line(points.clone()));
            }
            Between::Step => {
                let corners = stepped(&points, self.across.to);
                space.block(&corners);
                drawing.shapes.push(line(corners));
                return;
            }
            Between::Nothing => points.iter().for_each(|point| space.block(&[*point])),
        }
        let radius = match (style.marker, points.len()) {
            (Marker::Dot, _) => DOT,
            (_, ..=MOST_LARGE) => MARKER,
            _ => SMALL_MARKER,
        };
        drawing.shapes.extend(points.into_iter().map(|at| Shape::Marker { at, style, radius }));
    }
}

/// Dash of levels.
pub(super) const LEVEL_DASH: &str = "12 6";

/// A value holds until the next one, the last to the edge.
fn stepped(points: &[(f64, f64)], edge: f64) -> Vec<(f64, f64)> {
    let mut corners = Vec::with_capacity(points.len() * 2);
    for (number, (x, y)) in points.iter().enumerate() {
        corners.push((*x, *y));
        corners.push((points.get(number + 1).map_or(edge, |next| next.0), *y));
    }
    corners
}

/// Values of a course that are all drawn; of more, only what can be told apart.
const MOST_POINTS: usize = 1000;
/// Pixels side by side in which a course is no more than where it comes in, its lowest and highest, and where it goes out.
const STRIP: f64 = 4.0;

/// Points without those that cover each other: a logger writes by the minute, and a chart is a thousand pixels wide.
fn thinned(points: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    if points.len() <= MOST_POINTS {
        return points;
    }
    let strip = |point: &(f64, f64)| (point.0 / STRIP) as i64;
    let strips = points.chunk_by(|one, next| strip(one) == strip(next));
    let kept = strips.flat_map(|strip| {
        let up = |one: &&(f64, f64), other: &&(f64, f64)| one.1.total_cmp(&other.1);
        let ends = [strip.first(), strip.iter().min_by(up), strip.iter().max_by(up), strip.last()];
        let mut kept: Vec<(f64, f64)> = ends.into_iter().flatten().copied().collect();
        kept.sort_by(|one, other| one.0.total_cmp(&other.0));
        kept.dedup();
        kept
    });
    kept.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_season_of_minutes_keeps_its_ends_and_its_extremes() {
        let wave = |at: usize| ((at as f64) / 100.0, 300.0 + 50.0 * ((at % 1440) as f64 / 1440.0));
        let mut points: Vec<(f64, f64)> = (0..100_000).map(wave).collect();
        points[50_003].1 = 12.0;
        points[70_001].1 = 590.0;
        let drawn = thinned(points.clone());
        assert!(drawn.len() <= 4 * (1000.0 / STRIP) as usize, "{}", drawn.len());
        for kept in [points[0], points[50_003], points[70_001], points[99_999]] {
            assert!(drawn.contains(&kept), "{kept:?}");
        }
        assert!(drawn.is_sorted_by(|one, next| one.0 <= next.0));
    }

    #[test]
    fn what_can_be_told_apart_stays_as_it_is() {
        let points: Vec<(f64, f64)> = (0..MOST_POINTS).map(|at| (at as f64 / 10.0, 3.0)).collect();
        assert_eq!(thinned(points.clone()), points);
    }
}
