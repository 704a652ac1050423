//! Holds what goes in against every row that looks at it.

use super::advice;
use super::scope::measured;
use super::{CureLabel, Ingoing, Method, Scope, whole_dose};
use crate::curing::finding::{Advice, Finding, Level, Outcome};
use crate::curing::rule::{Kind, Limit, Rulebook};
use crate::quantity::{AmountBasis, Fraction, compare, format};
use std::cmp::Ordering;

/// The usual target in mg/kg as sodium nitrite, where the country allows it: how a quarter ounce in 100 lb is
/// printed (9 CFR 424.21(c)). Project rule.
pub const USUAL_TARGET: f64 = 156.0;

/// The same quarter ounce, exact: a dose at this figure is not over the usual target.
pub const USUAL_TARGET_EXACT: f64 = 156.25;

/// A cure to be judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// Product, methods, country, day.
    pub scope: Scope,
    /// What goes in; the sum where two methods were used on one piece.
    pub ingoing: Ingoing,
    /// The label, where one cure was used: it lets a swap of two cures be seen.
    pub label: Option<CureLabel>,
    /// Salt in the meat, where known.
    pub salt_in_meat: Option<Fraction>,
}

/// The usual target here, mg/kg as sodium nitrite: 156 or the country's maximum, whichever is lower; a required
/// level is itself the target.
pub fn usual_target(scope: &Scope) -> f64 {
    if let Some(level) = scope.required().and_then(|row| row.value) {
        return level;
    }
    lowest_nitrite_maximum(scope).map_or(USUAL_TARGET, |most| most.min(USUAL_TARGET))
}

/// The lowest maximum for nitrite here, as mg/kg of sodium nitrite.
pub(super) fn lowest_nitrite_maximum(scope: &Scope) -> Option<f64> {
    scope
        .rows()
        .into_iter()
        .filter(|row| row.kind == Kind::Maximum && row.figure != "nitrate" && scope.binds(row))
        .filter_map(as_sodium_nitrite)
        .min_by(f64::total_cmp)
}

/// A row's figure as mg/kg of sodium nitrite; a row that counts the weight of any salt counts sodium's as it is.
pub(super) fn as_sodium_nitrite(row: &Limit) -> Option<f64> {
    let value = row.value?;
    Some(match row.counted_as {
        Some(basis) if basis.is_nitrite() => {
            value * AmountBasis::SodiumNitrite.molar_mass() / basis.molar_mass()
        }
        _ => value,
    })
}

/// Every row that was looked at, the loudest first.
pub fn judge(case: &Case) -> Vec<Finding> {
    let mut findings: Vec<Finding> = case
        .scope
        .rows()
        .into_iter()
        .filter(|row| row.figure != "water_activity" || case.ingoing.is_nothing())
        .map(|row| look_at(case, row))
        .collect();
    findings.extend(case.scope.salt_rows().into_iter().filter_map(|row| salt(case, row)));
    sort(&mut findings);
    whole_dose::warn_of_unlisted_nitrate(case, &mut findings);
    whole_dose::warn(case, &mut findings);
    sort(&mut findings);
    findings
}

/// What one row says.
fn look_at(case: &Case, row: &'static Limit) -> Finding {
    let Some(figure) = measured(row, &case.ingoing).filter(|_| case.scope.binds(row)) else {
        return without_measure(case, row);
    };
    if let Some(reason) = reason_not_to_judge(case, row) {
        return Finding::not_judged(row, reason);
    }
    let finding = Finding::judge(row, figure);
    match finding.outcome {
        Outcome::Over => over(case, row, figure, finding),
        Outcome::BelowRequired => below(row, figure, finding),
        _ => under(case, row, figure, finding),
    }
}

/// A row whose figure is not an added amount, or that binds somebody else.
fn without_measure(case: &Case, row: &'static Limit) -> Finding {
    let finding = Finding::not_judged(row, note(row).unwrap_or(Advice::plain(advice::INFORMATION)));
    // Whole meat without nitrite stands or falls with a finished figure that nobody has measured yet.
    if row.figure == "water_activity" && case.ingoing.is_nothing() {
        finding.at_least(Level::Warning)
    } else {
        finding
    }
}

fn reason_not_to_judge(case: &Case, row: &'static Limit) -> Option<Advice> {
    let by_kind = match row.kind {
        Kind::Finished => advice::FINISHED,
        Kind::Residual => advice::RESIDUAL,
        Kind::Information => advice::INFORMATION,
        _ if row.weight.is_some_and(|weight| weight != case.ingoing.weight()) => advice::OTHER_BASIS,
        _ => return None,
    };
    Some(note(row).filter(|_| by_kind != advice::OTHER_BASIS).unwrap_or(Advice::plain(by_kind)))
}

fn over(case: &Case, row: &'static Limit, figure: f64, finding: Finding) -> Finding {
    if row.kind == Kind::Prohibited {
        return finding.advising(Advice::plain(advice::NITRATE_NOT_IN_BACON));
    }
    if row.kind == Kind::Required {
        return loud(row.band_high, figure, finding).advising(band(row, figure));
    }
    let key =
        if case.scope.methods == [Method::Comminuted] { advice::OVER_MIXABLE } else { advice::OVER_WHOLE };
    loud(row.value, figure, finding).advising(advice::against(key, figure, row))
}

fn loud(maximum: Option<f64>, figure: f64, finding: Finding) -> Finding {
    finding.at_least(maximum.map_or(Level::Warning, |most| Level::over(figure, most)))
}

fn below(row: &'static Limit, figure: f64, finding: Finding) -> Finding {
    if row.kind == Kind::Required {
        return finding.advising(band(row, figure));
    }
    // A policy for what is kept refrigerated: a dried product that keeps on a shelf has no minimum, so some
    // nitrite below it is not yet the case the policy is about. None, or next to none, is.
    let little = whole_dose::useful_nitrite()
        .is_some_and(|useful| compare::with_tolerance(figure, useful) == Ordering::Less);
    let level = if row.rulebook == Rulebook::Us && !little { Level::Caution } else { Level::Warning };
    finding.at_level(level).advising(advice::against(advice::BELOW_MINIMUM, figure, row))
}

fn band(row: &Limit, figure: f64) -> Advice {
    let end = |value: Option<f64>| value.map_or_else(String::new, |value| format::trimmed(value, 2));
    let mut advice = advice::against(advice::OUTSIDE_BAND, figure, row);
    advice.holes.push(("low", end(row.band_low)));
    advice.holes.push(("high", end(row.band_high)));
    advice
}

/// Within, at the limit, or under an unverified figure.
fn under(case: &Case, row: &'static Limit, figure: f64, finding: Finding) -> Finding {
    let finding = match note(row) {
        Some(note) => finding.advising(note),
        None => finding,
    };
    let country = case.scope.country.as_ref();
    let stricter_nearby = country.is_some_and(|country| country.code() == "DK") && row.states.is_empty();
    let finding = if stricter_nearby {
        finding.unvouched().advising(Advice::plain(advice::STRICTER_NATIONAL))
    } else {
        finding
    };
    if row.kind != Kind::Maximum {
        return finding;
    }
    let lawful_in_bacon = matches!(row.rulebook, Rulebook::Gb | Rulebook::Eu) && row.figure == "nitrate";
    if lawful_in_bacon && figure > 0.0 && case.scope.product == super::Product::Bacon {
        return finding.at_least(Level::Caution).advising(Advice::plain(advice::NITRATE_IN_BACON));
    }
    if row.figure != "nitrate" {
        return above_usual(case, row, finding);
    }
    finding
}

/// CAUTION with both numbers between the usual target and a higher row.
fn above_usual(case: &Case, row: &Limit, finding: Finding) -> Finding {
    let nitrite = case.ingoing.nitrite_as_sodium_nitrite().mg_per_kg();
    let usual = usual_target(&case.scope);
    let line = if usual < USUAL_TARGET { usual } else { USUAL_TARGET_EXACT };
    if compare::with_tolerance(nitrite, line) != Ordering::Greater {
        return finding;
    }
    let mut advice = advice::against(advice::ABOVE_USUAL, nitrite, row);
    advice.holes.push(("usual", format::trimmed(usual, 2)));
    finding.at_least(Level::Caution).advising(advice)
}

fn salt(case: &Case, row: &'static Limit) -> Option<Finding> {
    let Some(salt) = case.salt_in_meat else {
        let unknown = Finding::not_judged(row, Advice::plain(advice::SALT_UNKNOWN));
        return (row.rulebook != Rulebook::Trade).then_some(unknown);
    };
    let finding = Finding::judge(row, salt.as_percent());
    Some(match finding.outcome {
        Outcome::BelowRequired => finding.advising(advice::against(advice::SALT_LOW, salt.as_percent(), row)),
        _ => finding,
    })
}

fn note(row: &'static Limit) -> Option<Advice> {
    row.note.as_deref().map(Advice::plain)
}

/// Loudest first; then what is broken, what is at its limit, what is under it (the nearest first), and last what
/// was not judged. Rows that say the same stay in the order of the rulebooks.
fn sort(findings: &mut [Finding]) {
    findings.sort_by(|a, b| {
        b.level
            .cmp(&a.level)
            .then_with(|| rank(a.outcome).cmp(&rank(b.outcome)))
            .then_with(|| nearness(b).total_cmp(&nearness(a)))
    });
}

const fn rank(outcome: Outcome) -> u8 {
    match outcome {
        Outcome::BelowRequired | Outcome::Over => 0,
        Outcome::AtLimit => 1,
        Outcome::UnderUnverified | Outcome::Within => 2,
        Outcome::NotJudged => 3,
    }
}

/// How much of a maximum is used; zero for every other kind.
fn nearness(finding: &Finding) -> f64 {
    match (finding.limit.kind, finding.measured, finding.limit.value) {
        (Kind::Maximum, Some(measured), Some(value)) if value > 0.0 => measured / value,
        (Kind::Required, ..) => 1.0,
        _ => 0.0,
    }
}
