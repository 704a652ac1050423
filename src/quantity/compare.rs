//! The one tolerance function: every comparison of a figure with a limit goes through here.
//!
//! Binary floats miss a printed limit by a hair: of the 399 doses "k oz of a 6.25 % cure in 25·k lb of meat",
//! all exactly 156.25 mg/kg, naive arithmetic calls 65 over. And 85 °F for 48 h is exactly 1200 degree-hours
//! and must not pass "less than 1200" because a sum landed a hair below.

use std::cmp::Ordering;

/// Relative tolerance within which two figures are the same figure.
pub const RELATIVE_TOLERANCE: f64 = 1e-9;

/// Compares a measured figure with a limit in the limit's own unit; figures closer than the tolerance are equal.
///
/// A figure that is not a number compares as greater: it can never pass a maximum. (It would pass a minimum: who
/// asks for one makes sure of the figure first.)
pub fn with_tolerance(measured: f64, limit: f64) -> Ordering {
    let scale = measured.abs().max(limit.abs());
    // An infinite figure has an infinite tolerance and would equal every limit.
    if scale.is_finite() && (measured - limit).abs() <= scale * RELATIVE_TOLERANCE {
        return Ordering::Equal;
    }
    measured.partial_cmp(&limit).unwrap_or(Ordering::Greater)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Mass, MassUnit, Temperature};

    /// k ounces of a 6.25 % cure in 25·k pounds of meat: 1/400 × 62,500 mg/kg = 156.25 mg/kg, for every k.
    fn doses() -> impl Iterator<Item = (Mass, Mass)> {
        (1..=399)
            .map(|k| (Mass::of(f64::from(k), MassUnit::Ounce), Mass::of(f64::from(25 * k), MassUnit::Pound)))
    }

    #[test]
    fn no_dose_at_the_limit_is_called_over() {
        let ingoing: Vec<f64> =
            doses().map(|(cure, meat)| cure.as_grams() * 0.0625 * 1e6 / meat.as_grams()).collect();
        let naively_over = ingoing.iter().filter(|figure| **figure > 156.25).count();
        assert_eq!(naively_over, 65, "the trap must be there for the test to mean anything");
        for figure in ingoing {
            assert_eq!(with_tolerance(figure, 156.25), Ordering::Equal, "{figure}");
        }
    }

    #[test]
    fn the_same_doses_written_in_another_order_agree() {
        for (cure, meat) in doses() {
            let figure = cure.as_grams() / meat.as_grams() * 0.0625 * 1e6;
            assert_eq!(with_tolerance(figure, 156.25), Ordering::Equal);
        }
    }

    #[test]
    fn degree_hours_at_the_limit_are_not_below_it() {
        // (85 °F − 60 °F) × 48 h = 1200 °F·h, here hour by hour and by way of °C.
        let above = Temperature::fahrenheit(85.0).as_celsius() - Temperature::fahrenheit(60.0).as_celsius();
        let naive: f64 = (0..48).map(|_| above * 9.0 / 5.0).sum();
        assert!(naive < 1200.0, "the trap must be there");
        assert_eq!(with_tolerance(naive, 1200.0), Ordering::Equal);
    }

    #[test]
    fn a_real_difference_counts() {
        assert_eq!(with_tolerance(156.26, 156.25), Ordering::Greater);
        assert_eq!(with_tolerance(156.24, 156.25), Ordering::Less);
        assert_eq!(with_tolerance(156.25 * (1.0 + 2e-9), 156.25), Ordering::Greater);
        assert_eq!(with_tolerance(156.25 * (1.0 - 2e-9), 156.25), Ordering::Less);
        assert_eq!(with_tolerance(0.0, 0.0), Ordering::Equal);
        assert_eq!(with_tolerance(1e-12, 0.0), Ordering::Greater);
        assert_eq!(with_tolerance(-5.0, 5.0), Ordering::Less);
    }

    #[test]
    fn what_is_not_a_number_passes_no_maximum() {
        assert_eq!(with_tolerance(f64::NAN, 156.25), Ordering::Greater);
        assert_eq!(with_tolerance(156.25, f64::NAN), Ordering::Greater);
        assert_eq!(with_tolerance(f64::INFINITY, 156.25), Ordering::Greater);
    }
}
