//! Rounding a number to decimals, on its decimal text.

use crate::quantity::compare;
use crate::quantity::format::step::{ceil_to_step, floor_to_step};

/// A number with exactly so many decimals.
///
/// Rounds half away from zero on the shortest decimal text of the float, as one does on paper: 1.005 to two
/// decimals is 1.01, although the float is a hair below. No thousands signs, no "-0".
/// What is infinite or not a number prints as "not a number".
pub fn number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "not a number".to_owned();
    }
    let text = format!("{}", value.abs());
    let (whole, fraction) = text.split_once('.').unwrap_or((text.as_str(), ""));
    let kept: String = fraction.chars().take(decimals).collect();
    let rounds_up = fraction.as_bytes().get(decimals).is_some_and(|digit| *digit >= b'5');
    let mut digits = format!("{whole}{kept:0<decimals$}");
    if rounds_up {
        digits = plus_one(&digits);
    }
    let (whole, fraction) = digits.split_at_checked(digits.len() - decimals).unwrap_or((digits.as_str(), ""));
    let is_zero = digits.bytes().all(|digit| digit == b'0');
    let sign = if value < 0.0 && !is_zero { "-" } else { "" };
    if fraction.is_empty() { format!("{sign}{whole}") } else { format!("{sign}{whole}.{fraction}") }
}

/// A number with at most so many decimals: zeros at the end are left off. 156.25 and 200, not 200.00.
pub fn trimmed(value: f64, most_decimals: usize) -> String {
    let text = number(value, most_decimals);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// A figure beside the limit it is held against: at most so many decimals, and never printed as the limit unless
/// it is there. 1199.6 beside 1200 is 1199.6, not 1200; 1199.99 is 1199.9.
pub fn beside(value: f64, limit: f64, most_decimals: usize) -> String {
    let order = compare::with_tolerance(value, limit);
    let is_clear = |decimals: &usize| order.is_eq() || trimmed(value, *decimals) != trimmed(limit, *decimals);
    if let Some(decimals) = [most_decimals, most_decimals + 1].into_iter().find(is_clear) {
        return trimmed(value, decimals);
    }
    let step = 10_f64.powi(-i32::try_from(most_decimals + 1).unwrap_or(i32::MAX));
    let (_, away) = if order.is_lt() { floor_to_step(value, step) } else { ceil_to_step(value, step) };
    trimmed(away, most_decimals + 1)
}

/// Takes off the noise that converting units leaves in the last two digits: 35.24999999999999 oz is 35.25 oz.
/// For rounding before printing; never for a stored value.
pub(super) fn without_noise(value: f64) -> f64 {
    format!("{value:.14e}").parse().unwrap_or(value)
}

/// Adds one to a string of decimal digits.
fn plus_one(digits: &str) -> String {
    let nines = digits.len() - digits.trim_end_matches('9').len();
    let front = digits.trim_end_matches('9');
    let zeros = "0".repeat(nines);
    match front.as_bytes().split_last() {
        None => format!("1{zeros}"),
        Some((last, _)) => {
            let head: String = front.chars().take(front.len() - 1).collect();
            format!("{head}{}{zeros}", char::from(last + 1))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounds_half_away_from_zero_on_the_text() {
        for (value, decimals, shown) in [
            (1.005, 2, "1.01"),
            (2.675, 2, "2.68"),
            (0.125, 2, "0.13"),
            (-0.125, 2, "-0.13"),
            (2.5, 0, "3"),
            (0.5, 0, "1"),
            (0.49, 0, "0"),
            (9.996, 2, "10.00"),
            (999.5, 0, "1000"),
            (812.0, 1, "812.0"),
            (0.0, 2, "0.00"),
            (-0.0, 0, "0"),
            (-0.001, 2, "0.00"),
            (1234.5, 1, "1234.5"),
            (1e21, 0, "1000000000000000000000"),
            (1e-7, 3, "0.000"),
        ] {
            assert_eq!(number(value, decimals), shown, "{value}");
        }
        assert_eq!(number(f64::NAN, 1), "not a number");
        assert_eq!(number(f64::INFINITY, 1), "not a number");
    }

    #[test]
    fn trimming_takes_only_zeros_after_the_point() {
        assert_eq!(trimmed(156.25, 2), "156.25");
        assert_eq!(trimmed(200.0, 2), "200");
        assert_eq!(trimmed(200.0, 0), "200");
        assert_eq!(trimmed(5.10, 2), "5.1");
        assert_eq!(trimmed(0.0, 2), "0");
    }

    #[test]
    fn nothing_prints_as_the_limit_that_is_not_at_it() {
        for (value, limit, decimals, shown) in [
            (1199.0, 1200.0, 0, "1199"),
            (1199.6, 1200.0, 0, "1199.6"),
            (1199.99, 1200.0, 0, "1199.9"),
            (1200.2, 1200.0, 0, "1200.2"),
            (1200.01, 1200.0, 0, "1200.1"),
            (1200.0 * (1.0 - 1e-12), 1200.0, 0, "1200"),
            (1200.0, 1200.0, 1, "1200"),
            (199.999, 200.0, 2, "199.999"),
            (199.9999, 200.0, 2, "199.999"),
            (156.25, 156.25, 2, "156.25"),
        ] {
            assert_eq!(beside(value, limit, decimals), shown, "{value}");
        }
        assert_eq!(beside(f64::NAN, 1200.0, 0), "not a number");
    }

    #[test]
    fn noise_goes_and_digits_stay() {
        assert_eq!(number(without_noise(0.1 + 0.2), 17), number(0.3, 17));
        assert_eq!(trimmed(without_noise(1_133.980_925), 9), "1133.980925");
    }
}
