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

/// A number of the file with its bounds; outside them the file is refused.
macro_rules! bounded {
    ($(#[$doc:meta])* $name:ident, $least:literal, $most:literal, $what:literal) => {
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
    };
}

/// How a number of the file becomes the quantity it stands for, and is written of it.
macro_rules! stands_for {
    ($name:ident, $quantity:ident, $make:ident, $read:ident) => {
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

bounded! {
    /// A weight in grams.
    Grams, 0.0, 1e9, "weight in grams"
}
stands_for!(Grams, Mass, grams, as_grams);

bounded! {
    /// A length in millimetres.
    Millimetres, 0.0, 1e5, "length in millimetres"
}
stands_for!(Millimetres, Length, millimetres, as_millimetres);

bounded! {
    /// A part of one: 0.38 is 38 %.
    OfOne, 0.0, 1.0, "part of one"
}
stands_for!(OfOne, Fraction, of_one, as_one);

bounded! {
    /// A pH.
    PhNumber, 0.0, 14.0, "pH"
}
stands_for!(PhNumber, Ph, new, value);

bounded! {
    /// A relative humidity in percent.
    HumidityPercent, 0.0, 100.0, "relative humidity in percent"
}
stands_for!(HumidityPercent, RelativeHumidity, percent, as_percent);

bounded! {
    /// A water activity.
    Activity, 0.0, 1.0, "water activity"
}
stands_for!(Activity, WaterActivity, new, value);

bounded! {
    /// A number of hours.
    HoursNumber, 0.0, 1e7, "number of hours"
}
stands_for!(HoursNumber, Hours, new, value);

bounded! {
    /// A number of millivolts, of either sign.
    Millivolts, -1e5, 1e5, "number of millivolts"
}
stands_for!(Millivolts, Voltage, millivolts, as_millivolts);

bounded! {
    /// Degrees Celsius.
    Celsius, -273.15, 1000.0, "temperature in °C"
}

bounded! {
    /// Degrees Fahrenheit.
    Fahrenheit, -459.67, 1832.0, "temperature in °F"
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
