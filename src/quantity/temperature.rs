//! Temperature, kept in the scale it was given in.

use serde::{Deserialize, Serialize};

/// The scale a temperature was read in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum TemperatureScale {
    /// Degrees Celsius.
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

/// A temperature as it was read: degrees and scale.
///
/// Converting is exact in the direction of the scale it was read in, so 85 °F stays 85 °F for a rule in °F.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Temperature {
    degrees: f64,
    scale: TemperatureScale,
}

impl Temperature {
    /// A temperature in degrees Celsius.
    pub const fn celsius(degrees: f64) -> Self {
        Self {
            degrees,
            scale: TemperatureScale::Celsius,
        }
    }

    /// A temperature in degrees Fahrenheit.
    pub const fn fahrenheit(degrees: f64) -> Self {
        Self {
            degrees,
            scale: TemperatureScale::Fahrenheit,
        }
    }

    /// A temperature in the given scale.
    pub const fn new(degrees: f64, scale: TemperatureScale) -> Self {
        Self { degrees, scale }
    }

    /// The scale it was read in.
    pub const fn scale(self) -> TemperatureScale {
        self.scale
    }

    /// Degrees Celsius. C = (F − 32) · 5/9, exact definition.
    pub fn as_celsius(self) -> f64 {
        match self.scale {
            TemperatureScale::Celsius => self.degrees,
            TemperatureScale::Fahrenheit => (self.degrees - 32.0) * 5.0 / 9.0,
        }
    }

    /// Degrees Fahrenheit. F = C · 9/5 + 32, exact definition.
    pub fn as_fahrenheit(self) -> f64 {
        match self.scale {
            TemperatureScale::Celsius => self.degrees * 9.0 / 5.0 + 32.0,
            TemperatureScale::Fahrenheit => self.degrees,
        }
    }

    /// Degrees in the asked scale.
    pub fn in_scale(self, scale: TemperatureScale) -> f64 {
        match scale {
            TemperatureScale::Celsius => self.as_celsius(),
            TemperatureScale::Fahrenheit => self.as_fahrenheit(),
        }
    }

    /// The warmer of two.
    #[must_use]
    pub fn warmer(self, other: Self) -> Self {
        if other.as_celsius() > self.as_celsius() {
            other
        } else {
            self
        }
    }

    /// The colder of two.
    #[must_use]
    pub fn colder(self, other: Self) -> Self {
        if other.as_celsius() < self.as_celsius() {
            other
        } else {
            self
        }
    }
}
