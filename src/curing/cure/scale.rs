//! Rounding a dose to what a real scale can weigh.

use crate::quantity::{Mass, format};

/// Slack, in steps, for a dose that is a whole number of steps but lands a hair below in binary:
/// 0.3 / 0.1 is 2.9999999999999996.
const STEP_SLACK: f64 = 1e-9;

/// A dose below this many steps is not weighed. Project rule.
pub(super) const FEWEST_STEPS: f64 = 5.0;

/// Below this many steps a finer scale is advised (a weighing convention, from memory).
pub(super) const COMFORTABLE_STEPS: f64 = 20.0;

/// The least part of the asked dose that may be left after rounding. Project rule.
pub(super) const LEAST_PART: f64 = 0.90;

/// Steps of scales people have, in grams, coarse to fine.
const COMMON_STEPS_G: [f64; 6] = [5.0, 1.0, 0.5, 0.1, 0.01, 0.001];

/// How many steps of the scale a dose is.
pub(super) fn steps(dose: Mass, step: Mass) -> f64 {
    dose.as_grams() / step.as_grams() + STEP_SLACK
}

/// The dose rounded down to whole steps of the scale; a dose that is a whole number of steps stays what it is.
pub(super) fn round_down(dose: Mass, step: Mass) -> Mass {
    let (_, grams) = format::floor_to_step(dose.as_grams(), step.as_grams());
    Mass::grams(grams)
}

/// The dose rounded to the nearest whole step.
pub(super) fn round_nearest(dose: Mass, step: Mass) -> Mass {
    round_down(Mass::grams(dose.as_grams() + step.as_grams() / 2.0), step)
}

/// The coarsest common step that weighs the dose comfortably, if it is finer than the one at hand.
pub(super) fn finer_step(dose: Mass, step: Mass) -> Option<Mass> {
    COMMON_STEPS_G
        .into_iter()
        .map(Mass::grams)
        .find(|finer| *finer < step && steps(dose, *finer) >= COMFORTABLE_STEPS)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_steps_stay_whole() {
        let tenth = Mass::grams(0.1);
        for tenths in 1..=1000_u32 {
            let dose = Mass::grams(f64::from(tenths) / 10.0);
            assert_eq!(round_down(dose, tenth), dose);
            assert_eq!(round_nearest(dose, tenth), dose);
        }
    }

    #[test]
    fn a_dose_goes_down_never_up() {
        assert_eq!(round_down(Mass::grams(2.496), Mass::grams(0.1)), Mass::grams(2.4));
        assert_eq!(round_down(Mass::grams(2.496), Mass::grams(0.2)), Mass::grams(2.4));
        assert_eq!(round_down(Mass::grams(0.749), Mass::grams(1.0)), Mass::grams(0.0));
    }

    #[test]
    fn a_finer_scale_is_named() {
        assert_eq!(finer_step(Mass::grams(1.248), Mass::grams(1.0)), Some(Mass::grams(0.01)));
        assert_eq!(finer_step(Mass::grams(2.5), Mass::grams(1.0)), Some(Mass::grams(0.1)));
        assert_eq!(finer_step(Mass::grams(0.001), Mass::grams(0.001)), None);
    }
}
