//! Saturation pressure of water vapour over liquid water and over ice, and back to the temperature.
//!
//! Hyland, R. W. and Wexler, A. (1983), ASHRAE Transactions 89(2A), 500-519, as printed in the ASHRAE Handbook of
//! Fundamentals, chapter "Psychrometrics": over ice from -100 to 0 °C, over water from 0 to 200 °C. The coefficients
//! are held second-hand and were held against an independent library (`tests/references/moist_air.csv`).

use crate::quantity::{Pressure, Temperature};

/// Where ice, water and vapour meet, in °C. At and below it saturation is over ice.
const TRIPLE_POINT_CELSIUS: f64 = 0.01;
/// Coldest temperature of the formula over ice, in °C.
const COLDEST_CELSIUS: f64 = -100.0;
/// Warmest temperature of the formula over water, in °C.
const WARMEST_CELSIUS: f64 = 200.0;
/// Kelvin at 0 °C, exact.
const ZERO_CELSIUS_KELVIN: f64 = 273.15;

/// ln p over ice, p in pascals: c1/K + c2 + c3 K + c4 K² + c5 K³ + c6 K⁴ + c7 ln K.
const ICE: [f64; 7] = [
    -5.674_535_9e3,
    6.392_524_7,
    -9.677_843_0e-3,
    6.221_570_1e-7,
    2.074_782_5e-9,
    -9.484_024_0e-13,
    4.163_501_9,
];
/// ln p over water, p in pascals, with the same terms.
const WATER: [f64; 7] =
    [-5.800_220_6e3, 1.391_499_3, -4.864_023_9e-2, 4.176_476_8e-5, -1.445_209_3e-8, 0.0, 6.545_967_3];

/// Steps of halving the whole range until the ends are one float.
const MOST_HALVINGS: u32 = 100;

/// The pressure at which air is saturated: over ice at and below 0.01 °C, over water above. `None` outside -100 to
/// 200 °C, where the formula does not speak.
pub fn pressure(temperature: Temperature) -> Option<Pressure> {
    let celsius = temperature.as_celsius();
    (COLDEST_CELSIUS..=WARMEST_CELSIUS).contains(&celsius).then(|| Pressure::pascals(at(celsius)))
}

/// The temperature at which air with this pressure of vapour is saturated: the dew point, or below 0.01 °C the frost
/// point. `None` for a pressure that no temperature of the formula has.
pub fn temperature(pressure: Pressure) -> Option<Temperature> {
    let wanted = pressure.as_pascals();
    if !(at(COLDEST_CELSIUS)..=at(WARMEST_CELSIUS)).contains(&wanted) {
        return None;
    }
    // Saturation pressure only ever rises with temperature, so halving closes in on the one that has it.
    let (mut cold, mut warm) = (COLDEST_CELSIUS, WARMEST_CELSIUS);
    for _ in 0..MOST_HALVINGS {
        let middle = f64::midpoint(cold, warm);
        if at(middle) < wanted {
            cold = middle;
        } else {
            warm = middle;
        }
    }
    Some(Temperature::celsius(warm))
}

fn at(celsius: f64) -> f64 {
    let [c1, c2, c3, c4, c5, c6, c7] = if celsius <= TRIPLE_POINT_CELSIUS { ICE } else { WATER };
    let kelvin = celsius + ZERO_CELSIUS_KELVIN;
    let polynomial = c2 + kelvin * (c3 + kelvin * (c4 + kelvin * (c5 + kelvin * c6)));
    (c1 / kelvin + polynomial + c7 * kelvin.ln()).exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_formula_does_not_speak_outside_its_range() {
        for celsius in [-100.1, 200.1, f64::NAN, f64::INFINITY] {
            assert_eq!(pressure(Temperature::celsius(celsius)), None, "{celsius}");
        }
        assert!(pressure(Temperature::celsius(-100.0)).is_some());
        assert!(pressure(Temperature::celsius(200.0)).is_some());
        for pascals in [0.0, -1.0, 2e6, f64::NAN] {
            assert_eq!(temperature(Pressure::pascals(pascals)), None, "{pascals}");
        }
    }

    #[test]
    fn saturation_rises_over_the_change_from_ice_to_water() {
        let ice = pressure(Temperature::celsius(0.01)).unwrap().as_pascals();
        let water = pressure(Temperature::celsius(0.010_1)).unwrap().as_pascals();
        assert!(ice < water, "{ice} {water}");
    }
}
