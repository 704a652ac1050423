//! A cure as the record keeps it, and as it counts again when another follows on the same meat.

use super::applied::Applied;
use super::judged::{Earlier, Judged};
use crate::curing::Outcome;
use crate::curing::cure::{CureLabel, Ingoing, Method};
use crate::quantity::{Fraction, WeightBasis};
use crate::record::batch::DoseVerdict;
use crate::record::{BatchState, Dose};
use crate::reply::finding::outcome_word;

/// The cures the batch already has.
pub(in crate::command) fn earlier(state: &BatchState) -> Vec<Earlier> {
    state.doses.iter().filter_map(|dose| of_record(dose, WeightBasis::GreenWeight)).collect()
}

/// What all cures of a batch bring together, and by which methods; `None` where none is kept.
pub(in crate::command) fn total(state: &BatchState) -> Option<(Ingoing, Vec<Method>)> {
    if let [only] = state.doses.as_slice() {
        // A piece in balance with its brine holds what is on both together; several methods add up on the meat.
        let basis = match Method::parse(&only.method)? {
            Method::Immersion => WeightBasis::MeatAndPickle,
            _ => WeightBasis::GreenWeight,
        };
        let of = of_record(only, basis)?;
        return Some((of.ingoing, vec![of.method]));
    }
    let mut all = earlier(state).into_iter();
    let first = all.next()?;
    Some(all.fold((first.ingoing, vec![first.method]), |(sum, mut methods), next| {
        if !methods.contains(&next.method) {
            methods.push(next.method);
        }
        (sum.plus(next.ingoing), methods)
    }))
}

/// A kept dose as it counts in a sum. The cation of its nitrate is not kept: as sodium it counts fullest.
fn of_record(dose: &Dose, basis: WeightBasis) -> Option<Earlier> {
    let label = CureLabel::new(dose.nitrite, dose.nitrate).ok()?;
    let share = if dose.nitrite.as_one() > 0.0 {
        dose.ingoing_nitrite_mg_per_kg / 1e6 / dose.nitrite.as_one()
    } else if dose.nitrate.as_one() > 0.0 {
        dose.ingoing_nitrate_mg_per_kg / 1e6 / dose.nitrate.as_one()
    } else {
        0.0
    };
    let ingoing = Ingoing::of_share(&label, Fraction::of_one(share), basis);
    Some(Earlier { method: Method::parse(&dose.method)?, ingoing })
}

/// The dose with what the rules say of it, to be kept.
pub(in crate::command) fn dose(applied: &Applied, judged: &Judged) -> Dose {
    let scope = &judged.scope;
    let looked_at = judged.findings.iter().filter(|finding| finding.outcome != Outcome::NotJudged);
    Dose {
        method: judged.method().word().to_owned(),
        product: scope.product.word().to_owned(),
        meat: judged.meat,
        cure: applied.cure,
        nitrite: applied.label.nitrite(),
        nitrate: applied.label.nitrate(),
        salt: applied
            .plain_salt(judged.meat)
            .map(|plain| Fraction::of_one(plain.as_grams() / judged.meat.as_grams())),
        ingoing_nitrite_mg_per_kg: judged.ingoing.nitrite_as_sodium_nitrite().mg_per_kg(),
        ingoing_nitrate_mg_per_kg: judged.ingoing.nitrate_as_sodium_nitrate().mg_per_kg(),
        country: scope.country.as_ref().map_or_else(String::new, |country| country.code().to_owned()),
        verdicts: looked_at
            .map(|finding| DoseVerdict {
                rule: finding.limit.id.clone(),
                country: finding.limit.rulebook.name().to_owned(),
                outcome: outcome_word(finding.outcome).to_owned(),
            })
            .collect(),
    }
}
