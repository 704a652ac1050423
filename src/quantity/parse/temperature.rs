//! Temperatures: `24 C`, `75 °F`, `-4 °C`. They have a sign, and they keep their scale.

use crate::quantity::parse::error::{QuantityError, echo};
use crate::quantity::parse::number::{Typed, prepare, typed_number};
use crate::quantity::parse::units::{named, parts};
use crate::quantity::{Temperature, TemperatureScale};
use std::ops::RangeInclusive;

/// A kitchen's world, in °C: from a deep freezer to an oven.
const HARD_CELSIUS: RangeInclusive<f64> = -60.0..=250.0;
const HARD_WORDS: &str = "-60 °C to 250 °C (-76 °F to 482 °F)";
const ACCEPTED: &str = "°C or °F";

const SCALES: &[(&str, TemperatureScale)] = &[
    ("c", TemperatureScale::Celsius),
    ("°c", TemperatureScale::Celsius),
    ("° c", TemperatureScale::Celsius),
    ("ºc", TemperatureScale::Celsius),
    ("℃", TemperatureScale::Celsius),
    ("degc", TemperatureScale::Celsius),
    ("deg c", TemperatureScale::Celsius),
    ("degrees c", TemperatureScale::Celsius),
    ("grad c", TemperatureScale::Celsius),
    ("grad celsius", TemperatureScale::Celsius),
    ("celsius", TemperatureScale::Celsius),
    ("degrees celsius", TemperatureScale::Celsius),
    ("f", TemperatureScale::Fahrenheit),
    ("°f", TemperatureScale::Fahrenheit),
    ("° f", TemperatureScale::Fahrenheit),
    ("ºf", TemperatureScale::Fahrenheit),
    ("℉", TemperatureScale::Fahrenheit),
    ("degf", TemperatureScale::Fahrenheit),
    ("deg f", TemperatureScale::Fahrenheit),
    ("degrees f", TemperatureScale::Fahrenheit),
    ("fahrenheit", TemperatureScale::Fahrenheit),
    ("degrees fahrenheit", TemperatureScale::Fahrenheit),
];

/// What may stand behind a number without saying the scale.
const NO_SCALE: &[(&str, ())] = &[("°", ()), ("º", ()), ("deg", ()), ("degrees", ()), ("grad", ())];

/// A temperature from −60 to 250 °C; the scale is required.
///
/// # Errors
/// Every [`QuantityError`] but those of percentages and gallons.
pub fn temperature(text: &str) -> Result<Temperature, QuantityError> {
    read(text, None)
}

/// The same, for a member whose scale is known: a scale that was typed wins.
///
/// # Errors
/// As [`temperature`], but no missing unit.
pub fn temperature_with_default(text: &str, scale: TemperatureScale) -> Result<Temperature, QuantityError> {
    read(text, Some(scale))
}

fn read(text: &str, default: Option<TemperatureScale>) -> Result<Temperature, QuantityError> {
    let text = prepare(text)?;
    let found = parts(text)?;
    let [part] = found.as_slice() else {
        return Err(QuantityError::PartsUnclear {
            text: echo(text), rule: "write one number and °C or °F"
        });
    };
    // A thousands reading is 1000 degrees or more: no kitchen's, so only the decimal one is left.
    let (Typed::Certain(size) | Typed::Either { decimal: size, .. }) = typed_number(part.number, text)?;
    let scale = if part.unit.is_empty() || named(NO_SCALE, part.unit).is_some() {
        default.ok_or_else(|| QuantityError::UnitMissing { text: echo(text), accepted: ACCEPTED })?
    } else {
        named(SCALES, part.unit)
            .ok_or_else(|| QuantityError::UnitUnknown { unit: echo(part.unit), accepted: ACCEPTED })?
    };
    let is_below_zero = matches!(part.sign, Some('-' | '−'));
    let degrees = match size.to_float() {
        // No −0: it would print as "-0".
        size if is_below_zero && size > 0.0 => -size,
        size => size,
    };
    let temperature = Temperature::new(degrees, scale);
    if HARD_CELSIUS.contains(&temperature.as_celsius()) {
        Ok(temperature)
    } else {
        Err(QuantityError::out_of_range(text, HARD_WORDS))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_scales_keep_their_number() {
        for text in [
            "24 C",
            "24C",
            "24 °C",
            "24°C",
            "24 ° C",
            "24 ºC",
            "24℃",
            "24 degC",
            "24 deg C",
            "24 celsius",
            "24 degrees Celsius",
            "+24 C",
            "24.000 C",
        ] {
            assert_eq!(temperature(text), Ok(Temperature::celsius(24.0)), "{text}");
        }
        for text in ["75F", "75 °F", "75 fahrenheit", "75 degrees f"] {
            assert_eq!(temperature(text), Ok(Temperature::fahrenheit(75.0)), "{text}");
        }
        assert_eq!(temperature("12,5 C"), Ok(Temperature::celsius(12.5)));
    }

    #[test]
    fn below_zero() {
        for text in ["-4 C", "−4 °C", "-4,0C"] {
            assert_eq!(temperature(text), Ok(Temperature::celsius(-4.0)), "{text}");
        }
        let zero = temperature("-0 C").unwrap();
        assert!(zero.as_celsius().is_sign_positive());
    }

    #[test]
    fn the_scale_is_needed_or_known() {
        for text in ["24", "24°", "24 degrees"] {
            assert_eq!(
                temperature(text),
                Err(QuantityError::UnitMissing { text: text.into(), accepted: "°C or °F" })
            );
            assert_eq!(
                temperature_with_default(text, TemperatureScale::Fahrenheit),
                Ok(Temperature::fahrenheit(24.0))
            );
        }
        assert_eq!(
            temperature_with_default("24 C", TemperatureScale::Fahrenheit),
            Ok(Temperature::celsius(24.0))
        );
    }

    #[test]
    fn refusals() {
        assert_eq!(
            temperature("900 C").unwrap_err().to_string(),
            "\"900 C\" is out of range: -60 °C to 250 °C (-76 °F to 482 °F)"
        );
        assert!(temperature("-60 C").is_ok() && temperature("-60.1 C").is_err());
        assert!(temperature("482 F").is_ok() && temperature("482.1 F").is_err());
        assert_eq!(
            temperature("24 K").unwrap_err().to_string(),
            "\"K\" is not a unit I know here; I read °C or °F"
        );
        assert!(matches!(temperature("20 C 22 C"), Err(QuantityError::PartsUnclear { .. })));
        for text in ["- 4 C", "--4 C", "3-4 C", "C", "1e2 C", "1/2 C"] {
            assert!(temperature(text).is_err(), "{text}");
        }
    }
}
