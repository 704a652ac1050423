//! Air pressures: `1013 hPa`, `950 mbar`, `95 kPa`, `29.9 inHg`.

use crate::quantity::Pressure;
use crate::quantity::exact::Exact;
use crate::quantity::parse::error::QuantityError;
use crate::quantity::parse::units::{Limits, TypedUnit, read};

/// Units an air pressure may be typed in. Canonical: pascal.
#[derive(Debug, Clone, Copy, PartialEq)]
enum PressureUnit {
    Pascal,
    Hectopascal,
    Millibar,
    Kilopascal,
    InchOfMercury,
}

impl TypedUnit for PressureUnit {
    const NAMES: &'static [(&'static str, Self)] = &[
        ("pa", Self::Pascal),
        ("hpa", Self::Hectopascal),
        ("mbar", Self::Millibar),
        ("mb", Self::Millibar),
        ("kpa", Self::Kilopascal),
        ("inhg", Self::InchOfMercury),
        ("in hg", Self::InchOfMercury),
    ];
    const ACCEPTED: &'static str = "hPa, mbar, kPa or inHg";
    /// From above the highest village to below the lowest valley.
    const LIMITS: Limits =
        Limits { hard: 40_000.0..=110_000.0, plausible: 40_000.0..=110_000.0, words: "400 hPa to 1100 hPa" };

    fn label(self) -> &'static str {
        match self {
            Self::Pascal => "Pa",
            Self::Hectopascal => "hPa",
            Self::Millibar => "mbar",
            Self::Kilopascal => "kPa",
            Self::InchOfMercury => "inHg",
        }
    }

    fn factor(self) -> Option<Exact> {
        match self {
            Self::Pascal => Some(Exact::whole(1)),
            Self::Hectopascal | Self::Millibar => Some(Exact::whole(100)),
            Self::Kilopascal => Some(Exact::whole(1000)),
            // The conventional inch of mercury (ISO 80000-4 gives the conventional millimetre as 133.322 Pa).
            Self::InchOfMercury => Exact::whole(3_386_389).over(1000),
        }
    }
}

/// An air pressure from 400 to 1100 hPa; the unit is required.
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
    fn the_units_agree() {
        for text in ["1013.25 hPa", "1013,25 mbar", "101.325 kPa", "101325 Pa"] {
            approx::assert_relative_eq!(
                pressure(text).unwrap().as_pascals(),
                101_325.0,
                max_relative = 1e-12
            );
        }
        approx::assert_relative_eq!(
            pressure("29.92 inHg").unwrap().as_pascals(),
            101_320.8,
            max_relative = 1e-6
        );
    }

    #[test]
    fn what_is_no_air_pressure_is_refused() {
        for text in ["1013", "1 bar", "-900 hPa", "9000 hPa", "NaN hPa"] {
            assert!(pressure(text).is_err(), "{text}");
        }
    }
}
