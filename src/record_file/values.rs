//! Numbers of the file, each with its unit and with the bounds outside which it cannot be. Read back they are as they
//! were written, to the last digit.

use crate::quantity::{
    Fraction, Hours, Length, Mass, Ph, RelativeHumidity, Temperature, TemperatureScale, Voltage,
    WaterActivity,
};
use serde::{Deserialize, Serialize};

/// The number, where it lies in the bounds.
fn within(value: f64, least: f64, most: f64, what: &str) -> Result<f64, String> {
    if (least..=most).contains(&value) {
        Ok(value)
    } else {
        Err(format!("{value} is no {what}, which lies between {least} and {most}"))
    }
}

/// A number of the file that stands for a quantity: how one becomes the other, and the bounds.
macro_rules! number {
    ($(#[$doc:meta])* $name:ident, $quantity:ident, $make:ident, $read:ident, $least:literal, $most:literal, $what:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
        #[serde(try_from = "f64", into = "f64")]
        pub struct $name(f64);

        impl TryFrom<f64> for $name {
            type Error = String;

            fn try_from(value: f64) -> Result<Self, String> {
                within(value, $least, $most, $what).map(Self)
            }
        }

        impl From<$name> for f64 {
            fn from(number: $name) -> Self {
                number.0
            }
        }

        impl From<$quantity> for $name {
            fn from(quantity: $quantity) -> Self {
                Self(quantity.$read())
            }
        }

        impl From<$name> for $quantity {
            fn from(number: $name) -> Self {
                Self::$make(number.0)
            }
        }
    };
}

number! {
    /// A weight in grams.
    Grams, Mass, grams, as_grams, 0.0, 1e9, "weight in grams"
}
number! {
    /// A length in millimetres.
    Millimetres, Length, millimetres, as_millimetres, 0.0, 1e5, "length in millimetres"
}
number! {
    /// A part of one: 0.38 is 38 %.
    OfOne, Fraction, of_one, as_one, 0.0, 1.0, "part of one"
}
number! {
    /// A pH.
    PhNumber, Ph, new, value, 0.0, 14.0, "pH"
}
number! {
    /// A relative humidity in percent.
    HumidityPercent, RelativeHumidity, percent, as_percent, 0.0, 100.0, "relative humidity in percent"
}
number! {
    /// A water activity.
    Activity, WaterActivity, new, value, 0.0, 1.0, "water activity"
}
number! {
    /// A number of hours.
    HoursNumber, Hours, new, value, 0.0, 1e7, "number of hours"
}
number! {
    /// A number of millivolts, of either sign.
    Millivolts, Voltage, millivolts, as_millivolts, -1e5, 1e5, "number of millivolts"
}

/// Degrees Celsius.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "f64", into = "f64")]
pub struct Celsius(f64);

impl TryFrom<f64> for Celsius {
    type Error = String;

    fn try_from(value: f64) -> Result<Self, String> {
        within(value, -273.15, 1000.0, "temperature in °C").map(Self)
    }
}

impl From<Celsius> for f64 {
    fn from(degrees: Celsius) -> Self {
        degrees.0
    }
}

/// Degrees Fahrenheit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "f64", into = "f64")]
pub struct Fahrenheit(f64);

impl TryFrom<f64> for Fahrenheit {
    type Error = String;

    fn try_from(value: f64) -> Result<Self, String> {
        within(value, -459.67, 1832.0, "temperature in °F").map(Self)
    }
}

impl From<Fahrenheit> for f64 {
    fn from(degrees: Fahrenheit) -> Self {
        degrees.0
    }
}

/// A temperature in the scale it was read in: `{"celsius": 21.3}` or `{"fahrenheit": 85}`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Degrees {
    /// In degrees Celsius.
    Celsius(Celsius),
    /// In degrees Fahrenheit.
    Fahrenheit(Fahrenheit),
}

impl From<Temperature> for Degrees {
    fn from(temperature: Temperature) -> Self {
        match temperature.scale() {
            TemperatureScale::Celsius => Self::Celsius(Celsius(temperature.as_celsius())),
            TemperatureScale::Fahrenheit => Self::Fahrenheit(Fahrenheit(temperature.as_fahrenheit())),
        }
    }
}

impl From<Degrees> for Temperature {
    fn from(degrees: Degrees) -> Self {
        match degrees {
            Degrees::Celsius(degrees) => Self::celsius(degrees.0),
            Degrees::Fahrenheit(degrees) => Self::fahrenheit(degrees.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_outside_its_bounds_is_refused_in_words() {
        let refused = serde_json::from_str::<PhNumber>("99").unwrap_err().to_string();
        assert!(refused.starts_with("99 is no pH, which lies between 0 and 14"), "{refused}");
        assert!(serde_json::from_str::<Grams>("-0.1").is_err());
        assert!(serde_json::from_str::<Degrees>(r#"{"celsius":-274}"#).is_err());
        assert!(serde_json::from_str::<Degrees>(r#"{"kelvin":280}"#).is_err());
    }

    // 85.1 °F would be 29.5 °C to the nearest double, and not come back.
    #[test]
    fn a_temperature_stays_in_its_scale() {
        let read = Temperature::fahrenheit(85.1);
        let written = serde_json::to_string(&Degrees::from(read)).unwrap();
        assert_eq!(written, r#"{"fahrenheit":85.1}"#);
        assert_eq!(Temperature::from(serde_json::from_str::<Degrees>(&written).unwrap()), read);
    }
}
