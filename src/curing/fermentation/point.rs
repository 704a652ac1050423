//! What a thermometer and a controller say about a room at one time.

use crate::quantity::{Temperature, TemperatureScale};
use crate::record::climate::{RoomReading, RoomSetting};
use chrono::{DateTime, Utc};

/// What is known of one time: a reading, several of them as a range, or what a min/max thermometer leaves open.
#[derive(Debug, Clone, Copy)]
pub(super) struct Point {
    pub(super) at: DateTime<Utc>,
    pub(super) low: Option<Temperature>,
    pub(super) high: Temperature,
}

impl Point {
    /// Readings in any order, as points in order of time.
    pub(super) fn all<'a>(readings: impl Iterator<Item = &'a RoomReading>) -> Vec<Self> {
        let finite = |reading: &&RoomReading| reading.temperature.as_celsius().is_finite();
        let mut sorted: Vec<_> = readings.filter(finite).collect();
        sorted.sort_by_key(|reading| reading.at);
        let mut points: Vec<Self> = Vec::new();
        for reading in sorted {
            let shown = reading.temperature;
            match points.last_mut() {
                Some(point) if point.at == reading.at => {
                    point.low = point.low.map(|low| low.colder(shown));
                    point.high = point.high.warmer(shown);
                }
                _ => points.push(Self { at: reading.at, low: Some(shown), high: shown }),
            }
        }
        points
    }
}

/// The set point and how far above it the controller lets the room drift.
pub(super) fn drifted(setting: &RoomSetting) -> Temperature {
    let set = setting.temperature;
    let scale = set.scale();
    let drift = match scale {
        TemperatureScale::Celsius => setting.hysteresis_celsius,
        TemperatureScale::Fahrenheit => setting.hysteresis_celsius * 9.0 / 5.0,
    };
    Temperature::new(set.in_scale(scale) + drift.max(0.0), scale)
}
