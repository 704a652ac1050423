//! Rounding to what a scale can show: doses down, waiting times up.

use crate::quantity::exact::Exact;

/// How far below a whole number of steps still counts as that number: 0.3 / 0.1 is 2.9999999999999996.
const STEP_TOLERANCE: f64 = 1e-9;

/// The most whole steps that do not exceed the value, and their sum: `floor_to_step(2.59, 0.1)` is 25 steps, 2.5.
///
/// For doses: what is weighed is never more than what was computed (but for one part in 10⁹ of a step).
/// The sum is the decimal product, 0.3 and not 0.30000000000000004. A step that is not above zero, or a value
/// that is no number, gives 0 steps and not-a-number, which no limit lets through.
pub fn floor_to_step(value: f64, step: f64) -> (i64, f64) {
    on_step(step, (value / step + STEP_TOLERANCE).floor())
}

/// The fewest whole steps that reach the value, and their sum. For waiting times and minimum amounts.
/// Refuses as [`floor_to_step`] does.
pub fn ceil_to_step(value: f64, step: f64) -> (i64, f64) {
    on_step(step, (value / step - STEP_TOLERANCE).ceil())
}

fn on_step(step: f64, steps: f64) -> (i64, f64) {
    let is_usable = step > 0.0 && step.is_finite() && steps.abs() < 1e15;
    if !is_usable {
        return (0, f64::NAN);
    }
    let steps = steps as i64;
    let exact = Exact::from_float(step)
        .and_then(|one| one.times(Exact::whole(u128::from(steps.unsigned_abs()))))
        .map_or(step * steps.unsigned_abs() as f64, Exact::to_float);
    (steps, if steps < 0 { -exact } else { exact })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn assert_step(found: (i64, f64), steps: i64, value: f64) {
        assert_eq!(found.0, steps);
        assert_eq!(found.1.to_bits(), value.to_bits(), "{} and {value}", found.1);
    }

    #[test]
    fn a_whole_number_of_steps_stays() {
        assert_step(floor_to_step(0.3, 0.1), 3, 0.3);
        assert_step(floor_to_step(0.1 + 0.2, 0.1), 3, 0.3);
        assert_step(ceil_to_step(0.1 + 0.2, 0.1), 3, 0.3);
        assert_step(floor_to_step(0.9, 0.3), 3, 0.9);
        assert_step(floor_to_step(2.5, 0.01), 250, 2.5);
        assert_step(floor_to_step(0.0, 0.1), 0, 0.0);
    }

    #[test]
    fn between_steps_it_goes_down_or_up() {
        assert_step(floor_to_step(2.59, 0.1), 25, 2.5);
        assert_step(ceil_to_step(2.51, 0.1), 26, 2.6);
        assert_step(floor_to_step(14.0, 5.0), 2, 10.0);
        assert_step(ceil_to_step(49.01, 1.0), 50, 50.0);
        assert_step(floor_to_step(-0.15, 0.1), -2, -0.2);
    }

    #[test]
    fn no_step_gives_no_number() {
        for step in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let (steps, value) = floor_to_step(2.5, step);
            assert!(steps == 0 && value.is_nan(), "{step}");
        }
        assert!(floor_to_step(f64::NAN, 0.1).1.is_nan());
        assert!(ceil_to_step(f64::INFINITY, 0.1).1.is_nan());
        assert!(floor_to_step(1e300, 1e-9).1.is_nan());
    }
}
