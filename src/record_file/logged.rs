//! Rows of data loggers' files: one list in the file, by file in the record.

use super::check::{Misfit, at};
use super::document::{LoggedRow, RecordFile};
use super::entry::What;
use super::read::Fault;
use crate::record::{AirRow, EventId, LoggedAir};
use chrono::{DateTime, Utc};
use std::collections::{BTreeMap, BTreeSet};

impl LoggedRow {
    /// Every row of a logger's file.
    pub fn all_of(logged: &LoggedAir) -> impl Iterator<Item = Self> {
        let entry = logged.entry.0;
        logged.rows.iter().map(move |row| Self {
            entry,
            at: row.at,
            temperature: row.temperature.map(Into::into),
            humidity_percent: row.humidity.map(Into::into),
        })
    }
}

impl RecordFile {
    /// The rows by the entry that brought them, in the order of time.
    pub fn logged(&self) -> Vec<LoggedAir> {
        let mut files: BTreeMap<EventId, BTreeMap<DateTime<Utc>, AirRow>> = BTreeMap::new();
        for row in &self.logged_air {
            let read = AirRow {
                at: row.at,
                temperature: row.temperature.map(Into::into),
                humidity: row.humidity_percent.map(Into::into),
            };
            files.entry(EventId(row.entry)).or_default().insert(row.at, read);
        }
        let rows =
            |(entry, rows): (_, BTreeMap<_, _>)| LoggedAir { entry, rows: rows.into_values().collect() };
        files.into_iter().map(rows).collect()
    }
}

/// Every row belongs to an entry that brought a file, says something, and is there once; and none is missing.
pub(super) fn check(file: &RecordFile) -> Result<(), Fault> {
    let mut wanted: BTreeMap<i64, (usize, u32)> = BTreeMap::new();
    for (position, entry) in file.entries.iter().enumerate() {
        if let What::AirLogged { rows, .. } = entry.what {
            wanted.insert(entry.id, (position, rows));
        }
    }
    let mut seen = BTreeSet::new();
    let mut found: BTreeMap<i64, u32> = BTreeMap::new();
    for (position, row) in file.logged_air.iter().enumerate() {
        let place = format!("/logged_air/{position}");
        if !wanted.contains_key(&row.entry) {
            return Err(at(format!("{place}/entry"))(Misfit::BringsNoFile(row.entry)));
        }
        if row.temperature.is_none() && row.humidity_percent.is_none() {
            return Err(at(place)(Misfit::NothingMeasured));
        }
        if !seen.insert((row.entry, row.at)) {
            return Err(at(format!("{place}/at"))(Misfit::SameMoment(row.entry)));
        }
        *found.entry(row.entry).or_default() += 1;
    }
    for (entry, (position, rows)) in wanted {
        let there = found.get(&entry).copied().unwrap_or_default();
        if there != rows {
            let place = format!("/entries/{position}/what/values/rows");
            return Err(at(place)(Misfit::OtherCount(there)));
        }
    }
    Ok(())
}
