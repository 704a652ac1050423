//! What no single row sees: a swap of two cures, no nitrite at all, or next to none.

use super::{Case, advice};
use crate::curing::finding::{Advice, Finding, Level, Outcome};
use crate::curing::rulebook;
use crate::quantity::compare;
use std::cmp::Ordering;

/// Parts of a strong cure per part of meat from which it looks like the dose of a weak one (20 to 30 g/kg).
const DOSE_OF_WEAK: f64 = 0.015;
/// Parts of a weak cure per part of meat up to which it looks like the dose of a strong one (2.5 g/kg).
const DOSE_OF_STRONG: f64 = 0.005;

/// Says it on the leading row for nitrite. A row that is over keeps its own advice, except where a swap explains it.
pub(super) fn warn(case: &Case, findings: &mut [Finding]) {
    let Some((level, said)) = about_the_dose(case) else {
        return;
    };
    let lead = findings
        .iter_mut()
        .filter(|finding| finding.limit.figure.starts_with("nitrite"))
        .find(|finding| level == Level::Danger || finding.outcome != Outcome::Over);
    if let Some(lead) = lead {
        *lead = lead.clone().at_least(level).advising(said);
    }
}

fn about_the_dose(case: &Case) -> Option<(Level, Advice)> {
    let nitrite = case.ingoing.nitrite_as_sodium_nitrite().mg_per_kg();
    if case.ingoing.is_nothing() {
        return Some((Level::Warning, Advice::plain(advice::NO_NITRITE)));
    }
    if nitrite <= 0.0 {
        return Some((Level::Caution, Advice::plain(advice::NITRATE_ONLY)));
    }
    let measured = ("measured", advice::number(nitrite, 2));
    if let Some(label) = case.label.filter(|label| label.nitrite().as_one() > 0.0) {
        let fraction = label.nitrite().as_one();
        let share = case.ingoing.nitrite_by_weight() / 1e6 / fraction;
        let holes = vec![
            ("dose", advice::number(share * 1000.0, 1)),
            ("percent", advice::number(label.nitrite().as_percent(), 2)),
        ];
        if label.is_strong() && share >= DOSE_OF_WEAK {
            return Some((Level::Danger, advice::with(advice::SWAP_STRONG, holes)));
        }
        if label.is_weak() && share <= DOSE_OF_STRONG {
            let holes = holes.into_iter().chain([measured]).collect();
            return Some((Level::Warning, advice::with(advice::SWAP_WEAK, holes)));
        }
    }
    let useful = useful_nitrite()?;
    (compare::with_tolerance(nitrite, useful) == Ordering::Less).then(|| {
        let holes = vec![measured, ("useful", advice::number(useful, 2))];
        (Level::Warning, advice::with(advice::LITTLE_NITRITE, holes))
    })
}

/// The least nitrite that is said to preserve at all, mg/kg.
pub(super) fn useful_nitrite() -> Option<f64> {
    rulebook::by_id("us.min.shelf_stable")?.value
}
