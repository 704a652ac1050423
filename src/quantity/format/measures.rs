//! Temperatures, percentages, concentrations, lengths and volumes for reading.

use crate::quantity::format::number::{number, trimmed, without_noise};
use crate::quantity::{
    Fraction, Length, LengthUnit, Ph, RelativeHumidity, Temperature, TemperatureScale, Volume, VolumeUnit,
    WaterActivity,
};

/// A temperature in a scale, at most one decimal: `24 °C`, `75.2 °F`.
pub fn temperature(temperature: Temperature, scale: TemperatureScale) -> String {
    let degrees = trimmed(without_noise(temperature.in_scale(scale)), 1);
    format!("{degrees} {}", scale.symbol())
}

/// A temperature in the scale it was read in, the other in brackets: `24 °C (75.2 °F)`.
pub fn both_scales(read: Temperature) -> String {
    format!("{} ({})", temperature(read, read.scale()), temperature(read, read.scale().other()))
}

/// A percentage, at most two decimals: `6.25 %`, `38 %`.
pub fn percent(fraction: Fraction) -> String {
    format!("{} %", trimmed(without_noise(fraction.as_percent()), 2))
}

/// A percentage with exactly so many decimals: `38.0 %`.
pub fn percent_with(fraction: Fraction, decimals: usize) -> String {
    format!("{} %", number(without_noise(fraction.as_percent()), decimals))
}

/// A concentration, at most two decimals: `156.25 mg/kg`, `200 mg/kg`.
pub fn mg_per_kg(mg_per_kg: f64) -> String {
    format!("{} mg/kg", trimmed(without_noise(mg_per_kg), 2))
}

/// A length: millimetres and centimetres to one decimal, inches to two.
pub fn length(length: Length, unit: LengthUnit) -> String {
    let amount = without_noise(length.in_unit(unit));
    let most_decimals = match unit {
        LengthUnit::Millimetre | LengthUnit::Centimetre => 1,
        LengthUnit::Inch => 2,
    };
    format!("{} {}", trimmed(amount, most_decimals), unit.symbol())
}

/// A volume: whole millilitres, litres and gallons to two decimals. A gallon always says which.
pub fn volume(volume: Volume, unit: VolumeUnit) -> String {
    let amount = without_noise(volume.in_unit(unit));
    let most_decimals = match unit {
        VolumeUnit::Millilitre => 0,
        VolumeUnit::Litre | VolumeUnit::UsGallon | VolumeUnit::ImperialGallon => 2,
    };
    format!("{} {}", trimmed(amount, most_decimals), unit.symbol())
}

/// A pH with two decimals at most, without the letters: `5.09`, `5.1`.
pub fn ph(ph: Ph) -> String {
    trimmed(ph.value(), 2)
}

/// A relative humidity, at most one decimal: `80 %`.
pub fn relative_humidity(humidity: RelativeHumidity) -> String {
    format!("{} %", trimmed(humidity.as_percent(), 1))
}

/// A water activity, at most three decimals: `0.915`.
pub fn water_activity(activity: WaterActivity) -> String {
    trimmed(activity.value(), 3)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn temperatures() {
        let cool = Temperature::celsius(24.0);
        assert_eq!(temperature(cool, TemperatureScale::Celsius), "24 °C");
        assert_eq!(temperature(cool, TemperatureScale::Fahrenheit), "75.2 °F");
        assert_eq!(both_scales(cool), "24 °C (75.2 °F)");
        assert_eq!(both_scales(Temperature::fahrenheit(85.0)), "85 °F (29.4 °C)");
        assert_eq!(both_scales(Temperature::celsius(-0.01)), "0 °C (32 °F)");
    }

    #[test]
    fn percentages_and_concentrations() {
        assert_eq!(percent(Fraction::percent(6.25)), "6.25 %");
        assert_eq!(percent(Fraction::percent(38.0)), "38 %");
        assert_eq!(percent_with(Fraction::percent(38.0), 1), "38.0 %");
        assert_eq!(mg_per_kg(156.25), "156.25 mg/kg");
        assert_eq!(mg_per_kg(200.0), "200 mg/kg");
        assert_eq!(mg_per_kg(156.249_999_999_999_97), "156.25 mg/kg");
    }

    #[test]
    fn sizes() {
        let stick = Length::of(2.0, LengthUnit::Inch);
        assert_eq!(length(stick, LengthUnit::Millimetre), "50.8 mm");
        assert_eq!(length(stick, LengthUnit::Inch), "2 in");
        let bucket = Volume::of(1.0, VolumeUnit::UsGallon);
        assert_eq!(volume(bucket, VolumeUnit::Litre), "3.79 l");
        assert_eq!(volume(bucket, VolumeUnit::UsGallon), "1 US gal");
        assert_eq!(volume(bucket, VolumeUnit::ImperialGallon), "0.83 imperial gal");
        assert_eq!(volume(bucket, VolumeUnit::Millilitre), "3785 ml");
    }

    #[test]
    fn readings() {
        assert_eq!(ph(Ph::new(5.09)), "5.09");
        assert_eq!(ph(Ph::new(5.1)), "5.1");
        assert_eq!(relative_humidity(RelativeHumidity::percent(80.0)), "80 %");
        assert_eq!(water_activity(WaterActivity::new(0.915)), "0.915");
    }
}
