//! What to say beside a dose.

use super::{Dose, DoseRequest, weighing};
use crate::curing::cure::salt::SATURATED_BRINE;
use crate::curing::cure::{Application, Bound, Ingoing, advice, scale};
use crate::curing::finding::Advice;
use crate::curing::rule::Rulebook;
use crate::quantity::{Fraction, compare, format};
use std::cmp::Ordering;

/// All that is to be said, most important first.
pub(super) fn of(request: &DoseRequest, dose: &Dose, most: Option<Bound>) -> Vec<Advice> {
    let remarks = [
        concentrate(request),
        salt_exceeded(request, dose),
        salt_split(request, dose, most),
        saturated(request, dose),
        brine(request),
        british(request, dose),
        unknown_nitrate(request),
        finer_scale(request, dose),
    ];
    remarks.into_iter().flatten().collect()
}

fn concentrate(request: &DoseRequest) -> Option<Advice> {
    let percent = format::trimmed(request.label.nitrite().as_percent(), 2);
    request.label.is_concentrate().then(|| advice::with(advice::CONCENTRATE, vec![("percent", percent)]))
}

/// The cure alone brings more salt than was asked for: both ways of giving in, with their numbers.
fn salt_exceeded(request: &DoseRequest, dose: &Dose) -> Option<Advice> {
    let asked = request.salt?;
    let brings = dose.salt_in_meat.as_one();
    if compare::with_tolerance(brings, asked.as_one()) != Ordering::Greater {
        return None;
    }
    // Salt and nitrite come in the label's proportion, so both shrink alike.
    let part = asked.as_one() / brings;
    let nitrite = dose.ingoing.nitrite_as_sodium_nitrite().mg_per_kg() * part;
    Some(advice::with(
        advice::SALT_EXCEEDED,
        vec![
            ("brings", format::trimmed(dose.salt_in_meat.as_percent(), 2)),
            ("asked", format::trimmed(asked.as_percent(), 2)),
            ("cure_for_salt", advice::number_down(dose.cure_salt.as_grams() * part, 1)),
            ("nitrite_then", advice::number_down(nitrite, 1)),
        ],
    ))
}

/// The custom of taking all the salt as curing salt would be over the limit: why it is split.
fn salt_split(request: &DoseRequest, dose: &Dose, most: Option<Bound>) -> Option<Advice> {
    let bound = most?;
    let salt_part = request.label.salt().as_one();
    let all_salt = dose.plain_salt.as_grams() + dose.salt_in_cure.as_grams();
    let all_as_cure = all_salt / salt_part;
    let times = all_as_cure / dose.cure_salt.as_grams();
    let share = dose.ingoing.nitrite_by_weight() / 1e6 / request.label.nitrite().as_one() * times;
    let over = compare::with_tolerance(share, bound.share.as_one()) == Ordering::Greater;
    // Nobody takes a strong cure for all the salt; there the split is no news.
    if request.salt.is_none() || !over || !request.label.is_weak() {
        return None;
    }
    let then = Ingoing::of_share(&request.label, Fraction::of_one(share), dose.ingoing.weight());
    let reached = crate::curing::cure::measured(bound.row, &then)?;
    Some(advice::with(
        advice::SALT_SPLIT,
        vec![
            ("nitrite_then", format::trimmed(reached, 1)),
            ("limit", bound.row.printed.clone()),
            ("unit", bound.row.unit.clone()),
            ("cure", format::trimmed(dose.cure_salt.as_grams(), 3)),
            ("plain", format::trimmed(dose.plain_salt.as_grams(), 1)),
        ],
    ))
}

fn saturated(request: &DoseRequest, dose: &Dose) -> Option<Advice> {
    let salt = dose.plain_salt.as_grams() + dose.salt_in_cure.as_grams();
    let part = salt / dose.pickle?.as_grams();
    (request.salt.is_some() && compare::with_tolerance(part, SATURATED_BRINE.as_one()).is_gt()).then(|| {
        advice::with(
            advice::PICKLE_SATURATED,
            vec![
                ("percent", format::trimmed(part * 100.0, 1)),
                ("saturated", format::trimmed(SATURATED_BRINE.as_percent(), 1)),
            ],
        )
    })
}

fn brine(request: &DoseRequest) -> Option<Advice> {
    match request.application {
        Application::Equilibrium { .. } => Some(Advice::plain(advice::UNTIL_BALANCE)),
        Application::PickUp { .. } => Some(Advice::plain(advice::WEIGH_PICK_UP)),
        _ => None,
    }
}

/// Great Britain's maximum is above the EU's; a dose between the two is told so.
fn british(request: &DoseRequest, dose: &Dose) -> Option<Advice> {
    let country = request.scope.country.as_ref()?;
    let eu = crate::curing::rulebook::by_id("eu.8.3.1.nitrite")?;
    let value = eu.value.filter(|_| eu.applies_on(request.scope.day))?;
    let over = compare::with_tolerance(dose.ingoing.nitrite_as_ion().mg_per_kg(), value) == Ordering::Greater;
    (country.rulebook() == Rulebook::Gb && over)
        .then(|| advice::with(advice::EU_IS_LOWER, vec![("eu", eu.printed.clone())]))
}

fn unknown_nitrate(request: &DoseRequest) -> Option<Advice> {
    (!request.label.nitrate_cation_is_known()).then(|| Advice::plain(advice::NITRATE_TAKEN_AS_SODIUM))
}

fn finer_scale(request: &DoseRequest, dose: &Dose) -> Option<Advice> {
    let uncomfortable = scale::steps(dose.cure_salt_exact, request.scale_step) < scale::COMFORTABLE_STEPS;
    uncomfortable.then(|| weighing::finer_scale(dose.cure_salt_exact, request.scale_step)).flatten()
}
