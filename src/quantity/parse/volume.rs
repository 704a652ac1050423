//! Volumes: `500 ml`, `4 l`, `1 US gal`, `1 imperial gal`. A bare gallon is refused: the two differ by a fifth.

use crate::quantity::exact::Exact;
use crate::quantity::parse::error::{QuantityError, echo};
use crate::quantity::parse::units::{Limits, TypedUnit, named, read};
use crate::quantity::{Volume, VolumeUnit};

/// Names that do not say which gallon.
const BARE_GALLONS: &[(&str, ())] = &[("gal", ()), ("gals", ()), ("gallon", ()), ("gallons", ())];

impl TypedUnit for VolumeUnit {
    const NAMES: &'static [(&'static str, Self)] = &[
        ("ml", Self::Millilitre),
        ("millilitre", Self::Millilitre),
        ("millilitres", Self::Millilitre),
        ("milliliter", Self::Millilitre),
        ("milliliters", Self::Millilitre),
        ("l", Self::Litre),
        ("litre", Self::Litre),
        ("litres", Self::Litre),
        ("liter", Self::Litre),
        ("liters", Self::Litre),
        ("us gal", Self::UsGallon),
        ("us gallon", Self::UsGallon),
        ("us gallons", Self::UsGallon),
        ("u.s. gal", Self::UsGallon),
        ("u.s. gallon", Self::UsGallon),
        ("u.s. gallons", Self::UsGallon),
        ("imp gal", Self::ImperialGallon),
        ("imp. gal", Self::ImperialGallon),
        ("imperial gal", Self::ImperialGallon),
        ("imperial gallon", Self::ImperialGallon),
        ("imperial gallons", Self::ImperialGallon),
        ("uk gal", Self::ImperialGallon),
        ("uk gallon", Self::ImperialGallon),
        ("uk gallons", Self::ImperialGallon),
    ];
    const ACCEPTED: &'static str = "ml, l, US gal or imperial gal";
    const LIMITS: Limits =
        Limits { hard: 0.0..=10_000.0, plausible: 0.0001..=200.0, words: "0 l to 10000 l" };
    const FRACTIONS: bool = true;

    fn label(self) -> &'static str {
        self.symbol()
    }

    fn factor(self) -> Option<Exact> {
        Exact::from_float(self.in_litres())
    }

    fn unknown(unit: &str, text: &str) -> QuantityError {
        if named(BARE_GALLONS, unit).is_some() {
            return QuantityError::GallonAmbiguous { text: echo(text) };
        }
        QuantityError::UnitUnknown { unit: echo(unit), accepted: Self::ACCEPTED }
    }
}

/// A volume from 0 to 10,000 l; the unit is required.
///
/// # Errors
/// Every [`QuantityError`] but those of percentages; [`QuantityError::GallonAmbiguous`] for a bare gallon.
pub fn volume(text: &str) -> Result<Volume, QuantityError> {
    read::<VolumeUnit>(text, None).map(Volume::litres)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units() {
        for (text, litres) in [
            ("500 ml", 0.5),
            ("350 mL", 0.35),
            ("4 l", 4.0),
            ("4 Litres", 4.0),
            ("1,5 liter", 1.5),
            ("1 US gal", 3.785_411_784),
            ("1 us gallon", 3.785_411_784),
            ("1/2 US gal", 1.892_705_892),
            ("2 imp gal", 9.092_18),
            ("2 imperial gallons", 9.092_18),
            ("1.500 l", 1.5),
        ] {
            assert_eq!(volume(text), Ok(Volume::litres(litres)), "{text}");
        }
    }

    #[test]
    fn a_bare_gallon_is_neither() {
        for text in ["1 gal", "1 gallon", "2 Gallons", "1.5gal."] {
            assert_eq!(volume(text), Err(QuantityError::GallonAmbiguous { text: text.into() }));
        }
        assert_eq!(
            volume("1 gal").unwrap_err().to_string(),
            "\"1 gal\" names one of two gallons; say US gal (3.785 l) or imperial gal (4.546 l)"
        );
        assert!(matches!(volume("1"), Err(QuantityError::UnitMissing { .. })));
        assert!(matches!(volume("1 pint"), Err(QuantityError::UnitUnknown { .. })));
    }
}
