//! The pH a member aims at, beside the customary windows of the styles. For information: no rule asks for it.

use crate::curing::rule::Limit;
use crate::curing::rulebook;
use crate::quantity::Ph;
use crate::quantity::compare;

/// A reading beside the pH aimed at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AgainstTarget {
    /// Not yet as sour as wanted.
    Above {
        /// By how much.
        by: f64,
    },
    /// At the target, or below it and still in the window of a style that has this target.
    Reached,
    /// More sour than any style with this target ends.
    BelowWindow {
        /// By how much it is below the window's lower end.
        by: f64,
    },
}

/// The styles whose customary window holds this target: rows with `band_low` and `band_high`. None for a target
/// that no style has.
pub fn styles_of(target: Ph) -> impl Iterator<Item = &'static Limit> {
    let rows = rulebook::all().iter().filter(|row| row.figure == "target_ph");
    rows.filter(move |row| {
        row.band_low.zip(row.band_high).is_some_and(|(low, high)| {
            compare::with_tolerance(target.value(), low).is_ge()
                && compare::with_tolerance(target.value(), high).is_le()
        })
    })
}

/// Holds a reading against the pH aimed at.
pub fn against_target(reading: Ph, target: Ph) -> AgainstTarget {
    let (reading, wanted) = (reading.value(), target.value());
    if compare::with_tolerance(reading, wanted).is_gt() {
        return AgainstTarget::Above { by: reading - wanted };
    }
    let lowest = styles_of(target).filter_map(|row| row.band_low).reduce(f64::min);
    match lowest.filter(|lowest| compare::with_tolerance(reading, *lowest).is_lt()) {
        Some(lowest) => AgainstTarget::BelowWindow { by: lowest - reading },
        None => AgainstTarget::Reached,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(target: f64) -> Vec<&'static str> {
        styles_of(Ph::new(target)).map(|row| row.id.as_str()).collect()
    }

    #[test]
    fn windows_hold_their_edges() {
        assert_eq!(names(4.6), ["ph.style.fast"]);
        assert_eq!(names(4.8), ["ph.style.medium", "ph.style.fast"]);
        assert_eq!(names(5.3), ["ph.style.slow", "ph.style.southern"]);
        assert_eq!(names(5.7), [""; 0]);
    }

    #[test]
    fn a_reading_is_above_at_or_past_what_is_aimed_at() {
        let at = |reading| against_target(Ph::new(reading), Ph::new(5.1));
        assert!(matches!(at(5.3), AgainstTarget::Above { by } if (by - 0.2).abs() < 1e-9));
        assert_eq!(at(5.1), AgainstTarget::Reached);
        assert_eq!(at(4.9), AgainstTarget::Reached);
        assert!(matches!(at(4.7), AgainstTarget::BelowWindow { by } if (by - 0.2).abs() < 1e-9));
        // No style has this target, so there is no window to fall out of.
        assert_eq!(against_target(Ph::new(4.0), Ph::new(5.7)), AgainstTarget::Reached);
    }
}
