//! Which column holds what.

use super::cell::{Cell, Unit, cell};
use super::heads::words::Sense;
use super::heads::{Head, head};
use super::refused::{Place, Refused, column, harmless};
use super::split::Record;
use super::understood::{Column, DateOrder, Ignored, Meaning};
use super::{Asked, Kind};
use crate::quantity::{MassUnit, TemperatureScale, parse};
use chrono::FixedOffset;

/// The cells that hold the time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TimeCells {
    /// Date and time, or a date, in one.
    One(usize),
    /// A date, and a time beside it.
    Two { date: usize, time: usize },
}

impl TimeCells {
    pub(super) const fn first(self) -> usize {
        match self {
            Self::One(index) => index,
            Self::Two { date, .. } => date,
        }
    }
}

/// A column of weights.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct WeightCells {
    pub(super) index: usize,
    pub(super) unit: Option<MassUnit>,
}

/// The columns that are taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Taken {
    Air { temperature: Option<(usize, Option<TemperatureScale>)>, humidity: Option<usize> },
    Weights(Vec<WeightCells>),
}

impl Taken {
    /// The indices of the cells with values.
    pub(super) fn indices(&self) -> Vec<usize> {
        match self {
            Self::Air { temperature, humidity } => {
                temperature.map(|(index, _)| index).into_iter().chain(*humidity).collect()
            }
            Self::Weights(columns) => columns.iter().map(|weights| weights.index).collect(),
        }
    }
}

/// What was made of a line of heads.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    pub(super) line: u32,
    pub(super) width: usize,
    pub(super) time: TimeCells,
    pub(super) taken: Taken,
    pub(super) columns: Vec<Column>,
    pub(super) zone: Option<FixedOffset>,
    pub(super) date_order: Option<DateOrder>,
    /// The heads' line as it stands, for finding it again further down.
    pub(super) head_of_time: String,
}

/// The columns with the time, by their heads alone.
pub(super) fn time_cells(heads: &[Head]) -> Option<TimeCells> {
    let all = |sense: Sense| heads.iter().enumerate().filter(move |(_, head)| head.sense == Some(sense));
    let zoned_first = |sense: Sense| {
        all(sense).find(|(_, head)| head.zone.is_some()).or_else(|| all(sense).next()).map(|(index, _)| index)
    };
    if let Some(index) = zoned_first(Sense::Moment) {
        return Some(TimeCells::One(index));
    }
    match (zoned_first(Sense::Date), zoned_first(Sense::Time)) {
        (Some(date), Some(time)) => Some(TimeCells::Two { date, time }),
        (Some(index), None) | (None, Some(index)) => Some(TimeCells::One(index)),
        (None, None) => None,
    }
}

/// Reads every head of a record.
pub(super) fn heads(record: &Record<'_>) -> Vec<Head> {
    record.cells.iter().take(record.filled()).map(|cell| head(cell)).collect()
}

/// Decides what every column holds, by heads, units, the first rows, and what the member chose.
pub(super) fn layout(
    header: &Record<'_>,
    heads: &[Head],
    time: TimeCells,
    rows: &[Record<'_>],
    asked: &Asked,
) -> Result<Layout, Refused> {
    let mut table = Table { header, heads, time, rows, asked };
    let taken = table.taken()?;
    let zoned = match time {
        TimeCells::One(index) => heads.get(index).and_then(|head| head.zone),
        TimeCells::Two { date, time } => {
            [time, date].iter().find_map(|index| heads.get(*index).and_then(|head| head.zone))
        }
    };
    Ok(Layout {
        line: header.line,
        width: heads.len(),
        time,
        columns: table.columns(&taken),
        taken,
        zone: zoned,
        date_order: heads.get(time.first()).and_then(|head| head.date_order),
        head_of_time: header.cell(time.first()).to_owned(),
    })
}

struct Table<'t> {
    header: &'t Record<'t>,
    heads: &'t [Head],
    time: TimeCells,
    rows: &'t [Record<'t>],
    asked: &'t Asked,
}

impl Table<'_> {
    fn taken(&mut self) -> Result<Taken, Refused> {
        for chosen in [self.asked.temperature_column, self.asked.humidity_column].into_iter().flatten() {
            if chosen == 0 || chosen as usize > self.heads.len() {
                let columns = u32::try_from(self.heads.len()).unwrap_or(u32::MAX);
                return Err(Refused::NoSuchColumn { column: chosen, columns });
            }
        }
        let weights = self.weights();
        let air = self.air();
        let is_weighed = weights.iter().any(|cells| self.is_surely_weight(cells.index));
        match (self.asked.kind, air) {
            (None, Some(air)) if !is_weighed => Ok(air),
            (Some(Kind::Air), Some(air)) => Ok(air),
            (Some(Kind::Air), None) => Err(self.no_value()),
            _ if weights.is_empty() => Err(self.no_value()),
            _ => self.with_units(weights).map(Taken::Weights),
        }
    }

    fn air(&self) -> Option<Taken> {
        let find = |wanted: &dyn Fn(&Head) -> bool| {
            (0..self.heads.len()).find(|index| !self.is_time(*index) && wanted(&self.heads[*index]))
        };
        let chosen = |column: Option<u32>| column.map(|column| column as usize - 1);
        let by_word = |sense: Sense| find(&|head| head.sense == Some(sense));
        let by_unit =
            |fits: fn(Unit) -> bool| find(&|head| head.sense.is_none() && head.unit.is_some_and(fits));
        let temperature = chosen(self.asked.temperature_column)
            .or_else(|| by_word(Sense::Temperature))
            .or_else(|| by_unit(|unit| matches!(unit, Unit::Scale(_))))
            .or_else(|| self.by_cells(|unit| matches!(unit, Unit::Scale(_))));
        let humidity = chosen(self.asked.humidity_column)
            .or_else(|| by_word(Sense::Humidity))
            .or_else(|| by_unit(|unit| unit == Unit::PercentHumidity))
            .or_else(|| self.by_cells(|unit| unit == Unit::PercentHumidity));
        let scale = |index: usize| match self.heads[index].unit {
            Some(Unit::Scale(scale)) => Some(scale),
            _ => None,
        };
        let temperature = temperature.map(|index| (index, scale(index)));
        (temperature.is_some() || humidity.is_some()).then_some(Taken::Air { temperature, humidity })
    }

    /// The first column whose head says nothing and whose first cells bear such a unit.
    fn by_cells(&self, fits: fn(Unit) -> bool) -> Option<usize> {
        let is_silent = |index: usize| self.heads[index].sense.is_none() && self.heads[index].unit.is_none();
        let bears = |row: &Record<'_>, index: usize| matches!(cell(row.cell(index)), Cell::Number { unit: Some(unit), .. } if fits(unit));
        (0..self.heads.len()).find(|index| {
            is_silent(*index) && !self.is_time(*index) && self.rows.iter().any(|row| bears(row, *index))
        })
    }

    /// Columns that may hold weights: no other meaning, and numbers in the first rows.
    fn weights(&self) -> Vec<WeightCells> {
        let fits = |index: usize| {
            let head = &self.heads[index];
            let named =
                matches!(head.sense, None | Some(Sense::Weight)) && !self.header.cell(index).is_empty();
            named
                && !self.is_time(index)
                && matches!(head.unit, None | Some(Unit::Mass(_)))
                && self.is_weighed(index)
        };
        let unit = |index: usize| match self.heads[index].unit {
            Some(Unit::Mass(unit)) => Some(unit),
            _ => self.asked.mass,
        };
        (0..self.heads.len())
            .filter(|index| fits(*index))
            .map(|index| WeightCells { index, unit: unit(index) })
            .collect()
    }

    fn is_weighed(&self, index: usize) -> bool {
        let cells = || self.rows.iter().map(|row| row.cell(index)).filter(|text| cell(text) != Cell::Gap);
        let is_number = |text: &&str| match cell(text) {
            Cell::Number { unit: None | Some(Unit::Mass(_)), .. } => true,
            Cell::Number { .. } => parse::mass(text).is_ok(),
            _ => false,
        };
        cells().filter(is_number).count() * 2 > cells().count()
    }

    /// A mass is written in the head or in a cell.
    fn is_surely_weight(&self, index: usize) -> bool {
        let head = &self.heads[index];
        let in_cell = |cell: Cell<'_>| matches!(cell, Cell::Number { unit: Some(Unit::Mass(_)), .. });
        head.sense == Some(Sense::Weight)
            || head.unit.is_some()
            || self.rows.iter().any(|row| in_cell(cell(row.cell(index))))
    }

    /// Refuses the first column of weights whose unit nobody knows.
    fn with_units(&self, weights: Vec<WeightCells>) -> Result<Vec<WeightCells>, Refused> {
        for cells in weights.iter().filter(|cells| cells.unit.is_none()) {
            let bare = self
                .rows
                .iter()
                .find(|row| matches!(cell(row.cell(cells.index)), Cell::Number { unit: None, .. }));
            if let Some(row) = bare {
                return Err(Refused::UnitUnknown {
                    place: Place::new(row.line, cells.index, row.cell(cells.index)),
                    head: harmless(self.header.cell(cells.index)),
                });
            }
        }
        Ok(weights)
    }

    fn no_value(&self) -> Refused {
        let heads = self.header.cells.iter().take(self.heads.len()).map(|cell| harmless(cell)).collect();
        Refused::NoValue { line: self.header.line, heads }
    }

    fn is_time(&self, index: usize) -> bool {
        match self.time {
            TimeCells::One(only) => index == only,
            TimeCells::Two { date, time } => index == date || index == time,
        }
    }

    fn columns(&self, taken: &Taken) -> Vec<Column> {
        (0..self.heads.len())
            .map(|index| Column {
                column: column(index),
                head: harmless(self.header.cell(index)),
                meaning: self.meaning(index, taken),
            })
            .collect()
    }

    fn meaning(&self, index: usize, taken: &Taken) -> Meaning {
        match self.time {
            TimeCells::One(only) if only == index => return Meaning::Moment,
            TimeCells::Two { date, .. } if date == index => return Meaning::Date,
            TimeCells::Two { time, .. } if time == index => return Meaning::TimeOfDay,
            _ => {}
        }
        match taken {
            Taken::Air { temperature: Some((at, scale)), .. } if *at == index => {
                return Meaning::Temperature(*scale);
            }
            Taken::Air { humidity: Some(at), .. } if *at == index => return Meaning::Humidity,
            Taken::Weights(columns) => {
                if let Some(cells) = columns.iter().find(|cells| cells.index == index) {
                    let head = &self.heads[index];
                    return Meaning::Weight {
                        batch: harmless(&head.name),
                        piece: head.piece,
                        unit: cells.unit,
                    };
                }
            }
            Taken::Air { .. } => {}
        }
        Meaning::Ignored(match self.heads[index].sense {
            Some(Sense::Skip(why)) => why,
            Some(Sense::Elapsed) => Ignored::Elapsed,
            Some(Sense::Moment | Sense::Date | Sense::Time | Sense::Temperature | Sense::Humidity) => {
                Ignored::Another
            }
            Some(Sense::Weight) | None => Ignored::Other,
        })
    }
}
