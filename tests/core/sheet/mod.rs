//! Files of data loggers and tables of weighings, as they are really written. All data are invented; every expected
//! value is written by hand from the file beside it.

mod clocks;
mod dialects;
mod pace;
mod properties;
mod refusals;
mod weighings;

use chrono::{DateTime, SecondsFormat, Utc};
use chrono_tz::Tz;
use std::path::Path;
use tallyhook::quantity::Temperature;
use tallyhook::sheet::{Asked, Refused, Rows, Sheet, read};

/// Nothing in the files is later.
fn now() -> DateTime<Utc> {
    "2026-11-26T12:00:00Z".parse().unwrap()
}

fn rome() -> Asked {
    Asked::new(Tz::Europe__Rome, now())
}

fn new_york() -> Asked {
    Asked::new(Tz::America__New_York, now())
}

fn bytes(name: &str) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/core/sheet/files").join(name)).unwrap()
}

fn file(name: &str, asked: &Asked) -> Sheet {
    read(&bytes(name), asked).unwrap()
}

fn refused(text: &str, asked: &Asked) -> Refused {
    read(text.as_bytes(), asked).unwrap_err()
}

fn instant(at: DateTime<Utc>) -> String {
    at.to_rfc3339_opts(SecondsFormat::AutoSi, true)
}

/// Each row as `line instant temperature humidity`, a dash for what is not there.
fn air(sheet: &Sheet) -> Vec<String> {
    let Rows::Air(rows) = &sheet.rows else { panic!("weights") };
    let degrees = |read: Temperature| format!("{}{}", read.in_scale(read.scale()), read.scale().symbol());
    rows.iter()
        .map(|row| {
            let temperature = row.values.temperature.map_or("-".into(), degrees);
            let humidity = row.values.humidity.map_or("-".into(), |read| format!("{}%", read.as_percent()));
            format!("{} {} {temperature} {humidity}", row.line, instant(row.at))
        })
        .collect()
}

/// Each row as `line instant column:grams …`.
fn weights(sheet: &Sheet) -> Vec<String> {
    let Rows::Weights(rows) = &sheet.rows else { panic!("air") };
    rows.iter()
        .map(|row| {
            let weighed =
                row.values.iter().map(|found| format!(" {}:{}", found.column, found.mass.as_grams()));
            format!("{} {}{}", row.line, instant(row.at), weighed.collect::<String>())
        })
        .collect()
}
