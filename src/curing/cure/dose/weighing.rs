//! The dose a real scale can weigh, or the ways out where it cannot.

use super::DoseRequest;
use crate::curing::cure::{CureError, Product, advice, scale};
use crate::curing::finding::Advice;
use crate::quantity::{Mass, compare, format};
use std::cmp::Ordering;

/// Batches this many steps big never lose a tenth of their dose to rounding.
const STEPS_FOR_TEN_PERCENT: f64 = 10.0;

/// A 10 % solution is weighed at ten times the dose.
const SOLUTION_FACTOR: f64 = 10.0;

/// The dose rounded to the scale: down, except for a required level, which is met from either side inside its
/// band. Refused when less than 90 % of it is left, when it is under 5 steps, or when it falls under a minimum.
pub(super) fn weighable(request: &DoseRequest, exact: Mass) -> Result<Mass, CureError> {
    let step = request.scale_step;
    let down = scale::round_down(exact, step);
    let nearest = scale::round_nearest(exact, step);
    let cure = if request.scope.required().is_some() && is_inside(request, nearest) { nearest } else { down };
    let too_few = scale::steps(exact, step) < scale::FEWEST_STEPS;
    let least = exact.as_grams() * scale::LEAST_PART;
    let too_little = compare::with_tolerance(cure.as_grams(), least) == Ordering::Less;
    if too_few || too_little || !is_inside(request, cure) {
        return Err(CureError::ScaleTooCoarse {
            dose: format::trimmed(exact.as_grams(), 3),
            step: format::trimmed(step.as_grams(), 3),
            ways_out: ways_out(request, exact),
        });
    }
    Ok(cure)
}

/// Whether a weight of cure lies between the least and the most that the rows leave room for.
fn is_inside(request: &DoseRequest, cure: Mass) -> bool {
    let Ok(bath) = request.application.with_cure(cure, &request.label, request.salt) else {
        return false;
    };
    let share = cure.as_grams() / bath.counted.as_grams();
    let over = request
        .scope
        .most(&request.label)
        .is_some_and(|most| compare::with_tolerance(share, most.share.as_one()) == Ordering::Greater);
    let under = request
        .scope
        .least(&request.label)
        .is_some_and(|least| compare::with_tolerance(share, least.share.as_one()) == Ordering::Less);
    !over && !under
}

fn ways_out(request: &DoseRequest, exact: Mass) -> Vec<Advice> {
    let step = request.scale_step;
    let mut ways: Vec<Advice> = finer_scale(exact, step).into_iter().collect();
    let solution = Mass::grams(exact.as_grams() * SOLUTION_FACTOR);
    // Mince takes up a little water; a rubbed muscle or a brine does not need it.
    let enough_steps = scale::steps(solution, step) >= STEPS_FOR_TEN_PERCENT;
    if request.scope.product == Product::Sausage && enough_steps {
        let grams = format::trimmed(scale::round_down(solution, step).as_grams(), 3);
        ways.push(advice::with(advice::SOLUTION, vec![("solution", grams)]));
    }
    let steps = scale::steps(exact, step);
    if steps > 0.0 && steps < STEPS_FOR_TEN_PERCENT {
        let times = (STEPS_FOR_TEN_PERCENT / steps * 10.0).ceil() / 10.0;
        ways.push(advice::with(advice::BIGGER_BATCH, vec![("times", format::trimmed(times, 1))]));
    }
    ways
}

/// A finer scale, where one of the common steps helps.
pub(super) fn finer_scale(exact: Mass, step: Mass) -> Option<Advice> {
    scale::finer_step(exact, step)
        .map(|finer| advice::with(advice::FINER_SCALE, vec![("step", format::trimmed(finer.as_grams(), 3))]))
}
