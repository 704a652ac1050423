//! Things that happened: a line through all frames, and its name above the first.

use super::frame::Frame;
use super::space::{Label, Rect, Space};
use super::{Drawing, GAP, LETTERS, Shape};
use crate::chart::data::Mark;
use crate::chart::{WIDTH, measure, palette};

/// Height of a row of names.
pub(super) const ROW: f64 = 32.0;
/// Rows at most.
const MOST_ROWS: usize = 3;
/// Widest name, in pixels.
const WIDEST: f64 = 260.0;

/// Rows of names, before it is known where they stand.
pub(super) const fn fewest_rows(marks: &[Mark]) -> f64 {
    if marks.is_empty() { 0.0 } else { 1.0 }
}

/// Rows of names: as many as it takes for each to have a place, and no more than that.
pub(super) fn rows(marks: &[Mark], frames: &[Frame<'_>]) -> f64 {
    let Some(frame) = frames.first() else { return 0.0 };
    let mut ends = [f64::NEG_INFINITY; MOST_ROWS];
    let mut used = 0;
    for mark in marks {
        let rect = frame.name_of(mark, 0).rect();
        if let Some(row) = ends.iter().position(|end| rect.left - GAP >= *end) {
            ends[row] = rect.right + GAP;
            used = used.max(row + 1);
        }
    }
    used as f64
}

/// The names above the first frame, and for each a line through all frames. Nothing is written over the lines; what finds
/// no place for its name has no line either.
pub(super) fn draw(
    marks: &[Mark],
    rows: f64,
    frames: &[Frame<'_>],
    drawing: &mut Drawing,
    space: &mut Space,
) {
    let Some(first) = frames.first() else { return };
    for mark in marks {
        let free = (0..rows as usize).map(|row| first.name_of(mark, row)).find(|label| {
            let rect = label.rect();
            let around = Rect { left: rect.left - GAP, right: rect.right + GAP, ..rect };
            space.is_unwritten(&around)
        });
        let Some(label) = free else { continue };
        space.put(label);
        for frame in frames {
            let x = frame.across.at(mark.x);
            let corners = vec![(x, frame.up.to), (x, frame.up.from)];
            space.block(&corners);
            drawing.shapes.push(Shape::Line { corners, stroke: palette::QUIET_INK, width: 2.0, dash: "2 6" });
        }
    }
}

impl Frame<'_> {
    /// A name in a row above this frame.
    fn name_of(&self, mark: &Mark, row: usize) -> Label {
        let text = measure::shortened(&measure::drawable(&mark.name), LETTERS, false, WIDEST);
        let width = measure::width(&text, LETTERS, false);
        let most = WIDTH - super::MARGIN - width;
        let left = (self.across.at(mark.x) - width / 2.0).clamp(super::MARGIN, most);
        Label { is_quiet: true, ..Label::at(text, left, self.up.to - GAP - row as f64 * ROW) }
    }
}
