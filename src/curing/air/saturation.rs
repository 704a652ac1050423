//! The pressure of water vapour in balance with water or ice: Hyland and Wexler's formulas (1983), as the ASHRAE
//! Handbook, Fundamentals 2017, chapter 1, equations 5 and 6 print them. Over water 0 °C to 200 °C, over ice −100 °C to
//! 0 °C. Coefficients as printed; checked against two independent libraries (tests/references/air_*.csv).

use crate::quantity::{Pressure, Temperature};

const KELVIN: f64 = 273.15;
/// Where water, ice and vapour are in balance, in °C: at and below it the balance is with ice.
const TRIPLE_POINT_CELSIUS: f64 = 0.01;
/// The lowest temperature of the formula over ice, in °C.
const COLDEST_CELSIUS: f64 = -100.0;
/// Warmer than any dew point that is asked for, in °C.
const WARMEST_CELSIUS: f64 = 60.0;

/// The saturation pressure over water, at and below 0.01 °C over ice.
pub fn saturation_pressure(temperature: Temperature) -> Pressure {
    Pressure::pascals(logarithm(temperature.as_celsius()).exp())
}

/// The natural logarithm of the saturation pressure in pascals.
fn logarithm(celsius: f64) -> f64 {
    let kelvin = celsius + KELVIN;
    if celsius <= TRIPLE_POINT_CELSIUS {
        return -5.674_535_9e3 / kelvin + 6.392_524_7 - 9.677_843e-3 * kelvin
            + 6.221_570_1e-7 * kelvin.powi(2)
            + 2.074_782_5e-9 * kelvin.powi(3)
            - 9.484_024e-13 * kelvin.powi(4)
            + 4.163_501_9 * kelvin.ln();
    }
    -5.800_220_6e3 / kelvin + 1.391_499_3 - 4.864_023_9e-2 * kelvin + 4.176_476_8e-5 * kelvin.powi(2)
        - 1.445_209_3e-8 * kelvin.powi(3)
        + 6.545_967_3 * kelvin.ln()
}

/// The temperature at which a vapour pressure saturates: the dew point, at and below 0.01 °C the frost point. Halved to
/// the last bit, because the two formulas meet with a step too small to see and too large for a tangent.
pub fn saturation_temperature(vapour: Pressure) -> Temperature {
    let wanted = vapour.as_pascals().ln();
    let (mut low, mut high) = (COLDEST_CELSIUS, WARMEST_CELSIUS);
    loop {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            return Temperature::celsius(middle);
        }
        if logarithm(middle) < wanted { low = middle } else { high = middle }
    }
}
