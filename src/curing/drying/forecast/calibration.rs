//! How far the base engine is off, by class and by how far the piece has come, and the window set right for it.
//!
//! On simulated sausages and on published ones the base engine comes early, the more so the nearer the target: the rim
//! dries and holds the water back. Its window is a little too wide, that of a whole muscle far too wide; and a muscle goes
//! on at its last pace more than the base engine thinks. All is set right on the logarithm of what remains, so that
//! nothing ever comes before the last weighing.

use super::grid::Loss;
use super::prior::Class;

/// Up to this part of the target the window is what is expected of any such piece, which needs all of its width.
const HARDLY_BEGUN: f64 = 0.05;
/// The last pace is read over at least so many days.
const PACE_DAYS: f64 = 2.0;

/// What is done to the days that remain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Calibration {
    /// Added to the logarithm of the middle.
    later: f64,
    /// The window's half-widths, on the logarithm, times this.
    width: f64,
    /// How much the straight line of the last pace counts in the middle.
    straight: f64,
}

impl Calibration {
    /// For a class and the part of its target loss that is lost.
    pub(super) fn of(class: Class, progress: f64) -> Self {
        if progress < HARDLY_BEGUN {
            return Self { later: 0.0, width: 1.0, straight: 0.0 };
        }
        match class {
            Class::Sausage => Self { later: 0.30 * progress * progress, width: 0.85, straight: 0.0 },
            Class::WholeMuscle => Self { later: -0.13 * progress, width: 0.60, straight: 0.35 * progress },
        }
    }

    /// The middle of what remains, set right; `straight` is what would remain at the last pace.
    pub(super) fn middle(self, days: f64, straight: Option<f64>) -> f64 {
        let moved = days * self.later.exp();
        match straight.filter(|straight| self.straight > 0.0 && *straight > 0.0) {
            Some(straight) => moved.powf(1.0 - self.straight) * straight.powf(self.straight),
            None => moved,
        }
    }

    /// A quantile of what remains as far from the middle that was set right as the width allows.
    pub(super) fn quantile(self, days: f64, middle: f64, set_right: f64) -> f64 {
        if middle > 0.0 { set_right * (days / middle).powf(self.width) } else { days }
    }
}

/// Days that would remain at the pace of the last days; `None` where it lost nothing in them.
pub(super) fn straight(losses: &[Loss], target: f64) -> Option<f64> {
    let last = losses.last()?;
    let hung = Loss { day: 0.0, part: 0.0 };
    let before = losses.iter().rev().find(|loss| last.day - loss.day >= PACE_DAYS).unwrap_or(&hung);
    let rate = (last.part - before.part) / (last.day - before.day);
    (rate > 0.0).then(|| (target - last.part) / rate)
}
