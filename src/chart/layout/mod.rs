//! Where everything stands. A name stands beside what it names where it covers nothing; what finds no such place is named
//! in a row under the title.

mod frame;
mod legend;
mod marks;
mod names;
mod space;

pub use space::{Label, Rect};

use super::data::{Chart, Horizontal};
use super::palette::{self, Style};
use super::scale::{self, Scale};
use super::ticks::{self, Tick};
use super::{HEIGHT, WIDTH, measure};
use frame::Frame;
use space::Space;

/// Size of letters in pixels: still legible where a phone shows the picture 360 points wide.
pub const LETTERS: f64 = 24.0;
/// Size of the title's letters.
const TITLE: f64 = 32.0;
/// Free to all sides.
const MARGIN: f64 = 30.0;
/// Where the title stands, and where what is under it begins.
const TITLE_BASELINE: f64 = 52.0;
const UNDER_TITLE: f64 = 70.0;
/// Height of a row of names, of a frame's name, of a row of things that happened, of the dates.
const LEGEND_ROW: f64 = 36.0;
const HEADING: f64 = 38.0;
const DATES: f64 = 40.0;
/// Between a frame's edge and what stands beside it.
const GAP: f64 = 10.0;
/// Between two numbers on the way up, at least; and the most numbers.
const BETWEEN_NUMBERS: f64 = 46.0;
const MOST_NUMBERS: f64 = 7.0;

/// A shape, in the order in which it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A surface.
    Area {
        /// Its corners.
        corners: Vec<(f64, f64)>,
        /// Colour.
        fill: &'static str,
        /// From 0 to 1.
        opacity: f64,
    },
    /// A line.
    Line {
        /// Its corners.
        corners: Vec<(f64, f64)>,
        /// Colour.
        stroke: &'static str,
        /// In pixels.
        width: f64,
        /// As SVG takes it; empty for one drawn through.
        dash: &'static str,
    },
    /// A value.
    Marker {
        /// Where.
        at: (f64, f64),
        /// How.
        style: Style,
        /// Half its width.
        radius: f64,
    },
}

/// Everything in its place.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drawing {
    /// Surfaces, lines and values, from the back to the front.
    pub shapes: Vec<Shape>,
    /// What is written; no two cover one another.
    pub labels: Vec<Label>,
}

/// Puts everything in its place.
pub fn laid(chart: &Chart) -> Drawing {
    // Names that find no place make the rows under the title longer, which may take the place of others; each turn
    // names at least one more there, so there are no more turns than names.
    let mut under_title = legend::Legend::default();
    loop {
        let (drawing, homeless) = tried(chart, &under_title);
        if homeless.is_empty() {
            return drawing;
        }
        under_title.extend(homeless);
    }
}

fn tried(chart: &Chart, legend: &legend::Legend) -> (Drawing, Vec<legend::Entry>) {
    let mut drawing = Drawing::default();
    let mut space = Space::default();
    let title = measure::shortened(&measure::drawable(&chart.title), TITLE, true, WIDTH - 2.0 * MARGIN);
    space.put(Label { size: TITLE, is_bold: true, ..Label::at(title, MARGIN, TITLE_BASELINE) });
    let rows = legend.draw(UNDER_TITLE, &mut drawing, &mut space);
    let top = UNDER_TITLE + rows * LEGEND_ROW;
    // How many rows the things that happened need shows once it is known where they happened.
    let one_row = frames(chart, legend, top, marks::fewest_rows(&chart.marks));
    let mark_rows = marks::rows(&chart.marks, &one_row);
    let frames = if mark_rows > 1.0 { frames(chart, legend, top, mark_rows) } else { one_row };
    dates(chart, &frames, &mut drawing, &mut space);
    for frame in &frames {
        frame.draw_ground(&mut drawing, &mut space);
    }
    marks::draw(&chart.marks, mark_rows, &frames, &mut drawing, &mut space);
    let mut homeless = Vec::new();
    for frame in &frames {
        frame.draw_courses(&mut drawing, &mut space);
        homeless.extend(names::placed(frame, legend, &mut space));
    }
    drawing.labels = space.into_labels();
    (drawing, homeless)
}

/// The frames of the panels, with scales across and up.
fn frames<'a>(chart: &'a Chart, legend: &legend::Legend, top: f64, mark_rows: f64) -> Vec<Frame<'a>> {
    let (low, high) = scale::across(chart);
    let own_label = if matches!(chart.horizontal, Horizontal::Days { .. }) { LETTERS + GAP } else { 0.0 };
    let bottom = HEIGHT - DATES - own_label - GAP;
    let headings = HEADING * chart.panels.len() as f64;
    let shares: f64 = chart.panels.iter().map(|panel| panel.share).sum();
    let between = GAP * 2.0 * (chart.panels.len().saturating_sub(1)) as f64;
    let free = bottom - top - headings - between - mark_rows * marks::ROW;
    let mut at = top;
    let mut frames = Vec::new();
    for panel in &chart.panels {
        let height = free * panel.share / shares;
        at += HEADING;
        let heading = at - GAP;
        if frames.is_empty() {
            at += mark_rows * marks::ROW;
        }
        let (lowest, highest) = scale::up(panel);
        frames.push(Frame {
            panel,
            heading,
            across: Scale { low, high, from: 0.0, to: 0.0 },
            up: Scale { low: lowest, high: highest, from: at + height, to: at },
            numbers: ticks::numbers(
                lowest,
                highest,
                (height / BETWEEN_NUMBERS).clamp(2.0, MOST_NUMBERS) as usize,
            ),
            dates: Vec::new(),
        });
        at += height + GAP * 2.0;
    }
    let numbers = frames.iter().flat_map(|frame| &frame.numbers);
    let widest = numbers.map(|tick| measure::width(&tick.text, LETTERS, false)).fold(0.0, f64::max);
    let mut across = Scale {
        low,
        high,
        from: MARGIN + widest + GAP,
        to: WIDTH - MARGIN - names::beside(chart, legend, (low, high)),
    };
    across.to = across.to.max(across.from + WIDTH / 2.0);
    let dates = date_ticks(&chart.horizontal, across);
    for frame in &mut frames {
        frame.across = across;
        frame.dates.clone_from(&dates);
    }
    frames
}

fn date_ticks(horizontal: &Horizontal, across: Scale) -> Vec<Tick> {
    let ticks = match horizontal {
        Horizontal::Days { .. } => {
            let wanted = (across.to - across.from) / (LETTERS * 4.0);
            ticks::numbers(across.low, across.high, wanted as usize)
        }
        Horizontal::Calendar { origin, zone, names } => {
            let fits = |ticks: &[Tick]| {
                let ends = ticks.iter().map(|tick| date_box(tick, across));
                let ends: Vec<(f64, f64)> = ends.collect();
                ends.iter().zip(ends.iter().skip(1)).all(|(one, next)| one.1 + LETTERS < next.0)
            };
            ticks::calendar((*origin, *zone), names, (across.low, across.high), fits)
        }
    };
    let is_whole = |tick: &Tick| {
        let (left, right) = date_box(tick, across);
        left > GAP && right < WIDTH - GAP
    };
    ticks.into_iter().filter(is_whole).collect()
}

/// From where to where the text of a date stands.
fn date_box(tick: &Tick, across: Scale) -> (f64, f64) {
    let width = measure::width(&tick.text, LETTERS, false);
    let middle = across.at(tick.value);
    (middle - width / 2.0, middle + width / 2.0)
}

/// The dates under the last frame.
fn dates(chart: &Chart, frames: &[Frame<'_>], drawing: &mut Drawing, space: &mut Space) {
    let Some(last) = frames.last() else { return };
    let edge = last.up.from;
    for tick in &last.dates {
        let (left, _) = date_box(tick, last.across);
        let middle = last.across.at(tick.value);
        drawing.shapes.push(Shape::Line {
            corners: vec![(middle, edge), (middle, edge + GAP)],
            stroke: palette::QUIET_INK,
            width: 2.0,
            dash: "",
        });
        space.put(Label::at(tick.text.clone(), left, edge + GAP + LETTERS + 2.0));
    }
    if let Horizontal::Days { label } = &chart.horizontal {
        let room = last.across.to - last.across.from;
        let text = measure::shortened(&measure::drawable(label), LETTERS, false, room);
        let left = last.across.to - measure::width(&text, LETTERS, false);
        space.put(Label { is_quiet: true, ..Label::at(text, left, edge + DATES + LETTERS + 4.0) });
    }
}
