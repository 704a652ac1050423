//! A chart in the letters of a terminal: coarse, and enough to see where it goes.

use super::data::{Between, Chart, Extent, Fan, Horizontal, Mark, Panel, Series};
use super::scale::{self, Scale};
use super::ticks::{self, Tick};

/// Columns of a frame, and of the numbers beside it.
const COLUMNS: usize = 54;
const NUMBERS: usize = 6;
/// Rows of all frames together.
const ROWS: f64 = 16.0;
/// Rows of a frame at least.
const LEAST_ROWS: usize = 4;
/// Columns of a line of names.
const LINE: usize = NUMBERS + 2 + COLUMNS;

const LEVEL: char = '-';
const BAND: char = ':';
const EXPECTED: char = '░';
const HAPPENED: char = '|';
const WAY: char = '·';

/// The chart as lines of at most 62 columns.
pub fn block(chart: &Chart) -> String {
    let (low, high) = scale::across(chart);
    let across = Scale { low, high, from: 0.0, to: (COLUMNS - 1) as f64 };
    let shares: f64 = chart.panels.iter().map(|panel| panel.share).sum();
    let mut lines = Vec::new();
    for panel in &chart.panels {
        let rows = ((ROWS * panel.share / shares).round() as usize).max(LEAST_ROWS);
        lines.push(panel.axis.label.clone());
        lines.extend(frame(panel, &chart.marks, across, rows));
    }
    lines.push(dates(&chart.horizontal, across));
    lines.extend(names(chart));
    lines.join("\n")
}

/// The letters of a frame.
struct Grid {
    cells: Vec<Vec<char>>,
    across: Scale,
    up: Scale,
}

impl Grid {
    fn put(&mut self, column: usize, row: usize, letter: char) {
        if let Some(cell) = self.cells.get_mut(row).and_then(|cells| cells.get_mut(column)) {
            *cell = letter;
        }
    }

    fn column(&self, x: f64) -> usize {
        self.across.at(x).round() as usize
    }

    fn row(&self, y: f64) -> usize {
        self.up.at(y).round() as usize
    }

    fn level(&mut self, y: f64, letter: char) {
        let row = self.row(y);
        (0..COLUMNS).for_each(|column| self.put(column, row, letter));
    }

    fn band(&mut self, extent: &Extent) {
        match extent {
            Extent::Everywhere { low, high } => {
                self.level(*low, BAND);
                self.level(*high, BAND);
            }
            Extent::Along(edges) => {
                for pair in edges.windows(2) {
                    let (one, next) = (pair[0], pair[1]);
                    self.way((one.x, one.low), (next.x, next.low), BAND);
                    self.way((one.x, one.high), (next.x, next.high), BAND);
                }
            }
        }
    }

    /// A straight way between two values.
    fn way(&mut self, from: (f64, f64), to: (f64, f64), letter: char) {
        let (first, last) = (self.column(from.0), self.column(to.0));
        for column in first..=last {
            let part = if last > first { (column - first) as f64 / (last - first) as f64 } else { 1.0 };
            let row = self.row(from.1 + (to.1 - from.1) * part);
            self.put(column, row, letter);
        }
    }

    fn fan(&mut self, fan: &Fan) {
        for pair in fan.reaches.windows(2) {
            let (from, to) = (self.row(pair[0].y), self.row(pair[1].y));
            for row in to..=from {
                let part = if from > to { (from - row) as f64 / (from - to) as f64 } else { 1.0 };
                let between = |one: f64, other: f64| one + (other - one) * part;
                let late = |late: Option<f64>| late.unwrap_or(self.across.high);
                let first = self.column(between(pair[0].early, pair[1].early));
                let last = self.column(between(late(pair[0].late), late(pair[1].late)));
                (first..=last).for_each(|column| self.put(column, row, EXPECTED));
            }
        }
    }

    fn course(&mut self, series: &Series) {
        let letter = series.style.letter;
        for pair in series.points.windows(2) {
            match series.between {
                Between::Way => self.way((pair[0].x, pair[0].y), (pair[1].x, pair[1].y), WAY),
                Between::Step => self.way((pair[0].x, pair[0].y), (pair[1].x, pair[0].y), LEVEL),
                Between::Nothing => {}
            }
        }
        if let Some(last) = series.points.last().filter(|_| series.between == Between::Step) {
            self.way((last.x, last.y), (self.across.high, last.y), LEVEL);
            return;
        }
        for point in &series.points {
            self.put(self.column(point.x), self.row(point.y), letter);
        }
    }
}

fn frame(panel: &Panel, marks: &[Mark], across: Scale, rows: usize) -> Vec<String> {
    let (low, high) = scale::up(panel);
    let up = Scale { low, high, from: (rows - 1) as f64, to: 0.0 };
    let mut grid = Grid { cells: vec![vec![' '; COLUMNS]; rows], across, up };
    for mark in marks {
        let column = grid.column(mark.x);
        (0..rows).for_each(|row| grid.put(column, row, HAPPENED));
    }
    panel.bands.iter().for_each(|band| grid.band(&band.extent));
    panel.fan.iter().for_each(|fan| grid.fan(fan));
    panel.targets.iter().for_each(|target| grid.level(target.value, LEVEL));
    let faint = panel.series.iter().filter(|series| series.style.is_faint);
    let plain = panel.series.iter().filter(|series| !series.style.is_faint);
    faint.chain(plain).for_each(|series| grid.course(series));
    let mut numbers = vec![String::new(); rows];
    for tick in ticks::numbers(low, high, (rows / 2).max(2)) {
        if let Some(place) = numbers.get_mut(grid.row(tick.value)) {
            place.clone_from(&tick.text);
        }
    }
    let row = |(number, cells): (&String, &Vec<char>)| {
        let letters: String = cells.iter().collect();
        format!("{number:>NUMBERS$} |{letters}").trim_end().to_owned()
    };
    let mut lines: Vec<String> = numbers.iter().zip(&grid.cells).map(row).collect();
    lines.push(format!("{:NUMBERS$} +{}", "", "-".repeat(COLUMNS)));
    lines
}

/// The dates under the last frame, each beginning where it is meant.
fn dates(horizontal: &Horizontal, across: Scale) -> String {
    let fits = |ticks: &[Tick]| {
        let at = |tick: &Tick| across.at(tick.value).round() as usize;
        ticks.windows(2).all(|pair| at(&pair[0]) + pair[0].text.chars().count() + 2 <= at(&pair[1]))
    };
    let ticks = match horizontal {
        Horizontal::Days { .. } => ticks::numbers(across.low, across.high, COLUMNS / 8),
        Horizontal::Calendar { origin, zone, names } => {
            ticks::calendar((*origin, *zone), names, (across.low, across.high), fits)
        }
    };
    let mut line = " ".repeat(NUMBERS + 2);
    for tick in ticks {
        let column = NUMBERS + 2 + across.at(tick.value).round() as usize;
        let length = line.chars().count();
        if column + tick.text.chars().count() <= LINE && column >= length {
            line.push_str(&" ".repeat(column - length));
            line.push_str(&tick.text);
        }
    }
    match horizontal {
        Horizontal::Days { label } => format!("{line}\n{label:>LINE$}"),
        Horizontal::Calendar { .. } => line,
    }
}

/// What the letters mean, in lines.
fn names(chart: &Chart) -> Vec<String> {
    let mut names = Vec::new();
    for panel in &chart.panels {
        let courses = panel.series.iter().filter(|series| !series.name.is_empty());
        let letter =
            |series: &Series| if series.between == Between::Step { LEVEL } else { series.style.letter };
        names.extend(courses.map(|series| format!("{} {}", letter(series), series.name)));
        names.extend(panel.targets.iter().map(|target| format!("{LEVEL} {}", target.name)));
        names.extend(panel.fan.iter().map(|fan| format!("{EXPECTED} {}", fan.name)));
        names.extend(panel.bands.iter().map(|band| format!("{BAND} {}", band.name)));
    }
    if !chart.marks.is_empty() {
        let happened: Vec<&str> = chart.marks.iter().map(|mark| mark.name.as_str()).collect();
        names.push(format!("{HAPPENED} {}", happened.join(", ")));
    }
    // Panels may share a name with its letter.
    let mut said: Vec<String> = Vec::new();
    names.retain(|name| {
        !said.contains(name) && {
            said.push(name.clone());
            true
        }
    });
    let mut lines: Vec<String> = Vec::new();
    for name in names {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 3 + name.chars().count() <= LINE => {
                line.push_str("   ");
                line.push_str(&name);
            }
            _ => lines.push(name),
        }
    }
    lines
}
