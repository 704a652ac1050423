//! Printing that reads back: the shortest text that [`crate::quantity::parse`] turns into the same value.
//!
//! Every value that came from a typed text has such a text in the unit it was typed in. A computed value may
//! have none in a unit with a long factor (not every number of grams is a product of a float and 453.59237);
//! it is then printed in the canonical unit, where every value inside the parser's range has one.

use crate::quantity::parse::{self, QuantityError, unmistakable};
use crate::quantity::{
    Fraction, Hours, Length, LengthUnit, Mass, MassUnit, Ph, RelativeHumidity, Temperature, TemperatureScale,
    Volume, VolumeUnit, WaterActivity,
};

/// Digits after which no float needs more.
const MOST_DIGITS: usize = 17;

/// A weight in a unit, to the last digit: `1.25 kg`, `2.1875 lb`.
pub fn mass_exact(mass: Mass, unit: MassUnit) -> String {
    let label = match unit {
        MassUnit::Gram => "g",
        MassUnit::Kilogram => "kg",
        MassUnit::Ounce => "oz",
        MassUnit::Pound => "lb",
    };
    shortest(mass.in_unit(unit), label, &mass, parse::mass).unwrap_or_else(|| canonical(mass.as_grams(), "g"))
}

/// A temperature in its own scale, to the last digit: `12.5 °C`.
pub fn temperature_exact(temperature: Temperature) -> String {
    let scale = temperature.scale();
    let label = match scale {
        TemperatureScale::Celsius => "°C",
        TemperatureScale::Fahrenheit => "°F",
    };
    canonical(temperature.in_scale(scale), label)
}

/// A percentage, to the last digit: `6.25 %`.
pub fn percent_exact(fraction: Fraction) -> String {
    shortest(fraction.as_percent(), "%", &fraction, parse::percent)
        .unwrap_or_else(|| canonical(fraction.as_percent(), "%"))
}

/// A length in a unit, to the last digit.
pub fn length_exact(length: Length, unit: LengthUnit) -> String {
    let label = match unit {
        LengthUnit::Millimetre => "mm",
        LengthUnit::Centimetre => "cm",
        LengthUnit::Inch => "in",
    };
    shortest(length.in_unit(unit), label, &length, parse::length)
        .unwrap_or_else(|| canonical(length.as_millimetres(), "mm"))
}

/// A volume in a unit, to the last digit.
pub fn volume_exact(volume: Volume, unit: VolumeUnit) -> String {
    let label = match unit {
        VolumeUnit::Millilitre => "ml",
        VolumeUnit::Litre => "l",
        VolumeUnit::UsGallon => "US gal",
        VolumeUnit::ImperialGallon => "imperial gal",
    };
    shortest(volume.in_unit(unit), label, &volume, parse::volume)
        .unwrap_or_else(|| canonical(volume.as_litres(), "l"))
}

/// A length of time in hours, to the last digit: `36 h`; in minutes where hours have no end: `20 min`.
pub fn hours_exact(hours: Hours) -> String {
    let in_hours = shortest(hours.value(), "h", &hours, parse::duration);
    let in_minutes = shortest(hours.value() * 60.0, "min", &hours, parse::duration);
    match (in_hours, in_minutes) {
        (Some(in_hours), Some(in_minutes)) if in_minutes.len() + 4 < in_hours.len() => in_minutes,
        (Some(in_hours), _) => in_hours,
        (None, Some(in_minutes)) => in_minutes,
        (None, None) => canonical(hours.value(), "h"),
    }
}

/// A concentration, to the last digit: `156.25 mg/kg`.
pub fn mg_per_kg_exact(mg_per_kg: f64) -> String {
    shortest(mg_per_kg, "mg/kg", &mg_per_kg, parse::mg_per_kg)
        .unwrap_or_else(|| canonical(mg_per_kg, "mg/kg"))
}

/// A pH, to the last digit, without the letters.
pub fn ph_exact(ph: Ph) -> String {
    canonical(ph.value(), "")
}

/// A relative humidity, to the last digit.
pub fn relative_humidity_exact(humidity: RelativeHumidity) -> String {
    canonical(humidity.as_percent(), "%")
}

/// A water activity, to the last digit.
pub fn water_activity_exact(activity: WaterActivity) -> String {
    canonical(activity.value(), "")
}

/// Tries more and more digits of the amount until the text reads back as the value. `1.234` gets a zero more
/// where its point could be a thousands sign.
fn shortest<T: PartialEq>(
    amount: f64,
    label: &str,
    value: &T,
    parse: impl Fn(&str) -> Result<T, QuantityError>,
) -> Option<String> {
    (0..MOST_DIGITS)
        .filter_map(|digits| format!("{amount:.digits$e}").parse::<f64>().ok())
        .chain([amount.next_down(), amount.next_up()])
        .flat_map(|candidate| {
            [
                canonical(candidate, label),
                with_label(unmistakable(candidate), label),
            ]
        })
        .find(|text| parse(text).is_ok_and(|read| read == *value))
}

fn canonical(amount: f64, label: &str) -> String {
    // Adding zero turns -0 into 0.
    with_label(format!("{}", amount + 0.0), label)
}

fn with_label(number: String, label: &str) -> String {
    if label.is_empty() {
        number
    } else {
        format!("{number} {label}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shortest_text_that_reads_back() {
        for text in [
            "812 g",
            "1.25 kg",
            "1.001 kg",
            "1.234 kg",
            "1.2340 g",
            "2.1875 lb",
            "3.1 oz",
            "0.1 lb",
            "0 g",
            "0.07 kg",
        ] {
            let unit = [
                ("kg", MassUnit::Kilogram),
                ("lb", MassUnit::Pound),
                ("oz", MassUnit::Ounce),
                ("g", MassUnit::Gram),
            ]
            .into_iter()
            .find(|(label, _)| text.ends_with(label))
            .unwrap()
            .1;
            assert_eq!(mass_exact(parse::mass(text).unwrap(), unit), text);
        }
    }

    #[test]
    fn other_quantities() {
        for text in ["-4 °C", "12.5 °C", "85 °F", "0 °C"] {
            assert_eq!(temperature_exact(parse::temperature(text).unwrap()), text);
        }
        for text in ["6.25 %", "7.1 %", "0.6 %", "33.333 %"] {
            assert_eq!(percent_exact(parse::percent(text).unwrap()), text);
        }
        for text in ["36 h", "1.5 h", "20 min", "0.1 h", "100 h", "1.5000 h"] {
            let expected = if text == "1.5000 h" { "1.5 h" } else { text };
            assert_eq!(hours_exact(parse::duration(text).unwrap()), expected);
        }
        assert_eq!(
            volume_exact(parse::volume("2.5 US gal").unwrap(), VolumeUnit::UsGallon),
            "2.5 US gal"
        );
        assert_eq!(
            length_exact(parse::length("2.25 in").unwrap(), LengthUnit::Inch),
            "2.25 in"
        );
        assert_eq!(mg_per_kg_exact(1.234), "1.2340 mg/kg");
        assert_eq!(ph_exact(Ph::new(5.09)), "5.09");
        assert_eq!(relative_humidity_exact(RelativeHumidity::percent(80.5)), "80.5 %");
        assert_eq!(water_activity_exact(WaterActivity::new(0.91)), "0.91");
    }

    #[test]
    fn a_value_without_a_text_in_its_unit_is_printed_in_grams() {
        let mut fell_back = 0;
        for index in 0..200 {
            let mass = Mass::grams(1000.0 + f64::from(index) / 7.0);
            let text = mass_exact(mass, MassUnit::Pound);
            assert_eq!(parse::mass(&text), Ok(mass), "{text}");
            fell_back += i32::from(text.ends_with(" g"));
        }
        assert!(fell_back < 200, "pounds are used where they can be");
    }
}
