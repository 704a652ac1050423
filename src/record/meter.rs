//! Checks of instruments, as they were read: a pH meter in its buffers, a hygrometer over its salt jars.

use super::ids::EventId;
use crate::quantity::{Ph, RelativeHumidity, Temperature, Voltage};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

/// What a pH meter showed in a buffer.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Shown {
    /// A pH, by the calibration it had.
    Ph(Ph),
    /// The electrode's voltage.
    Millivolts(Voltage),
}

/// A pH meter in one buffer.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct BufferPoint {
    /// The buffer's pH at the temperature of the check.
    pub buffer: Ph,
    /// What the meter showed.
    pub shown: Shown,
}

/// One check of a pH meter.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct MeterCheck {
    /// Temperature of the buffers.
    pub temperature: Temperature,
    /// What it showed in each.
    pub points: Vec<BufferPoint>,
    /// The slope in percent that the meter itself says it found when it was calibrated.
    pub said_slope_percent: Option<f64>,
}

/// A hygrometer over one salt jar.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SaltPoint {
    /// The salt, by its formula: `NaCl`.
    pub salt: String,
    /// Temperature of the jar.
    pub temperature: Temperature,
    /// What the jar has at that temperature.
    pub reference: RelativeHumidity,
    /// What the hygrometer showed.
    pub shown: RelativeHumidity,
}

/// One check of a hygrometer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HygrometerCheck {
    /// The jars.
    pub points: Vec<SaltPoint>,
}

/// A check with the entry it came with.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Kept<T> {
    /// The entry.
    pub event: EventId,
    /// When it was made.
    pub at: DateTime<Utc>,
    /// What was read.
    pub check: T,
}
