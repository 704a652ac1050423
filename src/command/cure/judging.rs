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
        reply.note(
            Level::Notice,
            say("cure.salty", &[("salt", &format::percent(salt))]),
        );
    }
    if scope.country.is_none() {
        reply.note(Level::Notice, say("cure.no_country", &[]));
    }
}

/// Whether a row asks for ascorbate beside the nitrite: a requirement that no weight of cure can meet.
fn asks_for_ascorbate(finding: &Finding) -> bool {
    finding
        .advice
        .as_ref()
        .is_some_and(|said| said.key == advice::ASCORBATE)
}

/// The verdict in a few words, for the headline: "at the US limit".
pub(in crate::command) fn in_words(findings: &[Finding], ingoing: &Ingoing, scope: &Scope) -> String {
    if ingoing.is_nothing() {
        return say("cure.verdict.nothing", &[]);
    }
    let counting: Vec<&Finding> = findings.iter().filter(|finding| is_limit(finding)).collect();
    let of = |outcome: Outcome| names(counting.iter().filter(move |finding| finding.outcome == outcome));
    let (over, at) = (of(Outcome::Over), of(Outcome::AtLimit));
    let (within, unverified) = (of(Outcome::Within), of(Outcome::UnderUnverified));
    let everywhere = scope.country.is_none();
    let base = if !over.is_empty() {
        one_or_several("cure.verdict.over", "cure.verdict.over_several", &over)
    } else if !at.is_empty() {
        one_or_several("cure.verdict.at", "cure.verdict.at_several", &at)
    } else if !within.is_empty() && everywhere {
        say("cure.verdict.within_all", &[])
    } else if !within.is_empty() {
        one_or_several("cure.verdict.within", "cure.verdict.within_several", &within)
    } else if !unverified.is_empty() {
        one_or_several(
            "cure.verdict.unverified",
            "cure.verdict.unverified_several",
            &unverified,
        )
    } else {
        let rulebook = scope
            .country
            .as_ref()
            .map_or("", |country| country.rulebook().name());
        say("cure.verdict.none", &[("country", rulebook)])
    };
    match below(findings, everywhere) {
        Some(country) => format!("{base}{}", say("cure.verdict.below", &[("country", country)])),
        None => base,
    }
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
    findings
        .iter()
        .find(counts)
        .map(|finding| finding.limit.rulebook.name())
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
