//! Tables: rows are kept whole, headings stand again on every page, no row is left alone at a page's end or beginning.

use super::flow::{Flow, WIDTH};
use super::{Leaf, Part, Role, Shape};
use crate::chart::measure::width;
use crate::document::data::{Align, Table};
use crate::document::style::{
    CELL, CELL_EDGE, CELL_HEADING, CELL_SIDE, Ink, Letters, SIDE, TOP, UNDER_BLOCK,
};
use crate::document::text::wrapped_to;

/// Lines of one cell; a longer text is cut and marked.
const MOST_LINES: usize = 12;

/// Stands in a cell of nothing.
const NOTHING: &str = "–";

/// The lines of each cell of a row.
type Row = Vec<Vec<String>>;

/// Left edges and widths of the columns.
fn edges(table: &Table) -> Vec<(f64, f64)> {
    let all: f64 = table.columns.iter().map(|column| column.share).sum();
    let mut x = SIDE;
    let edge = |share: f64| {
        let wide = WIDTH * share / all.max(f64::MIN_POSITIVE);
        x += wide;
        (x - wide, wide)
    };
    table.columns.iter().map(|column| column.share).map(edge).collect()
}

fn row(texts: &[String], edges: &[(f64, f64)], letters: Letters) -> Row {
    let cell = |(text, (_, wide)): (&String, &(f64, f64))| {
        let lines = wrapped_to(text, letters.size, letters.bold, wide - 2.0 * CELL_SIDE, MOST_LINES);
        // An empty cell would be lost to whoever has the table read out.
        if lines.is_empty() { vec![NOTHING.to_owned()] } else { lines }
    };
    texts.iter().zip(edges).map(cell).collect()
}

fn height(row: &Row, letters: Letters) -> f64 {
    let lines = row.iter().map(Vec::len).max().unwrap_or(0).max(1);
    letters.leading * lines as f64 + 2.0 * CELL_EDGE
}

fn headings(table: &Table, edges: &[(f64, f64)]) -> Row {
    let texts: Vec<String> = table.columns.iter().map(|column| column.heading.clone()).collect();
    row(&texts, edges, CELL_HEADING)
}

/// The headings with the first rows.
pub(super) fn least_height(table: &Table) -> f64 {
    let edges = edges(table);
    let rows = table.rows.iter().take(2).map(|texts| height(&row(texts, &edges, CELL), CELL));
    height(&headings(table, &edges), CELL_HEADING) + rows.sum::<f64>()
}

pub(super) fn add(flow: &mut Flow, table: &Table) {
    if table.rows.is_empty() {
        return;
    }
    let edges = edges(table);
    let head = headings(table, &edges);
    let rows: Vec<Row> = table.rows.iter().map(|texts| row(texts, &edges, CELL)).collect();
    let heights: Vec<f64> = rows.iter().map(|row| height(row, CELL)).collect();
    if flow.room() < least_height(table) && flow.y > TOP {
        flow.start_page();
    }
    let mut part = Part::new(Role::Table);
    let mut head_part = Part::new(Role::Head);
    head_part.push(heading_row(flow, table, &head, &edges, true));
    part.push(head_part);
    let mut body = Part::new(Role::Body);
    let mut on_this_page = 0;
    for (count, cells) in rows.iter().enumerate() {
        let own = heights.get(count).copied().unwrap_or_default();
        // The last row goes on to the next page with the one before it.
        let with_last = heights.get(count + 1).filter(|_| count + 2 == rows.len() && on_this_page > 0);
        if flow.room() < own + with_last.copied().unwrap_or_default() && on_this_page > 0 {
            flow.start_page();
            let _ = heading_row(flow, table, &head, &edges, false);
            on_this_page = 0;
        }
        body.push(body_row(flow, table, cells, &edges, own));
        on_this_page += 1;
    }
    part.push(body);
    flow.laid.parts.push(part);
    flow.y += UNDER_BLOCK;
}

/// The headings; where they stand again they are no part of the document.
fn heading_row(flow: &mut Flow, table: &Table, head: &Row, edges: &[(f64, f64)], is_first: bool) -> Part {
    let own = height(head, CELL_HEADING);
    let top = flow.y;
    flow.put(None, Shape::Area { at: (SIDE, top), size: (WIDTH, own), ink: Ink::Ground });
    let mut part = Part::new(Role::Row);
    for ((cell, edge), column) in head.iter().zip(edges).zip(&table.columns) {
        let leaf = is_first.then(|| flow.leaf());
        cell_lines(flow, leaf, cell, *edge, column.align, CELL_HEADING);
        if let Some(leaf) = leaf {
            part.push(Part::of(Role::HeadCell, leaf));
        }
    }
    flow.y = top + own;
    part
}

fn body_row(flow: &mut Flow, table: &Table, cells: &Row, edges: &[(f64, f64)], own: f64) -> Part {
    let mut part = Part::new(Role::Row);
    for ((cell, edge), column) in cells.iter().zip(edges).zip(&table.columns) {
        let leaf = flow.leaf();
        cell_lines(flow, Some(leaf), cell, *edge, column.align, CELL);
        part.push(Part::of(Role::Cell, leaf));
    }
    flow.y += own;
    let rule = Shape::Rule { from: (SIDE, flow.y), to: (SIDE + WIDTH, flow.y), width: 0.5, ink: Ink::Rule };
    flow.put(None, rule);
    part
}

fn cell_lines(
    flow: &mut Flow,
    leaf: Option<Leaf>,
    lines: &[String],
    (left, wide): (f64, f64),
    align: Align,
    letters: Letters,
) {
    for (count, line) in lines.iter().enumerate() {
        let x = match align {
            Align::Left => left + CELL_SIDE,
            Align::Right => left + wide - CELL_SIDE - width(line, letters.size, letters.bold),
        };
        let y = flow.y + CELL_EDGE + letters.leading * count as f64;
        flow.line(leaf, (x, y), letters, &format!("{line} "));
    }
}
