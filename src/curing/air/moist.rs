//! Air at a temperature and a relative humidity: what water is in it, and what it takes from a piece.

use super::saturation;
use crate::quantity::{Pressure, RelativeHumidity, Temperature, WaterActivity};
use std::ops::RangeInclusive;
use thiserror::Error;

/// Air temperatures that are worked with, in °C. Below freezing the same percentage means one thing over water and
/// another over ice, and meters differ in which they show.
const AIR_CELSIUS: RangeInclusive<f64> = 0.0..=60.0;
/// Temperatures of a piece that are worked with, in °C.
const PIECE_CELSIUS: RangeInclusive<f64> = -40.0..=60.0;
/// Humidities that are worked with, in percent. Without any vapour there is no dew point.
const HUMIDITY_PERCENT: RangeInclusive<f64> = 1.0..=100.0;
/// Below this a piece's surface is ice and has no water activity of its own, in °C. Project rule.
const FROZEN_BELOW_CELSIUS: f64 = 0.0;

/// Molar gas constant in J/(mol K): exact since 2019 (SI).
const GAS_CONSTANT: f64 = 8.314_462_618;
/// Molar mass of water in grams per mole (IAPWS).
const WATER_GRAMS_PER_MOLE: f64 = 18.015_28;
/// Molar mass of water over that of dry air (ASHRAE Handbook of Fundamentals, "Psychrometrics").
const WATER_TO_DRY_AIR: f64 = 0.621_945;
/// The standard atmosphere in pascals (ISO 2533).
const STANDARD_PASCALS: f64 = 101_325.0;
/// Kelvin at 0 °C, exact.
const ZERO_CELSIUS_KELVIN: f64 = 273.15;

/// Why air cannot be worked with.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum AirError {
    /// Colder or warmer than the air that is worked with.
    #[error("air is worked with from 0 to 60 °C (32 to 140 °F); below freezing a humidity has two meanings")]
    AirTemperature,
    /// No humidity that is worked with.
    #[error("a humidity is worked with from 1 % to 100 %")]
    Humidity,
    /// Colder or warmer than a piece that is worked with.
    #[error("a piece is worked with from -40 to 60 °C (-40 to 140 °F)")]
    PieceTemperature,
    /// No water activity of meat.
    #[error("a water activity of meat is more than 0 and at most 1, like 0.95")]
    WaterActivity,
}

/// Air of a chamber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoistAir {
    temperature: Temperature,
    humidity: RelativeHumidity,
    pressure: Pressure,
    saturation: Pressure,
}

/// The surface of a piece in the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surface {
    temperature: Temperature,
    saturation: Pressure,
}

impl Surface {
    /// A piece's surface at a temperature.
    pub fn new(temperature: Temperature) -> Result<Self, AirError> {
        let possible = PIECE_CELSIUS.contains(&temperature.as_celsius());
        let saturation = saturation::pressure(temperature).filter(|_| possible);
        saturation.map(|saturation| Self { temperature, saturation }).ok_or(AirError::PieceTemperature)
    }

    /// How warm it is.
    pub const fn temperature(self) -> Temperature {
        self.temperature
    }

    /// Whether it is frozen.
    pub fn is_frozen(self) -> bool {
        self.temperature.as_celsius() < FROZEN_BELOW_CELSIUS
    }
}

impl MoistAir {
    /// Air at a temperature and a humidity; at the standard atmosphere where no pressure is said.
    pub fn new(
        temperature: Temperature,
        humidity: RelativeHumidity,
        pressure: Option<Pressure>,
    ) -> Result<Self, AirError> {
        if !HUMIDITY_PERCENT.contains(&humidity.as_percent()) {
            return Err(AirError::Humidity);
        }
        let possible = AIR_CELSIUS.contains(&temperature.as_celsius());
        let saturation =
            saturation::pressure(temperature).filter(|_| possible).ok_or(AirError::AirTemperature)?;
        let pressure = pressure.unwrap_or(Pressure::pascals(STANDARD_PASCALS));
        Ok(Self { temperature, humidity, pressure, saturation })
    }

    /// How warm it is.
    pub const fn temperature(self) -> Temperature {
        self.temperature
    }

    /// Its relative humidity.
    pub const fn humidity(self) -> RelativeHumidity {
        self.humidity
    }

    /// The pressure it is under.
    pub const fn pressure(self) -> Pressure {
        self.pressure
    }

    /// The pressure of the water vapour that would saturate it.
    pub const fn saturation(self) -> Pressure {
        self.saturation
    }

    /// The pressure of the water vapour in it.
    pub fn vapour(self) -> Pressure {
        Pressure::pascals(self.saturation.as_pascals() * self.humidity.as_percent() / 100.0)
    }

    /// How much more vapour it could hold, as a pressure.
    pub fn deficit(self) -> Pressure {
        Pressure::pascals(self.saturation.as_pascals() - self.vapour().as_pascals())
    }

    /// The temperature it must be cooled to for water to settle; below 0.01 °C as frost.
    pub fn dew_point(self) -> Temperature {
        // Every humidity from 1 to 100 % of this air has a dew point inside the formula, so there is always one.
        saturation::temperature(self.vapour()).unwrap_or(self.temperature)
    }

    /// Grams of water in a cubic metre of it.
    pub fn grams_per_cubic_metre(self) -> f64 {
        let kelvin = self.temperature.as_celsius() + ZERO_CELSIUS_KELVIN;
        self.vapour().as_pascals() * WATER_GRAMS_PER_MOLE / (GAS_CONSTANT * kelvin)
    }

    /// Grams of water for each kilogram of dry air.
    pub fn grams_per_kilogram_dry(self) -> f64 {
        let vapour = self.vapour().as_pascals();
        1000.0 * WATER_TO_DRY_AIR * vapour / (self.pressure.as_pascals() - vapour)
    }

    /// What drives water out of a piece: the vapour pressure at its surface less that of the air. Below zero the piece
    /// takes water up. `None` for a frozen piece.
    pub fn drive(self, surface: Surface, activity: WaterActivity) -> Result<Option<Pressure>, AirError> {
        let part = activity.value();
        if !(part > 0.0 && part <= 1.0) {
            return Err(AirError::WaterActivity);
        }
        let drive = part * surface.saturation.as_pascals() - self.vapour().as_pascals();
        Ok((!surface.is_frozen()).then_some(Pressure::pascals(drive)))
    }

    /// Whether water settles on a piece: it is no warmer than the dew point.
    pub fn wets(self, surface: Surface) -> bool {
        surface.saturation.as_pascals() <= self.vapour().as_pascals()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn air(celsius: f64, percent: f64) -> Result<MoistAir, AirError> {
        MoistAir::new(Temperature::celsius(celsius), RelativeHumidity::percent(percent), None)
    }

    #[test]
    fn air_outside_what_is_worked_with_is_refused() {
        for celsius in [-0.1, 60.1, f64::NAN] {
            assert_eq!(air(celsius, 80.0), Err(AirError::AirTemperature), "{celsius}");
        }
        for percent in [0.0, 0.9, 100.1, f64::NAN] {
            assert_eq!(air(13.0, percent), Err(AirError::Humidity), "{percent}");
        }
        for celsius in [-40.1, 60.1, f64::NAN] {
            assert!(Surface::new(Temperature::celsius(celsius)).is_err(), "{celsius}");
        }
        let surface = Surface::new(Temperature::celsius(12.0)).unwrap();
        for activity in [0.0, -0.1, 1.01, f64::NAN] {
            let drive = air(13.0, 80.0).unwrap().drive(surface, WaterActivity::new(activity));
            assert_eq!(drive, Err(AirError::WaterActivity), "{activity}");
        }
    }

    #[test]
    fn saturated_air_is_at_its_dew_point() {
        for celsius in [0.0, 0.01, 0.02, 13.0, 60.0] {
            let air = air(celsius, 100.0).unwrap();
            assert!((air.dew_point().as_celsius() - celsius).abs() < 1e-9, "{celsius}");
            assert!(air.wets(Surface::new(air.temperature()).unwrap()));
        }
    }

    #[test]
    fn a_frozen_piece_has_no_drive_and_frosts() {
        let room = air(13.0, 80.0).unwrap();
        let frozen = Surface::new(Temperature::celsius(-18.0)).unwrap();
        assert_eq!(room.drive(frozen, WaterActivity::new(0.95)), Ok(None));
        assert!(room.wets(frozen));
    }
}
