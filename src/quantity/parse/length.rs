//! Lengths: casing diameters and thicknesses, `50 mm`, `5 cm`, `2 1/2 in`, `2"`.

use crate::quantity::exact::Exact;
use crate::quantity::parse::error::QuantityError;
use crate::quantity::parse::units::{Limits, TypedUnit, read};
use crate::quantity::{Length, LengthUnit};

impl TypedUnit for LengthUnit {
    const NAMES: &'static [(&'static str, Self)] = &[
        ("mm", Self::Millimetre),
        ("millimetre", Self::Millimetre),
        ("millimetres", Self::Millimetre),
        ("millimeter", Self::Millimetre),
        ("millimeters", Self::Millimetre),
        ("cm", Self::Centimetre),
        ("centimetre", Self::Centimetre),
        ("centimetres", Self::Centimetre),
        ("centimeter", Self::Centimetre),
        ("centimeters", Self::Centimetre),
        ("in", Self::Inch),
        ("inch", Self::Inch),
        ("inches", Self::Inch),
        ("\"", Self::Inch),
        ("”", Self::Inch),
        ("″", Self::Inch),
    ];
    const ACCEPTED: &'static str = "mm, cm or in";
    const LIMITS: Limits = Limits {
        hard: 0.0..=10_000.0,
        // From a casing's wall to the longest stick.
        plausible: 0.1..=1000.0,
        words: "0 mm to 10000 mm",
    };
    const FRACTIONS: bool = true;

    fn label(self) -> &'static str {
        self.symbol()
    }

    fn factor(self) -> Option<Exact> {
        Exact::from_float(self.in_millimetres())
    }
}

/// A length from 0 to 10 m; the unit is required.
///
/// # Errors
/// Every [`QuantityError`] but those of percentages and gallons.
pub fn length(text: &str) -> Result<Length, QuantityError> {
    read::<LengthUnit>(text, None).map(Length::millimetres)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_and_fractions() {
        for (text, millimetres) in [
            ("50 mm", 50.0),
            ("50MM", 50.0),
            ("5 cm", 50.0),
            ("4,3 cm", 43.0),
            ("2 in", 50.8),
            ("2 inches", 50.8),
            ("2\"", 50.8),
            ("2 1/2 in", 63.5),
            ("2½\"", 63.5),
            ("5/8 in", 15.875),
            ("1.750 in", 44.45),
        ] {
            assert_eq!(length(text), Ok(Length::millimetres(millimetres)), "{text}");
        }
    }

    #[test]
    fn refusals() {
        for (text, sentence) in [
            ("50", "\"50\" needs a unit: mm, cm or in"),
            ("2 ft", "\"ft\" is not a unit I know here; I read mm, cm or in"),
            ("-2 in", "\"-2 in\" is out of range: 0 mm to 10000 mm"),
            ("11 m", "\"m\" is not a unit I know here; I read mm, cm or in"),
            ("1001 cm", "\"1001 cm\" is out of range: 0 mm to 10000 mm"),
            ("1 in 2 mm", "\"1 in 2 mm\" is not one clear amount; write one number and one unit"),
            ("1.000 mm", "\"1.000 mm\" can be read as 1 mm or as 1000 mm"),
        ] {
            assert_eq!(length(text).unwrap_err().to_string(), sentence);
        }
    }
}
