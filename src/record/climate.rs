//! What a chamber's air was: readings, settings, and what a min/max thermometer remembers.

use super::correction::effective;
use super::event::{Event, Happening};
use crate::quantity::{RelativeHumidity, Temperature};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

/// What the thermometer showed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct RoomReading {
    /// When.
    pub at: DateTime<Utc>,
    /// Air temperature.
    pub temperature: Temperature,
}

/// What the controller was set to; it holds until the next setting.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct RoomSetting {
    /// From when.
    pub at: DateTime<Utc>,
    /// Set point.
    pub temperature: Temperature,
    /// How far above the set point the controller lets it drift, in °C.
    pub hysteresis_celsius: f64,
}

/// What a min/max thermometer remembers.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct RoomExtremes {
    /// When it was reset.
    pub since: DateTime<Utc>,
    /// When it was read.
    pub at: DateTime<Utc>,
    /// Warmest.
    pub max: Temperature,
    /// Coldest, where it was said.
    pub min: Option<Temperature>,
}

/// A chamber's air over a stretch of time, each list sorted by time.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Climate {
    /// Thermometer readings.
    pub readings: Vec<RoomReading>,
    /// Settings.
    pub settings: Vec<RoomSetting>,
    /// Min/max readings.
    pub extremes: Vec<RoomExtremes>,
    /// Humidity readings.
    pub humidity: Vec<(DateTime<Utc>, RelativeHumidity)>,
}

impl Climate {
    /// Collects a chamber's events, corrections applied.
    pub fn of(events: &[Event]) -> Self {
        let mut climate = Self::default();
        for event in effective(events) {
            climate.take(&event);
        }
        climate
    }

    fn take(&mut self, event: &Event) {
        let at = event.at;
        match &event.what {
            Happening::RoomRead { temperature, humidity } => {
                self.readings.extend(temperature.map(|temperature| RoomReading { at, temperature }));
                self.humidity.extend(humidity.map(|humidity| (at, humidity)));
            }
            Happening::RoomSet { temperature: Some(temperature), hysteresis_celsius, .. } => {
                self.settings.push(RoomSetting {
                    at,
                    temperature: *temperature,
                    hysteresis_celsius: *hysteresis_celsius,
                });
            }
            Happening::RoomExtremes { since, max, min } => {
                self.extremes.push(RoomExtremes { since: *since, at, max: *max, min: *min });
            }
            Happening::PowerOut { since, reached: Some(reached) } => {
                self.extremes.push(RoomExtremes { since: *since, at, max: *reached, min: None });
            }
            _ => {}
        }
    }
}
