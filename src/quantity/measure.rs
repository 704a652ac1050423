//! Mass, length, volume, fraction, pH, humidity, water activity, hours, pressure, voltage: plain newtypes over one
//! canonical unit.

use serde::{Deserialize, Serialize};
use std::ops::{Add, Sub};

/// Grams in a pound avoirdupois, exact (international yard and pound agreement, 1959).
const GRAMS_PER_POUND: f64 = 453.592_37;
/// Grams in an ounce avoirdupois, exact: a sixteenth of the pound.
const GRAMS_PER_OUNCE: f64 = 28.349_523_125;
/// Litres in a US liquid gallon, exact: 231 cubic inches.
const LITRES_PER_US_GALLON: f64 = 3.785_411_784;
/// Litres in an imperial gallon, exact (UK Weights and Measures Act 1985).
const LITRES_PER_IMPERIAL_GALLON: f64 = 4.546_09;
/// Millimetres in an inch, exact.
const MILLIMETRES_PER_INCH: f64 = 25.4;

/// A newtype over f64 in one canonical unit: maker, reader, total order on finite values.
macro_rules! newtype {
    ($(#[$doc:meta])* $name:ident, $make:ident, $read:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(f64);

        impl $name {
            #[doc = concat!("Made from a number of ", $unit, ".")]
            pub const fn $make(value: f64) -> Self {
                Self(value)
            }

            #[doc = concat!("As a number of ", $unit, ".")]
            pub const fn $read(self) -> f64 {
                self.0
            }
        }
    };
}

newtype! {
    /// A mass. Canonical unit: gram.
    Mass, grams, as_grams, "grams"
}
newtype! {
    /// A length. Canonical unit: millimetre.
    Length, millimetres, as_millimetres, "millimetres"
}
newtype! {
    /// A volume. Canonical unit: litre.
    Volume, litres, as_litres, "litres"
}
newtype! {
    /// A part of a whole: 6.25 % is 0.0625. Typed text needs its percent sign.
    Fraction, of_one, as_one, "parts of one"
}
newtype! {
    /// A pH reading, 0 to 14.
    Ph, new, value, "pH units"
}
newtype! {
    /// Relative humidity, 0 to 100 %. Canonical unit: percent.
    RelativeHumidity, percent, as_percent, "percent"
}
newtype! {
    /// Water activity, 0 to 1.
    WaterActivity, new, value, "water activity"
}
newtype! {
    /// A pressure of air or of water vapour. Canonical unit: pascal.
    Pressure, pascals, as_pascals, "pascals"
}
newtype! {
    /// A length of time in hours (decimal).
    Hours, new, value, "hours"
}
newtype! {
    /// What an electrode gives, of either sign. Canonical unit: millivolt.
    Voltage, millivolts, as_millivolts, "millivolts"
}

impl Fraction {
    /// Made from a percentage: `percent(6.25)` is 0.0625.
    pub const fn percent(percent: f64) -> Self {
        Self(percent / 100.0)
    }

    /// As a percentage: the shorter number where two give this fraction (0.07 is 7 %, not 7.000000000000001 %).
    pub const fn as_percent(self) -> f64 {
        let percent = self.0 * 100.0;
        let short = (percent * 1e10).round() / 1e10;
        // Bits, because two floats are asked to be the same one, not close.
        if (short / 100.0).to_bits() == self.0.to_bits() { short } else { percent }
    }
}

/// Units a mass may be typed or shown in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum MassUnit {
    /// Gram.
    Gram,
    /// Kilogram.
    Kilogram,
    /// Ounce avoirdupois.
    Ounce,
    /// Pound avoirdupois.
    Pound,
}

impl MassUnit {
    /// Grams in one of this unit, exact.
    pub const fn in_grams(self) -> f64 {
        match self {
            Self::Gram => 1.0,
            Self::Kilogram => 1000.0,
            Self::Ounce => GRAMS_PER_OUNCE,
            Self::Pound => GRAMS_PER_POUND,
        }
    }

    /// The unit as printed.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Gram => "g",
            Self::Kilogram => "kg",
            Self::Ounce => "oz",
            Self::Pound => "lb",
        }
    }
}

impl Mass {
    /// Made from an amount of a unit.
    pub const fn of(amount: f64, unit: MassUnit) -> Self {
        Self(amount * unit.in_grams())
    }

    /// The amount in a unit.
    pub const fn in_unit(self, unit: MassUnit) -> f64 {
        self.0 / unit.in_grams()
    }
}

impl Add for Mass {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Mass {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl std::iter::Sum for Mass {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self(0.0), Add::add)
    }
}

/// Units a length may be typed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthUnit {
    /// Millimetre.
    Millimetre,
    /// Centimetre.
    Centimetre,
    /// Inch.
    Inch,
}

impl LengthUnit {
    /// Millimetres in one of this unit, exact.
    pub const fn in_millimetres(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Centimetre => 10.0,
            Self::Inch => MILLIMETRES_PER_INCH,
        }
    }

    /// The unit as printed.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Inch => "in",
        }
    }
}

impl Length {
    /// Made from an amount of a unit.
    pub const fn of(amount: f64, unit: LengthUnit) -> Self {
        Self(amount * unit.in_millimetres())
    }

    /// The amount in a unit.
    pub const fn in_unit(self, unit: LengthUnit) -> f64 {
        self.0 / unit.in_millimetres()
    }

    /// As a number of inches.
    pub const fn as_inches(self) -> f64 {
        self.0 / MILLIMETRES_PER_INCH
    }
}

/// Units a volume may be typed in. A bare "gal" is none of them: the two gallons differ by a fifth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VolumeUnit {
    /// Millilitre.
    Millilitre,
    /// Litre.
    Litre,
    /// US liquid gallon.
    UsGallon,
    /// Imperial gallon.
    ImperialGallon,
}

impl VolumeUnit {
    /// Litres in one of this unit, exact.
    pub const fn in_litres(self) -> f64 {
        match self {
            Self::Millilitre => 0.001,
            Self::Litre => 1.0,
            Self::UsGallon => LITRES_PER_US_GALLON,
            Self::ImperialGallon => LITRES_PER_IMPERIAL_GALLON,
        }
    }

    /// The unit as printed; a gallon always says which.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Millilitre => "ml",
            Self::Litre => "l",
            Self::UsGallon => "US gal",
            Self::ImperialGallon => "imperial gal",
        }
    }
}

impl Volume {
    /// Made from an amount of a unit.
    pub const fn of(amount: f64, unit: VolumeUnit) -> Self {
        Self(amount * unit.in_litres())
    }

    /// The amount in a unit.
    pub const fn in_unit(self, unit: VolumeUnit) -> f64 {
        self.0 / unit.in_litres()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_percentage_is_the_shorter_of_two_numbers() {
        for tenths in 0..=1000 {
            let percent = f64::from(tenths) / 10.0;
            let shown = Fraction::percent(percent).as_percent();
            assert_eq!(shown.to_bits(), percent.to_bits(), "{percent} became {shown}");
        }
        let long = Fraction::of_one(1.0 / 3.0);
        approx::assert_relative_eq!(long.as_percent(), 100.0 / 3.0, max_relative = 1e-15);
    }

    #[test]
    fn masses_add_up() {
        let pieces = [Mass::grams(812.0), Mass::grams(798.5)];
        assert_eq!(pieces.into_iter().sum::<Mass>(), Mass::grams(1610.5));
        assert_eq!(Mass::grams(812.0) - Mass::grams(30.0), Mass::grams(782.0));
    }

    #[test]
    fn a_quantity_is_kept_as_its_bare_canonical_number() {
        assert_eq!(serde_json::to_string(&Mass::grams(812.5)).unwrap(), "812.5");
        assert_eq!(serde_json::from_str::<Fraction>("0.0625").unwrap(), Fraction::percent(6.25));
    }
}
