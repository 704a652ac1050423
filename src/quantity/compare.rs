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
/// A figure that is not a number compares as greater: it can never pass a maximum.
pub fn with_tolerance(measured: f64, limit: f64) -> Ordering {
    let scale = measured.abs().max(limit.abs());
    if (measured - limit).abs() <= scale * RELATIVE_TOLERANCE {
        return Ordering::Equal;
    }
    measured.partial_cmp(&limit).unwrap_or(Ordering::Greater)
}
