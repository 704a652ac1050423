//! A pH reading and how far its instrument can be believed.

use super::ids::EventId;
use crate::quantity::{Hours, Ph, Temperature};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

/// What a pH was read with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Instrument {
    /// An electrode meter.
    #[default]
    Meter,
    /// A paper strip.
    Strip,
}

/// What is known of a meter's last check.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Calibration {
    /// How long before the reading two buffers were calibrated or one was checked.
    pub age: Option<Hours>,
    /// Slope in percent of the theoretical one.
    pub slope_percent: Option<f64>,
    /// Offset in mV at pH 7.
    pub offset_mv: Option<f64>,
    /// A single buffer near pH 4 was read within ±0.05.
    pub one_buffer_passed: bool,
    /// The last check found the meter off in a buffer.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub buffer_missed: bool,
}

/// One pH reading.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct PhReading {
    /// The event it came with.
    pub event: EventId,
    /// When it was read.
    pub at: DateTime<Utc>,
    /// The value.
    pub ph: Ph,
    /// Strip or meter.
    pub instrument: Instrument,
    /// Temperature of the sample, where it was noted.
    pub sample_temperature: Option<Temperature>,
    /// The meter's last check, where it was noted.
    pub calibration: Option<Calibration>,
    /// Taken from the small packet fermented beside the batch.
    pub from_sample: bool,
}
