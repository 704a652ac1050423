//! mg/kg and pH: plain numbers whose unit may be left out.

use crate::quantity::Ph;
use crate::quantity::exact::Exact;
use crate::quantity::parse::error::QuantityError;
use crate::quantity::parse::units::{Limits, TypedUnit, read};

/// Milligrams in a kilogram; ppm by weight is the same figure.
#[derive(Debug, Clone, Copy, PartialEq)]
struct MilligramsPerKilogram;

impl TypedUnit for MilligramsPerKilogram {
    const NAMES: &'static [(&'static str, Self)] =
        &[("mg/kg", Self), ("mg / kg", Self), ("mg per kg", Self), ("ppm", Self)];
    const ACCEPTED: &'static str = "mg/kg or ppm";
    const LIMITS: Limits =
        Limits { hard: 0.0..=1_000_000.0, plausible: 0.01..=10_000.0, words: "0 to 1000000 mg/kg" };

    fn label(self) -> &'static str {
        "mg/kg"
    }

    fn factor(self) -> Option<Exact> {
        Some(Exact::whole(1))
    }
}

/// The pH scale has no unit.
#[derive(Debug, Clone, Copy, PartialEq)]
struct PhScale;

impl TypedUnit for PhScale {
    const NAMES: &'static [(&'static str, Self)] = &[];
    const ACCEPTED: &'static str = "a bare number from 0 to 14";
    const LIMITS: Limits = Limits { hard: 0.0..=14.0, plausible: 0.0..=14.0, words: "0 to 14" };

    fn label(self) -> &'static str {
        ""
    }

    fn factor(self) -> Option<Exact> {
        Some(Exact::whole(1))
    }
}

/// A concentration in mg/kg, 0 to 1,000,000; `156`, `156 mg/kg` and `156 ppm` are the same.
///
/// The number alone: what it counts and on which weight is for [`crate::quantity::Concentration`].
///
/// # Errors
/// Those of every number.
pub fn mg_per_kg(text: &str) -> Result<f64, QuantityError> {
    read(text, Some(MilligramsPerKilogram))
}

/// A pH from 0 to 14, without unit.
///
/// # Errors
/// Those of every number.
pub fn ph(text: &str) -> Result<Ph, QuantityError> {
    read(text, Some(PhScale)).map(Ph::new)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn milligrams_per_kilogram() {
        for text in ["156.25", "156,25", "156.25 mg/kg", "156.250 ppm", "156.25mg per kg"] {
            assert_eq!(mg_per_kg(text), Ok(156.25), "{text}");
        }
        assert_eq!(
            mg_per_kg("1.250").unwrap_err().to_string(),
            "\"1.250\" can be read as 1.25 mg/kg or as 1250 mg/kg"
        );
        assert!(mg_per_kg("156 mg").is_err());
        assert!(mg_per_kg("1000001").is_err());
        assert!(mg_per_kg("max").is_err());
    }

    #[test]
    fn acidity() {
        for text in ["5.09", "5,09"] {
            assert_eq!(ph(text), Ok(Ph::new(5.09)));
        }
        assert_eq!(ph("5.125"), Ok(Ph::new(5.125)));
        assert_eq!(ph("51").unwrap_err().to_string(), "\"51\" is out of range: 0 to 14");
        assert_eq!(ph("-1").unwrap_err().to_string(), "\"-1\" is out of range: 0 to 14");
    }
}
