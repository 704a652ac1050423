//! What is taken already, so that nothing is written over it.

use super::LETTERS;
use crate::chart::measure;

/// A rectangle, in pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

impl Rect {
    /// Whether two cover one another.
    pub fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// Whether it lies wholly in another.
    pub fn is_in(&self, other: &Self) -> bool {
        other.left <= self.left
            && self.right <= other.right
            && other.top <= self.top
            && self.bottom <= other.bottom
    }

    /// Whether a line from one point to another passes through (Liang and Barsky's clipping).
    fn is_crossed_by(&self, ((x1, y1), (x2, y2)): Segment) -> bool {
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        let sides = [
            (x1 - x2, x1 - self.left),
            (x2 - x1, self.right - x1),
            (y1 - y2, y1 - self.top),
            (y2 - y1, self.bottom - y1),
        ];
        for (slope, distance) in sides {
            if slope.abs() < 1e-9 {
                if distance < 0.0 {
                    return false;
                }
            } else if slope < 0.0 {
                from = from.max(distance / slope);
            } else {
                to = to.min(distance / slope);
            }
        }
        from <= to
    }
}

/// A line from one point to another.
type Segment = ((f64, f64), (f64, f64));

/// Something written.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// What.
    pub text: String,
    /// Where it begins.
    pub left: f64,
    /// On what line it stands.
    pub baseline: f64,
    /// Size of its letters.
    pub size: f64,
    /// Whether it is bold.
    pub is_bold: bool,
    /// Whether it matters less.
    pub is_quiet: bool,
    /// Whether it stands inside a frame, with a rim of the ground around its letters.
    pub is_inside: bool,
}

/// Height of letters above and below their line, as a part of their size: of capitals with their accents, and of tails.
const ASCENT: f64 = 0.85;
const DESCENT: f64 = 0.24;

impl Label {
    /// Plain letters that begin at a place.
    pub const fn at(text: String, left: f64, baseline: f64) -> Self {
        Self { text, left, baseline, size: LETTERS, is_bold: false, is_quiet: false, is_inside: false }
    }

    /// Plain letters inside a frame.
    pub fn inside(text: String, left: f64, baseline: f64) -> Self {
        Self { is_inside: true, ..Self::at(text, left, baseline) }
    }

    /// What it covers.
    pub fn rect(&self) -> Rect {
        Rect {
            left: self.left,
            top: self.baseline - self.size * ASCENT,
            right: self.left + measure::width(&self.text, self.size, self.is_bold),
            bottom: self.baseline + self.size * DESCENT,
        }
    }
}

/// What is taken already.
#[derive(Debug, Default)]
pub(super) struct Space {
    labels: Vec<(Label, Rect)>,
    lines: Vec<Segment>,
}

impl Space {
    /// Writes something.
    pub(super) fn put(&mut self, label: Label) {
        if !label.text.is_empty() {
            let rect = label.rect();
            self.labels.push((label, rect));
        }
    }

    /// Nothing may be written over this line.
    pub(super) fn block(&mut self, corners: &[(f64, f64)]) {
        self.lines.extend(corners.windows(2).map(|pair| (pair[0], pair[1])));
        if let [only] = corners {
            self.lines.push((*only, *only));
        }
    }

    /// Whether a label would cover no other.
    pub(super) fn is_unwritten(&self, rect: &Rect) -> bool {
        !self.labels.iter().any(|(_, other)| rect.meets(other))
    }

    /// Whether a label would cover neither another nor a line.
    pub(super) fn is_free(&self, rect: &Rect) -> bool {
        self.is_unwritten(rect) && !self.lines.iter().any(|line| rect.is_crossed_by(*line))
    }

    /// All that was written.
    pub(super) fn into_labels(self) -> Vec<Label> {
        self.labels.into_iter().map(|(label, _)| label).collect()
    }
}
