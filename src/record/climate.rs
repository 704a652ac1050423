//! What a chamber's air was: readings, settings, and what a min/max thermometer remembers.

use super::correction::effective;
use super::event::{Event, Happening};
use super::ids::ChamberId;
use super::meter::{HygrometerCheck, Kept};
use crate::quantity::{RelativeHumidity, Temperature};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

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
    /// Humidity readings, as shown.
    pub humidity: Vec<(DateTime<Utc>, RelativeHumidity)>,
    /// Checks of the hygrometer that corrects them.
    #[serde(default)]
    pub hygrometer: Vec<Kept<HygrometerCheck>>,
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

    /// The air along the stays of a batch: of each chamber only while the batch was there, and what was set there
    /// before it came. What was known of the first chamber before still counts.
    pub fn along(stays: &[(ChamberId, DateTime<Utc>)], climates: &BTreeMap<ChamberId, Self>) -> Self {
        let mut along = Self::default();
        let ends = stays.iter().skip(1).map(|(_, next)| Some(*next)).chain([None]);
        for (count, ((chamber, from), to)) in stays.iter().zip(ends).enumerate() {
            let Some(air) = climates.get(chamber) else { continue };
            let holds = |at: DateTime<Utc>| (count == 0 || *from <= at) && to.is_none_or(|to| at < to);
            along.readings.extend(air.readings.iter().filter(|read| holds(read.at)));
            along.extremes.extend(air.extremes.iter().filter(|read| holds(read.at)));
            along.humidity.extend(air.humidity.iter().filter(|(at, _)| holds(*at)));
            let before = air.settings.iter().rfind(|set| count > 0 && set.at < *from);
            along.settings.extend(before.map(|set| RoomSetting { at: *from, ..*set }));
            along.settings.extend(air.settings.iter().filter(|set| holds(set.at)));
        }
        along
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
            Happening::HygrometerChecked { check, .. } => {
                self.hygrometer.push(Kept { event: event.id, at, check: check.clone() });
            }
            Happening::PowerOut { since, reached: Some(reached) } => {
                self.extremes.push(RoomExtremes { since: *since, at, max: *reached, min: None });
            }
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::TimeDelta;

    fn hour(hours: i64) -> DateTime<Utc> {
        DateTime::from_timestamp(1_790_000_000, 0).unwrap() + TimeDelta::hours(hours)
    }

    fn air(readings: &[(i64, f64)], set: (i64, f64)) -> Climate {
        let temperature = Temperature::celsius(set.1);
        Climate {
            readings: readings
                .iter()
                .map(|(at, celsius)| RoomReading {
                    at: hour(*at),
                    temperature: Temperature::celsius(*celsius),
                })
                .collect(),
            settings: vec![RoomSetting { at: hour(set.0), temperature, hysteresis_celsius: 1.0 }],
            ..Climate::default()
        }
    }

    #[test]
    fn a_chamber_counts_only_while_the_batch_is_in_it() {
        let (box_, room) = (ChamberId(1), ChamberId(2));
        let climates = BTreeMap::from([
            (box_, air(&[(-1, 22.0), (5, 24.0), (15, 4.0)], (0, 24.0))),
            (room, air(&[(5, 30.0), (12, 13.0)], (2, 13.0))),
        ]);
        let along = Climate::along(&[(box_, hour(0)), (room, hour(10))], &climates);
        let read: Vec<f64> = along.readings.iter().map(|read| read.temperature.as_celsius()).collect();
        assert_eq!(read, [22.0, 24.0, 13.0]);
        let set: Vec<_> = along.settings.iter().map(|set| (set.at, set.temperature.as_celsius())).collect();
        assert_eq!(set, [(hour(0), 24.0), (hour(10), 13.0)]);
    }
}
