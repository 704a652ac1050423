//! Lengths of time for reading.

use crate::quantity::Hours;
use crate::quantity::format::number::{number, without_noise};
use crate::quantity::format::step::floor_to_step;

/// From this many hours on, days are easier to read.
const DAYS_FROM_HOURS: u64 = 48;

/// A length of time: under two days in hours and minutes (`36 h`, `1 h 30 min`, `45 min`), from then on in days
/// and hours (`2 d 4 h`). Rounded half up to the minute or the hour: not for what is left of a budget.
pub fn hours(length: Hours) -> String {
    let size = without_noise(length.value().abs());
    if !size.is_finite() {
        return "not a number h".to_owned();
    }
    let minutes = rounded(size * 60.0);
    let text = if minutes < DAYS_FROM_HOURS * 60 {
        two_parts((minutes / 60, "h"), (minutes % 60, "min"))
    } else {
        let whole = rounded(size);
        two_parts((whole / 24, "d"), (whole % 24, "h"))
    };
    let sign = if length.value() < 0.0 && minutes > 0 { "-" } else { "" };
    format!("{sign}{text}")
}

/// Hours to a tenth, rounded down: for what is left of a budget, so that it is never overstated. `12.3 h`
pub fn hours_rounded_down_tenth(length: Hours) -> String {
    let (_, tenths) = floor_to_step(length.value(), 0.1);
    format!("{} h", number(tenths, 1))
}

fn rounded(size: f64) -> u64 {
    number(size, 0).parse().unwrap_or(u64::MAX)
}

fn two_parts((larger, larger_unit): (u64, &str), (smaller, smaller_unit): (u64, &str)) -> String {
    match (larger, smaller) {
        (0, 0) => "0 h".to_owned(),
        (0, _) => format!("{smaller} {smaller_unit}"),
        (_, 0) => format!("{larger} {larger_unit}"),
        _ => format!("{larger} {larger_unit} {smaller} {smaller_unit}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_then_days() {
        for (value, shown) in [
            (0.0, "0 h"),
            (0.75, "45 min"),
            (1.5, "1 h 30 min"),
            (36.0, "36 h"),
            (47.995, "2 d"),
            (48.0, "2 d"),
            (52.0, "2 d 4 h"),
            (71.9, "3 d"),
            (-1.5, "-1 h 30 min"),
            (-0.001, "0 h"),
        ] {
            assert_eq!(hours(Hours::new(value)), shown, "{value}");
        }
        assert_eq!(hours(Hours::new(f64::NAN)), "not a number h");
    }

    #[test]
    fn what_is_left_is_never_overstated() {
        assert_eq!(hours_rounded_down_tenth(Hours::new(12.39)), "12.3 h");
        assert_eq!(hours_rounded_down_tenth(Hours::new(12.0)), "12.0 h");
        assert_eq!(hours_rounded_down_tenth(Hours::new(0.1 + 0.2)), "0.3 h");
        assert_eq!(hours_rounded_down_tenth(Hours::new(0.05)), "0.0 h");
    }
}
