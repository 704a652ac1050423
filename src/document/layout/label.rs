//! Labels side by side on a page, with marks to cut them apart by.
//!
//! On A4, because that is the paper that lies in a printer at home; every label is 90 mm by 54 mm, so that ten stand on a
//! page.

use super::flow::Flow;
use super::{Entry, Laid, Page, Part, Role, Shape};
use crate::chart::measure::width;
use crate::document::data::{Field, Label, Sheet};
use crate::document::style::{Ink, LABEL_FIELD, LABEL_FOOT, LABEL_HEADING, Letters, MILLIMETRE, PAGE};
use crate::document::text::wrapped_to;

/// Width and height of a label.
const LABEL: (f64, f64) = (90.0 * MILLIMETRE, 54.0 * MILLIMETRE);
/// Labels side by side, and under one another.
const ACROSS: usize = 2;
const DOWN: usize = 5;
/// Free inside a label.
const INSIDE: f64 = 9.0;
/// Free under its heading.
const UNDER_HEADING: f64 = 2.0;
/// Length of a mark to cut by, on each side of a corner.
const MARK: f64 = 5.0;
/// Lines of a value: the fourteen allergens take three.
const MOST_LINES: usize = 3;
/// Between a name and its value.
const BETWEEN: f64 = 5.0;

pub(super) fn laid(sheet: &Sheet) -> Laid {
    let mut flow = Flow::default();
    for (number, labels) in sheet.labels.chunks(ACROSS * DOWN).enumerate() {
        flow.laid.pages.push(Page { size: PAGE, items: Vec::new() });
        let rows = labels.len().div_ceil(ACROSS);
        let across = ACROSS.min(labels.len());
        marks(&mut flow, across, rows);
        for (place, label) in labels.iter().enumerate() {
            let corner = corner(place % ACROSS, place / ACROSS);
            add(&mut flow, number, corner, label);
        }
    }
    flow.laid
}

/// The upper left corner of a place.
fn corner(column: usize, row: usize) -> (f64, f64) {
    let left = (PAGE.0 - LABEL.0 * ACROSS as f64) / 2.0;
    let top = (PAGE.1 - LABEL.1 * DOWN as f64) / 2.0;
    (left + LABEL.0 * column as f64, top + LABEL.1 * row as f64)
}

/// A small cross at every corner.
fn marks(flow: &mut Flow, across: usize, rows: usize) {
    for row in 0..=rows {
        for column in 0..=across {
            let (x, y) = corner(column, row);
            let line = |from, to| Shape::Rule { from, to, width: 0.4, ink: Ink::Quiet };
            flow.put(None, line((x - MARK, y), (x + MARK, y)));
            flow.put(None, line((x, y - MARK), (x, y + MARK)));
        }
    }
}

fn add(flow: &mut Flow, page: usize, (left, top): (f64, f64), label: &Label) {
    let wide = LABEL.0 - 2.0 * INSIDE;
    let x = left + INSIDE;
    let mut y = top + INSIDE;
    let mut part = Part::new(Role::Section);
    let foot: Vec<Vec<String>> =
        label.foot.iter().map(|text| wrapped_to(text, LABEL_FOOT.size, true, wide, 2)).collect();
    let foot_height = LABEL_FOOT.leading * foot.iter().map(Vec::len).sum::<usize>() as f64;
    let rows: usize =
        label.fields.iter().map(|field| value_lines(field, wide, MOST_LINES).len().max(1)).sum();
    let left = LABEL.1 - 2.0 * INSIDE - foot_height - LABEL_FIELD.leading * rows as f64;
    // A long name gives way to what is said of the piece.
    let heading_lines = if left < LABEL_HEADING.leading * 2.0 + UNDER_HEADING { 1 } else { 2 };
    let heading = wrapped_to(&label.heading, LABEL_HEADING.size, true, wide, heading_lines);
    if !heading.is_empty() {
        let leaf = flow.leaf();
        flow.lines(leaf, (x, y), LABEL_HEADING, &heading);
        part.push(Part::of(Role::Heading(1, heading.join(" ")), leaf));
        flow.laid.contents.push(Entry { text: heading.join(" "), page, y: top });
        y += LABEL_HEADING.leading * heading.len() as f64 + UNDER_HEADING;
    }
    let mut under = top + LABEL.1 - INSIDE - foot_height;
    let mut list = Part::new(Role::List);
    for field in &label.fields {
        let (item, lines) = line(flow, (x, y), (wide, under - y), field);
        if lines == 0 {
            break;
        }
        list.push(item);
        y += LABEL_FIELD.leading * lines as f64;
    }
    part.push(list);
    for lines in foot.iter().filter(|lines| !lines.is_empty()) {
        let leaf = flow.leaf();
        flow.lines(leaf, (x, under), LABEL_FOOT, lines);
        part.push(Part::of(Role::Paragraph, leaf));
        under += LABEL_FOOT.leading * lines.len() as f64;
    }
    flow.laid.parts.push(part);
}

/// A name with its value beside it, in as many lines as there is room for; gives back how many these are.
fn line(flow: &mut Flow, (x, y): (f64, f64), (wide, room): (f64, f64), field: &Field) -> (Part, usize) {
    let most = MOST_LINES.min((room / LABEL_FIELD.leading).floor().max(0.0) as usize);
    let mut item = Part::new(Role::ListItem);
    if most == 0 {
        return (item, 0);
    }
    let (name, taken) = name_of(field, wide);
    let quiet = Letters { ink: Ink::Quiet, ..LABEL_FIELD };
    let leaf = flow.leaf();
    flow.line(Some(leaf), (x, y), quiet, &format!("{name} "));
    item.push(Part::of(Role::Name, leaf));
    let value = value_lines(field, wide, most);
    if !value.is_empty() {
        let leaf = flow.leaf();
        flow.lines(leaf, (x + taken, y), Letters { bold: true, ..LABEL_FIELD }, &value);
        item.push(Part::of(Role::Value, leaf));
    }
    (item, value.len().max(1))
}

/// The name in one line, and the room it takes with what is free after it.
fn name_of(field: &Field, wide: f64) -> (String, f64) {
    let name = wrapped_to(&field.name, LABEL_FIELD.size, false, wide / 2.0, 1).concat();
    let taken = width(&name, LABEL_FIELD.size, false) + BETWEEN;
    (name, taken)
}

fn value_lines(field: &Field, wide: f64, most: usize) -> Vec<String> {
    wrapped_to(&field.value, LABEL_FIELD.size, true, wide - name_of(field, wide).1, most)
}
