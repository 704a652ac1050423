//! Names that found no place beside what they name: in rows under the title, each with its sample.

use super::space::{Label, Space};
use super::{Drawing, GAP, LEGEND_ROW, LETTERS, MARGIN, Shape, frame};
use crate::chart::palette::{self, Style};
use crate::chart::{WIDTH, measure};

/// Width of a sample.
const SAMPLE: f64 = 56.0;
/// Between two names.
const BETWEEN: f64 = 30.0;
/// Widest name.
const WIDEST: f64 = 400.0;
/// Rows at most: more would leave no room for what they name.
const MOST_ROWS: usize = 3;

/// What a name is of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Sample {
    Course(Style),
    Values(Style),
    Setting(Style),
    Level,
    Band,
    Fan,
}

/// A name with its sample.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Entry {
    pub(super) name: String,
    pub(super) sample: Sample,
}

/// The names in rows.
#[derive(Debug, Default)]
pub(super) struct Legend {
    entries: Vec<Entry>,
}

impl Legend {
    pub(super) fn extend(&mut self, entries: Vec<Entry>) {
        for entry in entries {
            if !self.entries.contains(&entry) {
                self.entries.push(entry);
            }
        }
    }

    pub(super) fn names(&self, entry: &Entry) -> bool {
        self.entries.contains(entry)
    }

    /// Draws them and gives the number of rows.
    pub(super) fn draw(&self, top: f64, drawing: &mut Drawing, space: &mut Space) -> f64 {
        let (mut left, mut row) = (MARGIN, 0);
        for entry in &self.entries {
            let name = measure::shortened(&measure::drawable(&entry.name), LETTERS, false, WIDEST);
            let right = left + SAMPLE + GAP + measure::width(&name, LETTERS, false);
            if right > WIDTH - MARGIN && left > MARGIN {
                (left, row) = (MARGIN, row + 1);
            }
            if row >= MOST_ROWS {
                return MOST_ROWS as f64;
            }
            let middle = top + row as f64 * LEGEND_ROW + LEGEND_ROW / 2.0;
            drawing.shapes.extend(sample(entry.sample, left, middle));
            space.put(Label::at(name.clone(), left + SAMPLE + GAP, middle + LETTERS * 0.36));
            left += SAMPLE + GAP + measure::width(&name, LETTERS, false) + BETWEEN;
        }
        if self.entries.is_empty() { 0.0 } else { (row + 1) as f64 }
    }
}

fn sample(sample: Sample, left: f64, middle: f64) -> Vec<Shape> {
    let line = |stroke, width, dash| Shape::Line {
        corners: vec![(left, middle), (left + SAMPLE, middle)],
        stroke,
        width,
        dash,
    };
    let (top, bottom) = (middle - 10.0, middle + 10.0);
    let corners = vec![(left, top), (left + SAMPLE, top), (left + SAMPLE, bottom), (left, bottom)];
    match sample {
        Sample::Course(style) => {
            let at = (left + SAMPLE / 2.0, middle);
            vec![line(style.colour, 4.0, style.dash), Shape::Marker { at, style, radius: 8.0 }]
        }
        Sample::Values(style) => {
            let at = (left + SAMPLE / 2.0, middle);
            vec![Shape::Marker { at, style, radius: 8.0 }]
        }
        Sample::Setting(style) => vec![line(style.colour, 4.0, style.dash)],
        Sample::Level => vec![line(palette::LEVEL, 2.5, frame::LEVEL_DASH)],
        Sample::Band => vec![Shape::Area { corners, fill: palette::WANTED, opacity: 0.3 }],
        Sample::Fan => vec![
            Shape::Area { corners, fill: palette::EXPECTED, opacity: 0.4 },
            line(palette::INK, 3.0, "3 7"),
        ],
    }
}
