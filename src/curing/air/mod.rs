//! Moist air: saturation pressure, dew point, deficit, what a cubic metre holds, and the pull on a piece.

mod advice;
mod saturation;

pub use advice::{Below, Condition, conditions, textbook_target};
pub use saturation::{saturation_pressure, saturation_temperature};

use crate::quantity::{Pressure, RelativeHumidity, Temperature, WaterActivity};
use std::ops::RangeInclusive;

/// Temperatures of rooms that are computed, in °C. The formulas reach further; nothing hangs there.
pub const ROOM_CELSIUS: RangeInclusive<f64> = -10.0..=50.0;
/// Relative humidities that are computed, in percent: without any water there is no dew point.
pub const HUMIDITY_PERCENT: RangeInclusive<f64> = 1.0..=100.0;
/// The standard atmosphere in pascals, exact (ISO 2533).
pub const STANDARD_PRESSURE_PA: f64 = 101_325.0;

/// Molar mass of water over that of dry air (ASHRAE Handbook, Fundamentals 2017, chapter 1).
const MASS_RATIO: f64 = 0.621_945;
/// The molar gas constant in J/(mol K), exact since 2019 (SI Brochure, 9th edition).
const GAS_CONSTANT: f64 = 8.314_462_618;
/// Grams in a mole of water (IAPWS).
const MOLAR_MASS_WATER: f64 = 18.015_28;

const KELVIN: f64 = 273.15;

/// Why an air is not computed.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum AirError {
    /// Colder or warmer than any room something hangs in.
    #[error("{0:.1} °C is no room to hang meat in: -10 °C to 50 °C are computed")]
    Temperature(f64),
    /// No water at all, or more than the air holds.
    #[error("{0} % is not computed: 1 % to 100 %")]
    Humidity(f64),
    /// The air would hold more vapour than its whole pressure.
    #[error("at that pressure the air would be all water")]
    Pressure,
}

/// Air of a temperature and a relative humidity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    temperature: Temperature,
    humidity: RelativeHumidity,
}

impl Air {
    /// Air as a thermometer and a hygrometer give it.
    ///
    /// # Errors
    /// [`AirError`] outside the ranges that are computed.
    pub fn new(temperature: Temperature, humidity: RelativeHumidity) -> Result<Self, AirError> {
        let celsius = temperature.as_celsius();
        if !ROOM_CELSIUS.contains(&celsius) {
            return Err(AirError::Temperature(celsius));
        }
        if !HUMIDITY_PERCENT.contains(&humidity.as_percent()) {
            return Err(AirError::Humidity(humidity.as_percent()));
        }
        Ok(Self { temperature, humidity })
    }

    /// Its temperature.
    pub const fn temperature(self) -> Temperature {
        self.temperature
    }

    /// Its relative humidity.
    pub const fn humidity(self) -> RelativeHumidity {
        self.humidity
    }

    /// The vapour pressure it would have if it were full of water.
    pub fn saturation(self) -> Pressure {
        saturation_pressure(self.temperature)
    }

    /// The pressure of the vapour in it.
    pub fn vapour_pressure(self) -> Pressure {
        Pressure::pascals(self.saturation().as_pascals() * self.humidity.as_percent() / 100.0)
    }

    /// How much more vapour pressure it could take.
    pub fn deficit(self) -> Pressure {
        Pressure::pascals(self.saturation().as_pascals() - self.vapour_pressure().as_pascals())
    }

    /// The temperature at which water begins to settle out of it; at or below 0.01 °C as frost.
    pub fn dew_point(self) -> Temperature {
        if self.humidity.as_percent() >= 100.0 {
            return self.temperature;
        }
        saturation_temperature(self.vapour_pressure())
    }

    /// Grams of water in a cubic metre, as an ideal gas.
    pub fn absolute_humidity_g_per_m3(self) -> f64 {
        let kelvin = self.temperature.as_celsius() + KELVIN;
        self.vapour_pressure().as_pascals() * MOLAR_MASS_WATER / (GAS_CONSTANT * kelvin)
    }

    /// Grams of water with every kilogram of dry air.
    ///
    /// # Errors
    /// [`AirError::Pressure`] where the vapour alone would have the whole pressure.
    pub fn humidity_ratio_g_per_kg(self, pressure: Pressure) -> Result<f64, AirError> {
        let vapour = self.vapour_pressure().as_pascals();
        let dry = pressure.as_pascals() - vapour;
        if dry > 0.0 { Ok(1000.0 * MASS_RATIO * vapour / dry) } else { Err(AirError::Pressure) }
    }

    /// What pulls the water out of a piece: the vapour pressure at its surface less that of the air. Below zero the
    /// piece takes water up.
    pub fn drive(self, piece: Temperature, activity: WaterActivity) -> Pressure {
        let surface = saturation_pressure(piece).as_pascals() * activity.value();
        Pressure::pascals(surface - self.vapour_pressure().as_pascals())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn air(celsius: f64, percent: f64) -> Result<Air, AirError> {
        Air::new(Temperature::celsius(celsius), RelativeHumidity::percent(percent))
    }

    #[test]
    fn what_is_not_computed_names_its_range() {
        for (celsius, percent) in
            [(-10.1, 50.0), (50.1, 50.0), (13.0, 0.9), (13.0, 100.1), (f64::NAN, 50.0), (13.0, f64::NAN)]
        {
            let sentence = air(celsius, percent).unwrap_err().to_string();
            assert!(sentence.contains("to"), "{sentence}");
        }
    }

    #[test]
    fn full_air_is_at_its_dew_point() {
        for celsius in [-10.0, 0.0, 13.0, 50.0] {
            let full = air(celsius, 100.0).unwrap();
            assert_eq!(full.dew_point(), Temperature::celsius(celsius));
            assert_eq!(full.deficit(), Pressure::pascals(0.0));
        }
    }

    #[test]
    fn a_cold_piece_takes_water_up() {
        let room = air(22.0, 85.0).unwrap();
        assert!(room.drive(Temperature::celsius(4.0), WaterActivity::new(0.97)).as_pascals() < 0.0);
        assert!(room.drive(Temperature::celsius(22.0), WaterActivity::new(0.97)).as_pascals() > 0.0);
    }
}
