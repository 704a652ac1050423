//! What a data logger measured in a chamber: a file of rows that came with one entry.

use super::event::{Event, Happening};
use super::ids::EventId;
use crate::quantity::{RelativeHumidity, Temperature};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

/// One row of a logger's file: at least one of the two.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct AirRow {
    /// When it was measured.
    pub at: DateTime<Utc>,
    /// Temperature of the air.
    pub temperature: Option<Temperature>,
    /// Relative humidity, as shown.
    pub humidity: Option<RelativeHumidity>,
}

/// The rows of a logger's file, with the entry they came with.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LoggedAir {
    /// The entry; while it counts, they count.
    pub entry: EventId,
    /// In the order of time, no two of one moment.
    pub rows: Vec<AirRow>,
}

impl AirRow {
    /// It as a reading of the chamber, under the number of the entry it came with: undone with it, corrected with it.
    pub fn reading(&self, came_with: &Event) -> Event {
        Event {
            id: came_with.id,
            subject: came_with.subject,
            at: self.at,
            recorded_at: came_with.recorded_at,
            author: came_with.author,
            zone: came_with.zone.clone(),
            what: Happening::RoomRead { temperature: self.temperature, humidity: self.humidity },
            typed: String::new(),
        }
    }
}
