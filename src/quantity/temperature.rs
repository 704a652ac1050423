//! Temperature, kept in the scale it was given in.

use serde::{Deserialize, Serialize};
use std::cmp::Ordering;

/// The scale a temperature was read in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum TemperatureScale {
    /// Degrees Celsius.
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

impl TemperatureScale {
    /// The unit as printed.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
        }
    }

    /// The other of the two.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Celsius => Self::Fahrenheit,
            Self::Fahrenheit => Self::Celsius,
        }
    }
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
        Self { degrees, scale: TemperatureScale::Celsius }
    }

    /// A temperature in degrees Fahrenheit.
    pub const fn fahrenheit(degrees: f64) -> Self {
        Self { degrees, scale: TemperatureScale::Fahrenheit }
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

    /// The warmer of two. Of two equal ones the one in degrees Celsius, whichever comes first.
    #[must_use]
    pub fn warmer(self, other: Self) -> Self {
        self.preferred(other, Ordering::Greater)
    }

    /// The colder of two. Of two equal ones the one in degrees Celsius, whichever comes first.
    #[must_use]
    pub fn colder(self, other: Self) -> Self {
        self.preferred(other, Ordering::Less)
    }

    fn preferred(self, other: Self, wanted: Ordering) -> Self {
        let order = other.as_celsius().partial_cmp(&self.as_celsius());
        let is_tie_in_celsius = order == Some(Ordering::Equal) && other.scale == TemperatureScale::Celsius;
        if order == Some(wanted) || is_tie_in_celsius { other } else { self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Fixed points of the two scales, by definition.
    const FIXED_POINTS: [(f64, f64); 5] =
        [(-40.0, -40.0), (0.0, 32.0), (37.0, 98.6), (100.0, 212.0), (250.0, 482.0)];

    #[test]
    fn conversion_hits_the_fixed_points() {
        for (celsius, fahrenheit) in FIXED_POINTS {
            approx::assert_relative_eq!(
                Temperature::celsius(celsius).as_fahrenheit(),
                fahrenheit,
                max_relative = 1e-14
            );
            approx::assert_abs_diff_eq!(
                Temperature::fahrenheit(fahrenheit).as_celsius(),
                celsius,
                epsilon = 1e-12
            );
        }
    }

    #[test]
    fn the_scale_and_the_number_typed_are_kept() {
        let typed = Temperature::fahrenheit(85.1);
        let kept = serde_json::to_string(&typed).unwrap();
        assert_eq!(kept, r#"{"degrees":85.1,"scale":"fahrenheit"}"#);
        assert_eq!(serde_json::from_str::<Temperature>(&kept).unwrap(), typed);
        assert_eq!(typed.as_fahrenheit().to_bits(), 85.1_f64.to_bits());
    }

    #[test]
    fn warmer_and_colder_compare_across_scales() {
        let warm = Temperature::fahrenheit(85.0);
        let cool = Temperature::celsius(24.0);
        assert_eq!(warm.warmer(cool), warm);
        assert_eq!(cool.warmer(warm), warm);
        assert_eq!(warm.colder(cool), cool);
        assert_eq!(cool.colder(warm), cool);
    }

    #[test]
    fn of_two_equal_ones_the_order_does_not_matter() {
        let (celsius, fahrenheit) = (Temperature::celsius(37.0), Temperature::fahrenheit(98.6));
        assert_eq!(celsius.warmer(fahrenheit), celsius);
        assert_eq!(fahrenheit.warmer(celsius), celsius);
        assert_eq!(celsius.colder(fahrenheit), celsius);
        assert_eq!(fahrenheit.colder(celsius), celsius);
    }
}
