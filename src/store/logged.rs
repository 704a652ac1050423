//! Rows of data loggers' files. One entry stands for each file; its rows are read as readings of that entry's chamber.

use super::Store;
use super::convert::{instant, ms};
use super::engine::{Connection, Value};
use super::error::StoreError;
use crate::quantity::{RelativeHumidity, Temperature, TemperatureScale};
use crate::record::{AirRow, ChamberId, Event, EventId, LoggedAir};
use chrono::{DateTime, Utc};
use sqlx::FromRow;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// Rows in one statement; a file of 100,000 is kept in two hundred of them.
const TOGETHER: usize = 500;

#[derive(FromRow)]
struct RowOfAir {
    event_id: i64,
    at_ms: i64,
    degrees: Option<f64>,
    is_fahrenheit: Option<i64>,
    humidity_percent: Option<f64>,
}

impl RowOfAir {
    fn row(&self) -> Result<AirRow, StoreError> {
        let scale = match self.is_fahrenheit {
            Some(1) => TemperatureScale::Fahrenheit,
            _ => TemperatureScale::Celsius,
        };
        Ok(AirRow {
            at: instant(self.at_ms)?,
            temperature: self.degrees.map(|degrees| Temperature::new(degrees, scale)),
            humidity: self.humidity_percent.map(RelativeHumidity::percent),
        })
    }
}

macro_rules! rows {
    ($rest:literal) => {
        concat!(
            "select l.event_id, l.at_ms, l.degrees, l.is_fahrenheit, l.humidity_percent ",
            "from events h join logged_air l on l.event_id = h.id ",
            $rest
        )
    };
}

impl Store {
    /// Every row of one file, in the order of time.
    pub async fn logged_with(&self, entry: EventId) -> Result<Vec<AirRow>, StoreError> {
        let rows: Vec<RowOfAir> =
            self.readers.all(rows!("where h.id = $1 order by l.at_ms"), [entry.0.into()]).await?;
        rows.iter().map(RowOfAir::row).collect()
    }

    /// Every file that was logged into a chamber, also those that do not count any more.
    pub async fn logged_in(&self, chamber: ChamberId) -> Result<Vec<LoggedAir>, StoreError> {
        let rows: Vec<RowOfAir> = self
            .readers
            .all(
                rows!("where h.chamber_id = $1 and h.kind = 'air_logged' order by l.event_id, l.at_ms"),
                [chamber.0.into()],
            )
            .await?;
        let mut files: BTreeMap<EventId, Vec<AirRow>> = BTreeMap::new();
        for row in &rows {
            files.entry(EventId(row.event_id)).or_default().push(row.row()?);
        }
        Ok(files.into_iter().map(|(entry, rows)| LoggedAir { entry, rows }).collect())
    }

    /// The rows between two moments, both included, as readings; before them, of each file, the last temperature that
    /// was measured earlier.
    pub(super) async fn logged_readings(
        &self,
        chamber: ChamberId,
        from: DateTime<Utc>,
        to: DateTime<Utc>,
    ) -> Result<Vec<Event>, StoreError> {
        let files = self.files_of(chamber).await?;
        if files.is_empty() {
            return Ok(Vec::new());
        }
        let window = || [chamber.0.into(), ms(from).into(), ms(to).into()];
        let within: Vec<RowOfAir> = self
            .readers
            .all(
                rows!(
                    "where h.chamber_id = $1 and h.kind = 'air_logged' and l.at_ms between $2 and $3
                     order by l.at_ms, l.event_id"
                ),
                window(),
            )
            .await?;
        let before: Vec<RowOfAir> = self
            .readers
            .all(
                rows!(
                    "and l.at_ms = (select max(p.at_ms) from logged_air p
                                    where p.event_id = h.id and p.at_ms < $2 and p.degrees is not null)
                     where h.chamber_id = $1 and h.kind = 'air_logged' order by l.at_ms"
                ),
                [chamber.0.into(), ms(from).into()],
            )
            .await?;
        as_readings(before.iter().chain(&within), &files)
    }

    /// Everything of a chamber, rows of loggers among it, by time and number.
    pub async fn air_of_chamber(&self, chamber: ChamberId) -> Result<Vec<Event>, StoreError> {
        let mut events = self.events_of_chamber(chamber).await?;
        let (first, last) = (DateTime::<Utc>::MIN_UTC, DateTime::<Utc>::MAX_UTC);
        events.extend(self.logged_readings(chamber, first, last).await?);
        events.sort_by_key(|event| (event.at, event.id));
        Ok(events)
    }

    async fn files_of(&self, chamber: ChamberId) -> Result<BTreeMap<EventId, Event>, StoreError> {
        let files = self.entries_of_files(chamber).await?;
        Ok(files.into_iter().map(|entry| (entry.id, entry)).collect())
    }
}

fn as_readings<'a>(
    rows: impl Iterator<Item = &'a RowOfAir>,
    files: &BTreeMap<EventId, Event>,
) -> Result<Vec<Event>, StoreError> {
    let reading = |row: &RowOfAir| {
        let file = files.get(&EventId(row.event_id))?;
        Some(row.row().map(|read| read.reading(file)))
    };
    rows.filter_map(reading).collect()
}

/// Keeps the rows of a file; its entry stands already.
pub(super) async fn keep(connection: &mut Connection, logged: &LoggedAir) -> Result<(), StoreError> {
    static MANY: LazyLock<String> = LazyLock::new(|| statement(TOGETHER));
    static ONE: LazyLock<String> = LazyLock::new(|| statement(1));
    let (many, rest) = logged.rows.as_chunks::<TOGETHER>();
    for rows in many {
        connection.run(&MANY, values(logged.entry, rows)).await?;
    }
    for row in rest {
        connection.run(&ONE, values(logged.entry, std::slice::from_ref(row))).await?;
    }
    Ok(())
}

fn values(entry: EventId, rows: &[AirRow]) -> Vec<Value> {
    let of_row = |row: &AirRow| {
        let scale = row.temperature.map(|read| i64::from(read.scale() == TemperatureScale::Fahrenheit));
        [
            entry.0.into(),
            ms(row.at).into(),
            row.temperature.map(|read| read.in_scale(read.scale())).into(),
            scale.into(),
            row.humidity.map(RelativeHumidity::as_percent).into(),
        ]
    };
    rows.iter().flat_map(of_row).collect()
}

fn statement(rows: usize) -> String {
    let row = |row: usize| {
        let holes: Vec<String> = (1..=5).map(|column| format!("${}", row * 5 + column)).collect();
        format!("({})", holes.join(", "))
    };
    let rows: Vec<String> = (0..rows).map(row).collect();
    format!(
        "insert into logged_air (event_id, at_ms, degrees, is_fahrenheit, humidity_percent) values {}",
        rows.join(", ")
    )
}
