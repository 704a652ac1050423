//! A finding in words.

use super::wording::say;
use crate::curing::Finding;
use crate::curing::Outcome;
use crate::curing::Standing;
use crate::curing::rule::Limit;
use crate::quantity::format;

/// The outcome's stable word in the door for scripts.
pub const fn outcome_word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Within => "within",
        Outcome::UnderUnverified => "under_unverified",
        Outcome::NotJudged => "not_judged",
        Outcome::AtLimit => "at_limit",
        Outcome::Over => "over",
        Outcome::BelowRequired => "below_required",
    }
}

/// The standing's stable word in the door for scripts.
pub const fn standing_word(standing: Standing) -> &'static str {
    match standing {
        Standing::Read => "read",
        Standing::SecondHand => "second_hand",
        Standing::Derived => "derived",
        Standing::FromMemory => "from_memory",
        Standing::Practice => "practice",
    }
}

/// The whole finding in one or two sentences: what was measured, the limit, the source, what to do.
pub fn sentence(finding: &Finding) -> String {
    let verdict = verdict(finding);
    match &finding.advice {
        Some(advice) => {
            let holes: Vec<(&str, &str)> = advice.holes.iter().map(|(name, text)| (*name, text.as_str())).collect();
            format!("{verdict} {}", say(advice.key, &holes))
        }
        None => verdict,
    }
}

fn verdict(finding: &Finding) -> String {
    let limit = &finding.limit;
    let measured = finding.measured.map_or_else(String::new, |value| with_unit(value, limit));
    let holes = [
        ("country", limit.rulebook.name()),
        ("figure", &say(&format!("figure_name.{}", limit.figure), &[])),
        ("measured", &measured),
        ("limit", &printed(limit)),
        ("source", &source(limit)),
        ("check", limit.place.as_str()),
        ("scope", limit.scope.as_str()),
    ];
    let key = match finding.outcome {
        Outcome::Within => "finding.within",
        Outcome::UnderUnverified => "finding.under_unverified",
        Outcome::NotJudged if finding.measured.is_some() => "finding.named_only",
        Outcome::NotJudged => "finding.not_judged",
        Outcome::AtLimit => "finding.at_limit",
        Outcome::Over => "finding.over",
        Outcome::BelowRequired => "finding.below_required",
    };
    say(key, &holes)
}

/// The limit as its source prints it, with unit and basis.
pub fn printed(limit: &Limit) -> String {
    if limit.printed.is_empty() {
        return say("finding.no_figure", &[]);
    }
    let unit = say(&format!("unit_name.{}", limit.unit.replace('/', "_per_")), &[]);
    format!("{} {unit}", limit.printed)
}

fn with_unit(value: f64, limit: &Limit) -> String {
    let unit = say(&format!("unit_name.{}", limit.unit.replace('/', "_per_")), &[]);
    format!("{} {unit}", format::mg_per_kg(value))
}

/// The source's short name with its standing in words.
fn source(limit: &Limit) -> String {
    let standing = say(&format!("standing.{}", standing_word(limit.standing)), &[]);
    format!("{}, {standing}", limit.source)
}
