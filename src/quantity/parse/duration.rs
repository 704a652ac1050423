//! Lengths of time: `36 h`, `90 min`, `2 weeks`, `1 d 12 h`, `1h30`.

use crate::quantity::Hours;
use crate::quantity::exact::Exact;
use crate::quantity::parse::error::QuantityError;
use crate::quantity::parse::units::{Limits, TypedUnit, read};

/// Units of time. Canonical: hour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum TimeUnit {
    Minute,
    Hour,
    Day,
    Week,
}

impl TypedUnit for TimeUnit {
    const NAMES: &'static [(&'static str, Self)] = &[
        ("min", Self::Minute),
        ("mins", Self::Minute),
        ("minute", Self::Minute),
        ("minutes", Self::Minute),
        ("minuten", Self::Minute),
        ("h", Self::Hour),
        ("hr", Self::Hour),
        ("hrs", Self::Hour),
        ("hour", Self::Hour),
        ("hours", Self::Hour),
        ("std", Self::Hour),
        ("stunde", Self::Hour),
        ("stunden", Self::Hour),
        ("d", Self::Day),
        ("day", Self::Day),
        ("days", Self::Day),
        ("tag", Self::Day),
        ("tage", Self::Day),
        ("tagen", Self::Day),
        ("w", Self::Week),
        ("wk", Self::Week),
        ("wks", Self::Week),
        ("week", Self::Week),
        ("weeks", Self::Week),
        ("woche", Self::Week),
        ("wochen", Self::Week),
    ];
    const ACCEPTED: &'static str = "h, min, days or weeks";
    const LIMITS: Limits =
        Limits { hard: 0.0..=87_600.0, plausible: 0.01..=26_280.0, words: "0 h to 10 years" };
    const FRACTIONS: bool = true;
    const PARTS_RULE: &'static str =
        "parts are written like 1 d 12 h or 1 h 30 min, whole numbers first and the larger unit first";

    fn label(self) -> &'static str {
        match self {
            Self::Minute => "min",
            Self::Hour => "h",
            Self::Day => "d",
            Self::Week => "weeks",
        }
    }

    fn factor(self) -> Option<Exact> {
        match self {
            Self::Minute => Exact::whole(1).over(60),
            Self::Hour => Some(Exact::whole(1)),
            Self::Day => Some(Exact::whole(24)),
            Self::Week => Some(Exact::whole(168)),
        }
    }

    fn may_precede(self, next: Self) -> bool {
        next < self
    }

    fn implied_after(self, number: &str) -> Option<Self> {
        let two_digits = number.len() == 2 && number.bytes().all(|byte| byte.is_ascii_digit());
        (self == Self::Hour && two_digits).then_some(Self::Minute)
    }
}

/// A length of time from 0 to 10 years; the unit is required. `1h30` is an hour and a half.
///
/// # Errors
/// Every [`QuantityError`] but those of percentages and gallons.
pub fn duration(text: &str) -> Result<Hours, QuantityError> {
    read::<TimeUnit>(text, None).map(Hours::new)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_and_parts() {
        for (text, hours) in [
            ("36 h", 36.0),
            ("36h", 36.0),
            ("36 Hours", 36.0),
            ("3 d", 72.0),
            ("3 days", 72.0),
            ("2 weeks", 336.0),
            ("90 min", 1.5),
            ("20 min", 1.0 / 3.0),
            ("1 d 12 h", 36.0),
            ("1d12h", 36.0),
            ("1h30", 1.5),
            ("1 h 30 min", 1.5),
            ("36 h 45", 36.75),
            ("1 week 2 days 3 h 30 min", 219.5),
            ("1 1/2 d", 36.0),
            ("2½ h", 2.5),
            ("2,5 d", 60.0),
            ("0 h", 0.0),
        ] {
            assert_eq!(duration(text), Ok(Hours::new(hours)), "{text}");
        }
    }

    #[test]
    fn refusals() {
        for text in ["1h3", "1h60", "1h300", "1 d 24 h", "12 h 1 d", "1.5 d 12 h", "1 d 30", "30 h 1.5 h"] {
            assert!(
                matches!(duration(text), Err(QuantityError::PartsUnclear { .. })),
                "{text}: {:?}",
                duration(text)
            );
        }
        assert_eq!(duration("36").unwrap_err().to_string(), "\"36\" needs a unit: h, min, days or weeks");
        assert_eq!(
            duration("3 months").unwrap_err().to_string(),
            "\"months\" is not a unit I know here; I read h, min, days or weeks"
        );
        assert!(matches!(duration("11 d 600000 h"), Err(QuantityError::PartsUnclear { .. })));
        assert!(matches!(duration("600 weeks"), Err(QuantityError::OutOfRange { .. })));
        assert!(matches!(duration("-1 h"), Err(QuantityError::OutOfRange { .. })));
    }
}
