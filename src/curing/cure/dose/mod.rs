//! From a target to grams that a real scale can weigh.

mod remarks;
mod target;
mod weighing;

use super::{Application, CureError, CureLabel, Ingoing, Scope};
use crate::curing::finding::Advice;
use crate::curing::rule::{Kind, Limit};
use crate::quantity::{AmountBasis, Concentration, Fraction, Mass};
pub use target::Target;

/// The finest step of a scale that is taken at its word.
const FINEST_STEP_G: f64 = 0.001;

/// The coarsest.
const COARSEST_STEP_G: f64 = 1000.0;

/// A dose to be planned.
#[derive(Debug, Clone, PartialEq)]
pub struct DoseRequest {
    /// How the cure is applied, with the weights. Its method is also the scope's.
    pub application: Application,
    /// The label of the cure.
    pub label: CureLabel,
    /// Product, method, country, day.
    pub scope: Scope,
    /// The nitrite to reach.
    pub target: Target,
    /// The salt to reach in the meat, where asked: above 0 to 30 %.
    pub salt: Option<Fraction>,
    /// The smallest step the member's scale shows.
    pub scale_step: Mass,
}

/// A dose, rounded to the scale, and all that follows from it.
#[derive(Debug, Clone, PartialEq)]
pub struct Dose {
    /// Curing salt to weigh: a whole number of the scale's steps.
    pub cure_salt: Mass,
    /// The dose before rounding.
    pub cure_salt_exact: Mass,
    /// Plain salt to add, not rounded; nothing where no salt target was given.
    pub plain_salt: Mass,
    /// Salt the cure brings.
    pub salt_in_cure: Mass,
    /// Salt in the meat, the cure's included: on the meat's weight for mince and rub, on meat and water for an
    /// equilibrium brine, on the weight after pumping or pick-up else.
    pub salt_in_meat: Fraction,
    /// Nitrite and nitrate really reached, computed from the rounded dose.
    pub ingoing: Ingoing,
    /// The nitrite that was aimed at, as sodium nitrite.
    pub asked: Concentration,
    /// The nitrite salt in the rounded dose.
    pub nitrite: Mass,
    /// Curing salt at the maximum that applies, not rounded.
    pub cure_salt_at_limit: Option<Mass>,
    /// The row that caps the cure.
    pub limited_by: Option<&'static Limit>,
    /// All of the pickle, where there is one.
    pub pickle: Option<Mass>,
    /// What to say beside the figures, most important first.
    pub advice: Vec<Advice>,
}

/// Plans a dose: target, caps, rounding down, recomputing.
///
/// Errors: an impossible weight or rate; a cure without nitrite; nitrate where none is permitted; a target over a
/// maximum or under a minimum; a scale that leaves less than 90 % of the dose or shows fewer than 5 steps of it.
pub fn plan(request: &DoseRequest) -> Result<Dose, CureError> {
    check(request)?;
    let most = request.scope.most(&request.label);
    if let Some(bound) = most
        && bound.row.kind == Kind::Prohibited
    {
        return Err(CureError::NitrateNotPermitted { row: bound.row });
    }
    let aim = target::aim(request, most)?;
    let exact = request.application.cure_for(aim.share, &request.label, request.salt)?;
    let cure = weighing::weighable(request, exact)?;
    let bath = request.application.with_cure(cure, &request.label, request.salt)?;
    let share = Fraction::of_one(cure.as_grams() / bath.counted.as_grams());
    let basis = request.application.weight_basis();
    let at_limit =
        most.and_then(|bound| request.application.cure_for(bound.share, &request.label, request.salt).ok());
    let mut dose = Dose {
        cure_salt: cure,
        cure_salt_exact: exact,
        plain_salt: bath.plain_salt,
        salt_in_cure: part(cure, request.label.salt()),
        salt_in_meat: bath.salt_in_meat,
        ingoing: Ingoing::of_share(&request.label, share, basis),
        asked: Concentration::ingoing(aim.mg_per_kg, AmountBasis::SodiumNitrite, basis),
        nitrite: part(cure, request.label.nitrite()),
        cure_salt_at_limit: at_limit,
        limited_by: most.map(|bound| bound.row),
        pickle: bath.pickle,
        advice: aim.advice,
    };
    let remarks = remarks::of(request, &dose, most);
    dose.advice.extend(remarks);
    Ok(dose)
}

fn check(request: &DoseRequest) -> Result<(), CureError> {
    request.application.check()?;
    let step = request.scale_step.as_grams();
    if !(FINEST_STEP_G..=COARSEST_STEP_G).contains(&step) {
        return Err(CureError::OutOfRange {
            what: "step of the scale",
            range: "0.001 g to 1 kg",
            example: "scale:0.1 g",
        });
    }
    match request.salt {
        Some(target) if !(target.as_one() > 0.0 && target.as_one() <= 0.30) => {
            Err(CureError::OutOfRange { what: "salt", range: "above 0 % to 30 %", example: "salt:2.5%" })
        }
        _ => Ok(()),
    }
}

fn part(of: Mass, fraction: Fraction) -> Mass {
    Mass::grams(of.as_grams() * fraction.as_one())
}
