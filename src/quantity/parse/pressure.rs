//! Air pressures: `1013 hPa`, `101.3 kPa`, `29.92 inHg`.

use crate::quantity::exact::Exact;
use crate::quantity::parse::error::QuantityError;
use crate::quantity::parse::units::{Limits, TypedUnit, read};
use crate::quantity::{Pressure, PressureUnit};

impl TypedUnit for PressureUnit {
    const NAMES: &'static [(&'static str, Self)] = &[
        ("hpa", Self::Hectopascal),
        ("mbar", Self::Hectopascal),
        ("mb", Self::Hectopascal),
        ("millibar", Self::Hectopascal),
        ("kpa", Self::Kilopascal),
        ("pa", Self::Pascal),
        ("inhg", Self::InchOfMercury),
        ("in hg", Self::InchOfMercury),
        ("mmhg", Self::MillimetreOfMercury),
        ("mm hg", Self::MillimetreOfMercury),
    ];
    const ACCEPTED: &'static str = "hPa, mbar, kPa, Pa, inHg or mmHg";
    const LIMITS: Limits = Limits {
        // From above the highest town to the deepest mine.
        hard: 50_000.0..=120_000.0,
        plausible: 50_000.0..=120_000.0,
        words: "500 hPa to 1200 hPa",
    };

    fn label(self) -> &'static str {
        self.symbol()
    }

    fn factor(self) -> Option<Exact> {
        Exact::from_float(self.in_pascals())
    }
}

/// A pressure of air, 500 to 1200 hPa; the unit is required.
///
/// # Errors
/// Every [`QuantityError`] but those of percentages and gallons.
pub fn pressure(text: &str) -> Result<Pressure, QuantityError> {
    read::<PressureUnit>(text, None).map(Pressure::pascals)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units() {
        for (text, pascals) in [
            ("1013.25 hPa", 101_325.0),
            ("1013,25 mbar", 101_325.0),
            ("1.013 hPa", 101_300.0),
            ("101.325 kPa", 101_325.0),
            ("101325 Pa", 101_325.0),
            ("760 mmHg", 101_325.024),
            ("30 inHg", 101_591.67),
        ] {
            assert_eq!(pressure(text), Ok(Pressure::pascals(pascals)), "{text}");
        }
    }

    #[test]
    fn refusals() {
        for (text, sentence) in [
            ("1013", "\"1013\" needs a unit: hPa, mbar, kPa, Pa, inHg or mmHg"),
            ("10 hPa", "\"10 hPa\" is out of range: 500 hPa to 1200 hPa"),
            ("1 atm", "\"atm\" is not a unit I know here; I read hPa, mbar, kPa, Pa, inHg or mmHg"),
        ] {
            assert_eq!(pressure(text).unwrap_err().to_string(), sentence);
        }
    }
}
