//! How much nitrite is aimed at, and what caps it.

use super::DoseRequest;
use crate::curing::cure::verdict::{USUAL_TARGET_EXACT, lowest_nitrite_maximum, usual_target};
use crate::curing::cure::{Bound, CureError, Ingoing, Scope, advice};
use crate::curing::finding::Advice;
use crate::curing::rule::{Country, Limit, Rulebook};
use crate::quantity::{Fraction, WeightBasis, compare, format};
use std::cmp::Ordering;

/// What the member wants to reach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// The usual: 156 mg/kg as sodium nitrite or the country's maximum, whichever is lower. In Great Britain the
    /// EU's lower figure, which is lawful in both.
    Usual,
    /// The most that is permitted; for a required level the level itself.
    Maximum,
    /// So many mg/kg as sodium nitrite.
    MgPerKg(f64),
}

/// What is aimed at, and why not at more.
pub(super) struct Aim {
    /// mg/kg as sodium nitrite.
    pub(super) mg_per_kg: f64,
    /// Parts of cure per part of the weight that counts.
    pub(super) share: Fraction,
    /// Why it is not more.
    pub(super) advice: Vec<Advice>,
}

/// Resolves the target against what the rows leave room for.
pub(super) fn aim(request: &DoseRequest, most: Option<Bound>) -> Result<Aim, CureError> {
    let undiluted = Ingoing::of_share(&request.label, Fraction::of_one(1.0), WeightBasis::GreenWeight);
    let per_share = undiluted.nitrite_as_sodium_nitrite().mg_per_kg();
    if per_share <= 0.0 {
        return Err(CureError::NoNitrite);
    }
    let cap = most.map_or(USUAL_TARGET_EXACT, |bound| bound.share.as_one() * per_share);
    let wanted = match request.target {
        Target::MgPerKg(asked) => asked_for(asked, cap, most)?,
        // A required level is a level, not a ceiling to be used up.
        Target::Maximum => request.scope.required().and_then(|row| row.value).unwrap_or(cap),
        Target::Usual => usual(&request.scope),
    };
    let capped = compare::with_tolerance(wanted, cap) == Ordering::Greater;
    let mg_per_kg = if capped { cap } else { wanted };
    let share = Fraction::of_one(mg_per_kg / per_share);
    enough(request, share, most)?;
    let said = match most {
        None => Some(Advice::plain(advice::NO_PUBLISHED_MAXIMUM)),
        Some(bound) if capped => Some(limited_by(bound.row, cap)),
        Some(_) => None,
    };
    Ok(Aim { mg_per_kg, share, advice: said.into_iter().collect() })
}

fn asked_for(asked: f64, cap: f64, most: Option<Bound>) -> Result<f64, CureError> {
    if !(asked.is_finite() && asked > 0.0) {
        return Err(CureError::OutOfRange { what: "target", range: "above 0 mg/kg", example: "target:120" });
    }
    if compare::with_tolerance(asked, cap) == Ordering::Greater {
        return Err(CureError::OverMaximum {
            asked: format::trimmed(asked, 2),
            most: advice::number_down(cap, 2),
            row: most.map(|bound| bound.row),
        });
    }
    Ok(asked)
}

/// A dose under a minimum is not planned.
fn enough(request: &DoseRequest, share: Fraction, most: Option<Bound>) -> Result<(), CureError> {
    let Some(least) = request.scope.least(&request.label) else {
        return Ok(());
    };
    let least_share = least.share.as_one();
    if let Some(most) = most
        && compare::with_tolerance(most.share.as_one(), least_share) == Ordering::Less
    {
        return Err(CureError::NoRoom { least: least.row, most: most.row });
    }
    if compare::with_tolerance(share.as_one(), least_share) == Ordering::Less {
        return Err(CureError::BelowMinimum { row: least.row });
    }
    Ok(())
}

/// The usual target for a dose.
fn usual(scope: &Scope) -> f64 {
    let usual = usual_target(scope);
    let is_gb = scope.country.as_ref().is_some_and(|country| country.rulebook() == Rulebook::Gb);
    if !is_gb {
        return usual;
    }
    let eu = Scope { country: Country::parse("EU"), ..scope.clone() };
    lowest_nitrite_maximum(&eu).map_or(usual, |eu| eu.min(usual))
}

fn limited_by(row: &Limit, cap: f64) -> Advice {
    advice::with(
        advice::LIMITED_BY,
        vec![
            ("rule", row.id.clone()),
            ("limit", row.printed.clone()),
            ("unit", row.unit.clone()),
            ("source", row.source.clone()),
            ("target", advice::number_down(cap, 1)),
        ],
    )
}
