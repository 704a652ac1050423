//! How far the base engine is off, by class and by how far the piece has come, and the window set right for it.
//!
//! On simulated sausages and on published ones the base engine comes early, the more so the nearer the target: the rim
//! dries and holds the water back. Its window is a little too wide, that of a whole muscle far too wide. Both are set
//! right on the logarithm of what remains, so that nothing ever comes before the last weighing.

use super::prior::Class;

/// What is done to the days that remain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Calibration {
    /// Added to the logarithm of the middle.
    later: f64,
    /// The window's half-widths, on the logarithm, times this.
    width: f64,
}

impl Calibration {
    /// For a class and the part of its target loss that is lost.
    pub(super) fn of(class: Class, progress: f64) -> Self {
        match class {
            Class::Sausage => Self { later: 0.30 * progress * progress, width: 0.85 },
            Class::WholeMuscle => Self { later: -0.10, width: 0.60 },
        }
    }

    /// A quantile of what remains, set right beside the middle.
    pub(super) fn apply(self, days: f64, middle: f64) -> f64 {
        if middle <= 0.0 {
            return days;
        }
        middle * self.later.exp() * (days / middle).powf(self.width)
    }
}
