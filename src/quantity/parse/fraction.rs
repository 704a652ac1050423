//! Parts of a whole: percentages and relative humidity, whose sign is required, and water activity.

use crate::quantity::exact::Exact;
use crate::quantity::parse::error::{QuantityError, echo};
use crate::quantity::parse::units::{Limits, TypedUnit, read};
use crate::quantity::{Fraction, RelativeHumidity, WaterActivity};

/// The percent sign. Canonical: part of one.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Percent;

impl TypedUnit for Percent {
    const NAMES: &'static [(&'static str, Self)] = &[("%", Self), ("percent", Self), ("per cent", Self)];
    const ACCEPTED: &'static str = "%";
    const LIMITS: Limits = Limits { hard: 0.0..=1.0, plausible: 0.0..=1.0, words: "0 % to 100 %" };

    fn label(self) -> &'static str {
        "%"
    }

    fn factor(self) -> Option<Exact> {
        Exact::whole(1).over(100)
    }

    fn missing(text: &str) -> QuantityError {
        QuantityError::PercentSignNeeded { text: echo(text) }
    }
}

/// The percent sign of a hygrometer. Canonical: percent.
#[derive(Debug, Clone, Copy, PartialEq)]
struct PercentHumidity;

impl TypedUnit for PercentHumidity {
    const NAMES: &'static [(&'static str, Self)] =
        &[("%", Self), ("percent", Self), ("per cent", Self), ("%rh", Self), ("% rh", Self)];
    const ACCEPTED: &'static str = "%";
    const LIMITS: Limits = Limits { hard: 0.0..=100.0, plausible: 0.0..=100.0, words: "0 % to 100 %" };

    fn label(self) -> &'static str {
        "%"
    }

    fn factor(self) -> Option<Exact> {
        Some(Exact::whole(1))
    }

    fn missing(text: &str) -> QuantityError {
        QuantityError::PercentSignNeeded { text: echo(text) }
    }
}

/// Water activity has no unit.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Activity;

impl TypedUnit for Activity {
    const NAMES: &'static [(&'static str, Self)] = &[];
    const ACCEPTED: &'static str = "a bare number from 0 to 1";
    const LIMITS: Limits = Limits { hard: 0.0..=1.0, plausible: 0.0..=1.0, words: "0 to 1" };

    fn label(self) -> &'static str {
        ""
    }

    fn factor(self) -> Option<Exact> {
        Some(Exact::whole(1))
    }
}

/// A percentage from 0 to 100 %; the sign (or the word) is required.
///
/// # Errors
/// [`QuantityError::PercentSignNeeded`] and those of every number.
pub fn percent(text: &str) -> Result<Fraction, QuantityError> {
    read::<Percent>(text, None).map(Fraction::of_one)
}

/// A relative humidity from 0 to 100 %; the sign (or the word) is required.
///
/// # Errors
/// As [`percent`].
pub fn relative_humidity(text: &str) -> Result<RelativeHumidity, QuantityError> {
    read::<PercentHumidity>(text, None).map(RelativeHumidity::percent)
}

/// A water activity from 0 to 1, without unit.
///
/// # Errors
/// Those of every number.
pub fn water_activity(text: &str) -> Result<WaterActivity, QuantityError> {
    read(text, Some(Activity)).map(WaterActivity::new)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percentages_need_their_sign() {
        for (text, of_one) in [
            ("6.25 %", 0.0625),
            ("6,25%", 0.0625),
            ("6.25 percent", 0.0625),
            ("38 per cent", 0.38),
            ("0.6%", 0.006),
            ("0 %", 0.0),
            ("100 %", 1.0),
            ("6.250 %", 0.0625),
            ("7.1 %", 0.071),
        ] {
            assert_eq!(percent(text), Ok(Fraction::of_one(of_one)), "{text}");
        }
        assert_eq!(percent("6.25").unwrap_err().to_string(), "\"6.25\" needs its percent sign: 6.25 %");
        for (text, sentence) in [
            ("101 %", "\"101 %\" is out of range: 0 % to 100 %"),
            ("-1 %", "\"-1 %\" is out of range: 0 % to 100 %"),
            ("6 g", "\"g\" is not a unit I know here; I read %"),
            ("1/2 %", "\"1/2 %\" is not a number"),
        ] {
            assert_eq!(percent(text).unwrap_err().to_string(), sentence);
        }
    }

    #[test]
    fn humidity() {
        for text in ["80 %", "80%", "80 % rh", "80 %RH", "80 percent"] {
            assert_eq!(relative_humidity(text), Ok(RelativeHumidity::percent(80.0)));
        }
        assert!(matches!(relative_humidity("80"), Err(QuantityError::PercentSignNeeded { .. })));
        assert!(relative_humidity("101 %").is_err());
    }

    #[test]
    fn activity() {
        for text in ["0.91", "0,91", "0.910", ".91"] {
            assert_eq!(water_activity(text), Ok(WaterActivity::new(0.91)));
        }
        assert_eq!(water_activity("1.2").unwrap_err().to_string(), "\"1.2\" is out of range: 0 to 1");
        assert_eq!(
            water_activity("91 %").unwrap_err().to_string(),
            "\"%\" is not a unit I know here; I read a bare number from 0 to 1"
        );
    }
}
