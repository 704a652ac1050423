//! A verdict in a reply: the findings, the headline's words for them, and what goes with every verdict.

use crate::curing::cure::{Ingoing, Scope, advice};
use crate::curing::finding::{Finding, Level, Outcome};
use crate::curing::rule::{Kind, Rulebook};
use crate::quantity::{Fraction, format};
use crate::reply::{Reply, say};

/// Salt above this, in percent of the meat, most people find too salty. Common practice, no source.
const SALTY_PERCENT: f64 = 4.0;

/// Puts a verdict into a reply.
pub(in crate::command) fn add(
    reply: &mut Reply,
    findings: Vec<Finding>,
    scope: &Scope,
    salt: Option<Fraction>,
) {
    if findings.iter().any(asks_for_ascorbate) {
        reply.note(Level::Notice, say(advice::ASCORBATE, &[]));
    }
    reply.findings = findings;
    reply.judges = true;
    if let Some(salt) = salt.filter(|salt| salt.as_percent() > SALTY_PERCENT) {
        reply.note(Level::Notice, say("cure.salty", &[("salt", &format::percent(salt))]));
    }
    if scope.country.is_none() {
        reply.note(Level::Notice, say("cure.no_country", &[]));
    }
}

/// Whether a row asks for ascorbate beside the nitrite: a requirement that no weight of cure can meet.
fn asks_for_ascorbate(finding: &Finding) -> bool {
    finding.advice.as_ref().is_some_and(|said| said.key == advice::ASCORBATE)
}

/// The verdict in a few words, for the headline: "at the US limit".
pub(in crate::command) fn in_words(findings: &[Finding], ingoing: &Ingoing, scope: &Scope) -> String {
    if ingoing.is_nothing() {
        return say("cure.verdict.nothing", &[]);
    }
    let counting: Vec<&Finding> = findings.iter().filter(|finding| is_limit(finding)).collect();
    let over = names(counting.iter().filter(|finding| finding.outcome == Outcome::Over));
    if ingoing.nitrite_by_weight() <= 0.0 {
        let first = say("cure.verdict.nitrate_only", &[]);
        return if over.is_empty() { first } else { both(&first, &over_words(&over)) };
    }
    let everywhere = scope.country.is_none();
    let base = if over.is_empty() { under(&counting, scope) } else { over_words(&over) };
    match below(findings, everywhere) {
        Some(country) => format!("{base}{}", say("cure.verdict.below", &[("country", country)])),
        None => base,
    }
}

fn over_words(over: &[&str]) -> String {
    one_or_several("cure.verdict.over", "cure.verdict.over_several", over)
}

fn both(first: &str, then: &str) -> String {
    say("cure.verdict.both", &[("first", first), ("then", then)])
}

/// Where nothing is over: first the rulebooks of which a figure is held from memory, then those that can be vouched
/// for. A rulebook with one unverified row is among the first only.
fn under(counting: &[&Finding], scope: &Scope) -> String {
    let unverified = names(counting.iter().filter(|finding| is_unverified(finding)));
    let vouched = |outcome: Outcome| -> Vec<&'static str> {
        let mut of = names(counting.iter().filter(|finding| finding.outcome == outcome));
        of.retain(|name| !unverified.contains(name));
        of
    };
    let (at, within) = (vouched(Outcome::AtLimit), vouched(Outcome::Within));
    let first = (!unverified.is_empty())
        .then(|| one_or_several("cure.verdict.unverified", "cure.verdict.unverified_several", &unverified));
    let then = if !at.is_empty() {
        Some(one_or_several("cure.verdict.at", "cure.verdict.at_several", &at))
    } else if !within.is_empty() && scope.country.is_none() && first.is_none() {
        Some(say("cure.verdict.within_all", &[]))
    } else if within.is_empty() {
        None
    } else {
        Some(one_or_several("cure.verdict.within", "cure.verdict.within_several", &within))
    };
    match (first, then) {
        (Some(first), Some(then)) => both(&first, &then),
        (Some(only), None) | (None, Some(only)) => only,
        (None, None) => {
            let rulebook = scope.country.as_ref().map_or("", |country| country.rulebook().name());
            say("cure.verdict.none", &[("country", rulebook)])
        }
    }
}

/// Whether something is held against a figure that nobody can vouch for. Nothing at all is under any figure.
fn is_unverified(finding: &Finding) -> bool {
    let at_a_guess = finding.outcome == Outcome::AtLimit && !finding.limit.standing.may_vouch();
    let counts = finding.measured.is_some_and(|measured| measured > 0.0);
    counts && (finding.outcome == Outcome::UnderUnverified || at_a_guess)
}

/// Whether the row caps what goes in.
fn is_limit(finding: &Finding) -> bool {
    let limit = &finding.limit;
    let caps = matches!(limit.kind, Kind::Maximum | Kind::Required | Kind::Prohibited);
    caps && is_of_the_cure(finding) && finding.outcome != Outcome::NotJudged
}

fn is_of_the_cure(finding: &Finding) -> bool {
    finding.limit.rulebook != Rulebook::Trade && finding.limit.figure.starts_with("nitr")
}

/// The rulebook whose minimum or required level is missed. Where no country is set, only a loud one counts: the
/// rulebooks contradict one another.
fn below(findings: &[Finding], everywhere: bool) -> Option<&'static str> {
    let counts = |finding: &&Finding| {
        is_of_the_cure(finding)
            && finding.outcome == Outcome::BelowRequired
            && (!everywhere || finding.level >= Level::Warning)
    };
    findings.iter().find(counts).map(|finding| finding.limit.rulebook.name())
}

fn names<'a>(findings: impl Iterator<Item = &'a &'a Finding>) -> Vec<&'static str> {
    let mut names = Vec::new();
    for finding in findings {
        let name = finding.limit.rulebook.name();
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

fn one_or_several(one: &str, several: &str, names: &[&str]) -> String {
    match names {
        [name] => say(one, &[("country", name)]),
        _ => say(several, &[("countries", &names.join(", "))]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curing::Country;
    use crate::curing::cure::{Application, Case, CureLabel, GreenWeight, Method, Product, judge};
    use crate::quantity::Mass;
    use chrono::NaiveDate;

    fn headline(country: &str, nitrite: f64, nitrate: f64, grams: f64) -> String {
        let day = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
        let scope = Scope::new(Product::Sausage, Method::Comminuted, Country::parse(country), day);
        let label = CureLabel::new(Fraction::percent(nitrite), Fraction::percent(nitrate)).unwrap();
        let meat = Application::Comminuted { meat: GreenWeight::of(Mass::grams(1000.0)) };
        let ingoing = meat.ingoing(Mass::grams(grams), &label).unwrap();
        let case = Case { scope: scope.clone(), ingoing, label: Some(label), salt_in_meat: None };
        in_words(&judge(&case), &ingoing, &scope)
    }

    #[test]
    fn a_rulebook_with_an_unverified_row_is_never_within() {
        // The EU's nitrate figure is held from memory, its nitrite figure is not.
        let memory = "not over the EU figure, which is held from memory";
        assert_eq!(headline("EU", 6.25, 4.0, 1.0), memory);
        // 1.9196 g/kg of 6.25 % is the EU's 80 mg/kg as ion; the nitrate beside it stays unverified.
        assert_eq!(headline("EU", 6.25, 0.0, 1.0), "within the EU limit");
        assert_eq!(headline("AU", 6.25, 0.0, 1.9), "not over the AU/NZ figure, which is held from memory");
        // At a figure from memory, 125 mg/kg, is no better than under it.
        assert_eq!(headline("AU", 6.25, 0.0, 2.0), "not over the AU/NZ figure, which is held from memory");
    }

    #[test]
    fn nitrate_alone_is_within_nothing() {
        assert_eq!(headline("US", 0.0, 100.0, 0.25), "no nitrite at all, only nitrate");
        assert_eq!(headline("US", 0.0, 100.0, 2.5), "no nitrite at all, only nitrate, and over the US limit");
    }

    #[test]
    fn without_a_country_the_unverified_one_is_said_first() {
        assert_eq!(
            headline("", 6.25, 0.0, 1.9),
            "not over the AU/NZ figure, which is held from memory, and within the limits of EU, GB, US, CA"
        );
        assert_eq!(
            headline("", 6.25, 4.0, 1.0),
            "not over the figures of AU/NZ, EU, which are held from memory, and within the limits of CA, GB, US"
        );
    }
}
