//! What a glass electrode gives: mV falling with pH, by Nernst's equation.

use crate::quantity::{Ph, Temperature, Voltage};

/// Molar gas constant in J/(mol K): exact since 2019 (SI).
const GAS_CONSTANT: f64 = 8.314_462_618;
/// Faraday constant in C/mol: exact since 2019 (SI).
const FARADAY: f64 = 96_485.332_12;
/// Kelvin at 0 °C, exact.
const ZERO_CELSIUS_KELVIN: f64 = 273.15;
/// The pH at which a glass electrode is meant to give 0 mV.
const ZERO_POINT_PH: f64 = 7.0;

/// mV a pH unit that an ideal electrode gives at a temperature: ln 10 · R · T / F.
pub fn nernst_millivolts(temperature: Temperature) -> f64 {
    let kelvin = temperature.as_celsius() + ZERO_CELSIUS_KELVIN;
    std::f64::consts::LN_10 * GAS_CONSTANT * kelvin / FARADAY * 1000.0
}

/// The straight line through two buffers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Electrode {
    /// mV a pH unit; positive for a working electrode, whose mV fall with pH.
    pub millivolts_per_ph: f64,
    /// The same in percent of the ideal.
    pub slope_percent: f64,
    /// mV at pH 7.
    pub offset: Voltage,
}

impl Electrode {
    /// From what it gave in two buffers of different pH.
    pub fn of(one: (Ph, Voltage), other: (Ph, Voltage), temperature: Temperature) -> Self {
        let (one_ph, one_mv) = (one.0.value(), one.1.as_millivolts());
        let (other_ph, other_mv) = (other.0.value(), other.1.as_millivolts());
        let millivolts_per_ph = (other_mv - one_mv) / (one_ph - other_ph);
        Self {
            millivolts_per_ph,
            slope_percent: 100.0 * millivolts_per_ph / nernst_millivolts(temperature),
            offset: Voltage::millivolts(one_mv + millivolts_per_ph * (one_ph - ZERO_POINT_PH)),
        }
    }

    /// What it gives at a pH.
    pub fn at(self, ph: Ph) -> Voltage {
        Voltage::millivolts(
            self.offset.as_millivolts() - self.millivolts_per_ph * (ph.value() - ZERO_POINT_PH),
        )
    }
}
