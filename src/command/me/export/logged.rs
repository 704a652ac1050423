//! The table of what data loggers measured: one row of their files a row.

use super::line::{Lines, utc};
use super::readings::{degrees, own_scale};
use super::table::Cell;
use crate::quantity::{RelativeHumidity, TemperatureScale};
use crate::record::{AirRow, Event, MemberSettings};
use crate::store::Everything;

/// The headers, with degrees Fahrenheit for who reads in them.
pub(super) fn header(settings: &MemberSettings) -> Vec<String> {
    let mut header = ["entry", "status", "chamber", "time_utc", "time_local", "temperature_c"].to_vec();
    header.extend(own_scale(settings).map(|_| "temperature_f"));
    header.push("humidity_percent");
    header.into_iter().map(str::to_owned).collect()
}

/// A row for each row of each file.
pub(super) fn rows(everything: &Everything, lines: &Lines<'_>, settings: &MemberSettings) -> Vec<Vec<Cell>> {
    let mut rows = Vec::new();
    for logged in &everything.logged {
        let Some(entry) = everything.entries.iter().find(|event| event.id == logged.entry) else { continue };
        rows.extend(logged.rows.iter().map(|row| cells(entry, row, lines, settings)));
    }
    rows
}

fn cells(entry: &Event, row: &AirRow, lines: &Lines<'_>, settings: &MemberSettings) -> Vec<Cell> {
    let read = row.temperature;
    let mut cells = vec![
        Cell::Whole(entry.id.0),
        Cell::text(lines.standing(entry).0),
        Cell::words(lines.place(entry)),
        Cell::text(utc(row.at)),
        Cell::text(super::line::local(row.at, &entry.zone)),
        Cell::number(read.map(|read| degrees(read, TemperatureScale::Celsius))),
    ];
    cells.extend(own_scale(settings).map(|scale| Cell::number(read.map(|read| degrees(read, scale)))));
    cells.push(Cell::number(row.humidity.map(RelativeHumidity::as_percent)));
    cells
}
