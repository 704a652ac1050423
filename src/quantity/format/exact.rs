//! Printing that reads back: the shortest text that [`crate::quantity::parse`] turns into the same value.
//!
//! In decimal units (kg, %, ml, …) the point is moved in the decimal text, so every value has such a text. In
//! units with a long factor (lb, oz, in, gallons) every value that was typed in the unit has one; a computed
//! value may have none (not every number of grams is a float times 453.59237) and is then printed in grams,
//! millimetres or litres.

use crate::quantity::exact::Exact;
use crate::quantity::parse::{self, QuantityError, unmistakable};
use crate::quantity::{
    Fraction, Hours, Length, LengthUnit, Mass, MassUnit, Ph, RelativeHumidity, Temperature, Volume,
    VolumeUnit, WaterActivity,
};

/// Digits after which no float needs more.
const MOST_DIGITS: usize = 17;
/// Hours with more characters than this are tried in minutes: `20 min` for 0.3333333333333333 h.
const LONG_HOURS: usize = 8;

/// A weight in a unit, to the last digit: `1.25 kg`, `2.1875 lb`.
pub fn mass_exact(mass: Mass, unit: MassUnit) -> String {
    let grams = mass.as_grams();
    match unit {
        MassUnit::Gram => decimal(grams, 1, 1, unit.symbol(), &mass, parse::mass),
        MassUnit::Kilogram => decimal(grams, 1, 1000, unit.symbol(), &mass, parse::mass),
        MassUnit::Ounce | MassUnit::Pound => shortest(mass.in_unit(unit), unit.symbol(), &mass, parse::mass)
            .unwrap_or_else(|| mass_exact(mass, MassUnit::Gram)),
    }
}

/// A temperature in its own scale, to the last digit: `12.5 °C`.
pub fn temperature_exact(temperature: Temperature) -> String {
    let scale = temperature.scale();
    plain(temperature.in_scale(scale), scale.symbol())
}

/// A percentage, to the last digit: `6.25 %`.
pub fn percent_exact(fraction: Fraction) -> String {
    decimal(fraction.as_one(), 100, 1, "%", &fraction, parse::percent)
}

/// A length in a unit, to the last digit.
pub fn length_exact(length: Length, unit: LengthUnit) -> String {
    let millimetres = length.as_millimetres();
    match unit {
        LengthUnit::Millimetre => decimal(millimetres, 1, 1, unit.symbol(), &length, parse::length),
        LengthUnit::Centimetre => decimal(millimetres, 1, 10, unit.symbol(), &length, parse::length),
        LengthUnit::Inch => shortest(length.in_unit(unit), unit.symbol(), &length, parse::length)
            .unwrap_or_else(|| length_exact(length, LengthUnit::Millimetre)),
    }
}

/// A volume in a unit, to the last digit.
pub fn volume_exact(volume: Volume, unit: VolumeUnit) -> String {
    let litres = volume.as_litres();
    match unit {
        VolumeUnit::Millilitre => decimal(litres, 1000, 1, unit.symbol(), &volume, parse::volume),
        VolumeUnit::Litre => decimal(litres, 1, 1, unit.symbol(), &volume, parse::volume),
        VolumeUnit::UsGallon | VolumeUnit::ImperialGallon => {
            shortest(volume.in_unit(unit), unit.symbol(), &volume, parse::volume)
                .unwrap_or_else(|| volume_exact(volume, VolumeUnit::Litre))
        }
    }
}

/// A length of time, to the last digit: in hours (`36 h`), or in minutes where that is shorter (`20 min`).
pub fn hours_exact(hours: Hours) -> String {
    let in_hours = decimal(hours.value(), 1, 1, "h", &hours, parse::duration);
    if in_hours.len() <= LONG_HOURS {
        return in_hours;
    }
    shortest(hours.value() * 60.0, "min", &hours, parse::duration)
        .filter(|in_minutes| in_minutes.len() < in_hours.len())
        .unwrap_or(in_hours)
}

/// A concentration, to the last digit: `156.25 mg/kg`.
pub fn mg_per_kg_exact(mg_per_kg: f64) -> String {
    decimal(mg_per_kg, 1, 1, "mg/kg", &mg_per_kg, parse::mg_per_kg)
}

/// A pH, to the last digit, without the letters.
pub fn ph_exact(ph: Ph) -> String {
    plain(ph.value(), "")
}

/// A relative humidity, to the last digit.
pub fn relative_humidity_exact(humidity: RelativeHumidity) -> String {
    plain(humidity.as_percent(), "%")
}

/// A water activity, to the last digit.
pub fn water_activity_exact(activity: WaterActivity) -> String {
    plain(activity.value(), "")
}

/// The canonical value times `factor` over `divisor` (powers of ten), by moving the decimal point.
/// `1.234` gets a zero more where its point could be a thousands sign.
fn decimal<T: PartialEq>(
    canonical: f64,
    factor: u128,
    divisor: u128,
    label: &str,
    value: &T,
    parse: impl Fn(&str) -> Result<T, QuantityError>,
) -> String {
    let sign = if canonical < 0.0 { "-" } else { "" };
    let moved = Exact::from_float(canonical.abs())
        .and_then(|number| number.times(Exact::whole(factor))?.over(divisor)?.to_text());
    // Too long for the parser, infinite or not a number: nothing reads back, so the float's own text is as good.
    let Some(digits) = moved else {
        let amount = canonical * factor as f64 / divisor as f64;
        return plain(amount, label);
    };
    let text = with_label(format!("{sign}{digits}"), label);
    if parse(&text).is_ok_and(|read| read == *value) {
        return text;
    }
    let padded = with_label(format!("{sign}{digits}0"), label);
    if parse(&padded).is_ok_and(|read| read == *value) { padded } else { text }
}

/// Tries more and more digits of the amount until the text reads back as the value.
fn shortest<T: PartialEq>(
    amount: f64,
    label: &str,
    value: &T,
    parse: impl Fn(&str) -> Result<T, QuantityError>,
) -> Option<String> {
    (0..MOST_DIGITS)
        .filter_map(|digits| format!("{amount:.digits$e}").parse::<f64>().ok())
        .chain([amount.next_down(), amount.next_up()])
        .flat_map(|candidate| [plain(candidate, label), with_label(unmistakable(candidate), label)])
        .find(|text| parse(text).is_ok_and(|read| read == *value))
}

fn plain(amount: f64, label: &str) -> String {
    // Adding zero turns -0 into 0.
    with_label(format!("{}", amount + 0.0), label)
}

fn with_label(number: String, label: &str) -> String {
    if label.is_empty() { number } else { format!("{number} {label}") }
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
            let unit = [MassUnit::Kilogram, MassUnit::Pound, MassUnit::Ounce, MassUnit::Gram]
                .into_iter()
                .find(|unit| text.ends_with(unit.symbol()))
                .unwrap();
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
        assert_eq!(volume_exact(parse::volume("2.5 US gal").unwrap(), VolumeUnit::UsGallon), "2.5 US gal");
        assert_eq!(length_exact(parse::length("2.25 in").unwrap(), LengthUnit::Inch), "2.25 in");
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
