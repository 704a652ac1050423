//! What no single row sees: a swap of two cures, no nitrite at all, or next to none, and nitrate that no row lists.

use super::{Case, advice};
use crate::curing::finding::{Advice, Finding, Level, Outcome};
use crate::curing::rule::{Kind, Rulebook};
use crate::curing::rulebook;
use crate::quantity::{compare, format};
use std::cmp::Ordering;

/// Parts of a strong cure per part of meat from which it looks like the dose of a weak one (20 to 30 g/kg).
const DOSE_OF_WEAK: f64 = 0.015;
/// Parts of a weak cure per part of meat up to which it looks like the dose of a strong one (2.5 g/kg).
const DOSE_OF_STRONG: f64 = 0.005;

/// Parts of a salt without nitrite per part of meat from which it looks like the dose of a nitrite cure: the least
/// that a rulebook asks of a 6.25 % cure, 100 mg/kg, is 1.6 g/kg. This project's choice.
const DOSE_OF_ANY_CURE: f64 = 0.0016;

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
        return Some(without_nitrite(case));
    }
    let measured = ("measured", format::trimmed(nitrite, 2));
    if let Some(label) = case.label.filter(|label| label.nitrite().as_one() > 0.0) {
        let fraction = label.nitrite().as_one();
        let share = case.ingoing.nitrite_by_weight() / 1e6 / fraction;
        let holes = vec![
            ("dose", format::trimmed(share * 1000.0, 1)),
            ("percent", format::trimmed(label.nitrite().as_percent(), 2)),
        ];
        if label.is_strong() && compare::with_tolerance(share, DOSE_OF_WEAK).is_ge() {
            return Some((Level::Danger, advice::with(advice::SWAP_STRONG, holes)));
        }
        if label.is_weak() && compare::with_tolerance(share, DOSE_OF_STRONG).is_le() {
            let holes = holes.into_iter().chain([measured]).collect();
            return Some((Level::Warning, advice::with(advice::SWAP_WEAK, holes)));
        }
    }
    let useful = useful_nitrite()?;
    (compare::with_tolerance(nitrite, useful) == Ordering::Less).then(|| {
        let holes = vec![measured, ("useful", format::trimmed(useful, 2))];
        (Level::Warning, advice::with(advice::LITTLE_NITRITE, holes))
    })
}

/// Nitrate in nitrite's place: at a nitrite cure's dose it was most likely meant to be one.
fn without_nitrite(case: &Case) -> (Level, Advice) {
    let share = case.label.map(|label| case.ingoing.nitrate_by_weight() / 1e6 / label.nitrate().as_one());
    match share.filter(|share| compare::with_tolerance(*share, DOSE_OF_ANY_CURE).is_ge()) {
        Some(share) => {
            let holes = vec![("dose", format::trimmed(share * 1000.0, 1))];
            (Level::Danger, advice::with(advice::NITRATE_FOR_NITRITE, holes))
        }
        None => (Level::Warning, Advice::plain(advice::NITRATE_ONLY)),
    }
}

/// Nitrate where a rulebook has a figure for nitrite and none for nitrate: said on its leading row.
pub(super) fn warn_of_unlisted_nitrate(case: &Case, findings: &mut [Finding]) {
    if case.ingoing.nitrate_by_weight() <= 0.0 {
        return;
    }
    for rulebook in Rulebook::COUNTRIES {
        let own = |finding: &Finding| finding.limit.rulebook == rulebook && caps(finding);
        if findings.iter().any(|finding| own(finding) && finding.limit.figure == "nitrate") {
            continue;
        }
        let lead = findings.iter_mut().find(|finding| own(finding) && finding.outcome != Outcome::Over);
        if let Some(lead) = lead {
            let said =
                advice::with(advice::NITRATE_NOT_LISTED, vec![("country", rulebook.name().to_owned())]);
            *lead = lead.clone().at_least(Level::Caution).advising(said);
        }
    }
}

fn caps(finding: &Finding) -> bool {
    matches!(finding.limit.kind, Kind::Maximum | Kind::Required | Kind::Prohibited)
        && finding.limit.figure.starts_with("nitr")
}

/// The least nitrite that is said to preserve at all, mg/kg.
pub(super) fn useful_nitrite() -> Option<f64> {
    rulebook::by_id("us.min.shelf_stable")?.value
}
