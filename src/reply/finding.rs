//! A finding in words.

use super::rows;
use super::wording::say;
use crate::curing::Finding;
use crate::curing::Outcome;
use crate::curing::Standing;
use crate::curing::finding::Advice;
use crate::curing::rule::{Comparator, Kind, Limit, Rulebook};
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
    match advice(finding) {
        Some(advice) => format!("{} {advice}", verdict(finding)),
        None => verdict(finding),
    }
}

/// What to do, or why it was not judged.
pub fn advice(finding: &Finding) -> Option<String> {
    finding.advice.as_ref().map(advised)
}

/// An advice in words. A hole that names a row is filled with what the row prints.
pub fn advised(advice: &Advice) -> String {
    let filling = |text: &String| Advice::row_of(text).map_or_else(|| text.clone(), rows::printed);
    let filled: Vec<(&str, String)> =
        advice.holes.iter().map(|(name, text)| (*name, filling(text))).collect();
    let holes: Vec<(&str, &str)> = filled.iter().map(|(name, text)| (*name, text.as_str())).collect();
    say(advice.key, &holes)
}

/// What was measured, the limit and the source.
pub fn verdict(finding: &Finding) -> String {
    let limit = &finding.limit;
    let measured = measured_shown(finding);
    let holes = [
        ("country", &*prefix(limit)),
        ("figure", &say(&format!("figure_name.{}", limit.figure), &[])),
        ("measured", &measured),
        ("limit", &printed(limit)),
        ("source", &source(limit)),
        ("standing", &standing(limit)),
        ("check", limit.source.as_str()),
        ("scope", &rows::scope(limit)),
    ];
    capitalised(&say(key(finding), &holes))
}

/// What was measured, with unit; empty where nothing was.
pub fn measured_shown(finding: &Finding) -> String {
    let limit = &finding.limit;
    finding.measured.map_or_else(String::new, |value| with_unit(&measured(value, limit), &limit.unit))
}

/// What a row speaks of: "US: ingoing nitrite".
pub fn figure_shown(limit: &Limit) -> String {
    capitalised(&format!("{}{}", prefix(limit), say(&format!("figure_name.{}", limit.figure), &[])))
}

/// The outcome in words, for a column; of a minimum, of a level and of a prohibition in their own.
pub fn outcome_shown(finding: &Finding) -> String {
    let is_met = matches!(finding.outcome, Outcome::Within | Outcome::UnderUnverified);
    match finding.limit.kind {
        Kind::Minimum if is_met => say("outcome.enough", &[]),
        Kind::Required if is_met => say("outcome.at_level", &[]),
        Kind::Prohibited if is_met => say("outcome.none_goes_in", &[]),
        Kind::Prohibited if finding.outcome == Outcome::Over => say("outcome.not_permitted", &[]),
        _ => say(&format!("outcome.{}", outcome_word(finding.outcome)), &[]),
    }
}

/// The figure of a row, for a column: a minimum says that it is one.
pub fn limit_shown(limit: &Limit) -> String {
    match limit.kind {
        Kind::Minimum => say("outcome.at_least", &[("figure", &printed(limit))]),
        _ => printed(limit),
    }
}

/// Where the row stands in its source, or which text to check.
pub fn full_source(finding: &Finding) -> String {
    let limit = &finding.limit;
    say(
        "finding.where",
        &[
            ("rule", &limit.id),
            ("where", &limit.place),
            ("scope", &rows::scope(limit)),
            ("checked", &checked(limit)),
        ],
    )
}

/// Degree-hours to one decimal, everything else to two; more where it would print as the limit and is not at it.
fn measured(value: f64, limit: &Limit) -> String {
    let most_decimals = if limit.unit.ends_with("_h") { 1 } else { 2 };
    match limit.value {
        Some(figure) => format::beside(value, figure, most_decimals),
        None => format::trimmed(value, most_decimals),
    }
}

/// A sentence begins with a capital letter, except where it begins with pH.
fn capitalised(sentence: &str) -> String {
    if sentence.starts_with("pH") {
        return sentence.to_owned();
    }
    let mut letters = sentence.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    first.chain(letters).collect()
}

/// An end point, a "less than" rule, a minimum, a required level and a prohibition are spoken of in their own words.
fn key(finding: &Finding) -> &'static str {
    let limit = &finding.limit;
    match (limit.kind, finding.outcome) {
        (Kind::Minimum, Outcome::Within | Outcome::UnderUnverified) => return "finding.enough",
        (Kind::Minimum, Outcome::AtLimit) => return "finding.just_enough",
        (Kind::Required, Outcome::Within | Outcome::UnderUnverified) => return "finding.at_required_level",
        (Kind::Required, Outcome::Over) => return "finding.above_required",
        (Kind::Prohibited, Outcome::Within | Outcome::UnderUnverified) => return "finding.none_goes_in",
        (Kind::Guide, Outcome::Over) => return "finding.guide_over",
        (Kind::Guide, Outcome::BelowRequired) => return "finding.guide_under",
        (Kind::Guide, Outcome::AtLimit) => return "finding.guide_at",
        (Kind::Prohibited, Outcome::Over) => return "finding.not_permitted",
        _ => {}
    }
    match finding.outcome {
        Outcome::Within | Outcome::AtLimit | Outcome::UnderUnverified if limit.figure == "ph" => {
            "finding.end_point_reached"
        }
        Outcome::NotJudged if limit.figure == "ph" && finding.measured.is_some() => "finding.clock_runs_on",
        Outcome::Over if limit.figure == "ph" => "finding.not_at_end_point",
        Outcome::Over if limit.comparator == Comparator::LessThan => "finding.exceeded",
        Outcome::Within => "finding.within",
        Outcome::UnderUnverified => "finding.under_unverified",
        Outcome::NotJudged if finding.measured.is_some() => "finding.named_only",
        Outcome::NotJudged => "finding.not_judged",
        Outcome::AtLimit => "finding.at_limit",
        Outcome::Over => "finding.over",
        Outcome::BelowRequired => "finding.below_required",
    }
}

/// The country a row belongs to; nothing for the trade's own tables, whose figures name their system.
pub fn country(limit: &Limit) -> &'static str {
    match (limit.rulebook, limit.figure.as_str()) {
        (Rulebook::Trade, "degree_hours_us") => Rulebook::Us.name(),
        (Rulebook::Trade, "degree_hours_canada") => Rulebook::Ca.name(),
        (rulebook, _) => rulebook.name(),
    }
}

fn prefix(limit: &Limit) -> String {
    if limit.rulebook == Rulebook::Trade { String::new() } else { format!("{}: ", limit.rulebook.name()) }
}

/// The limit as its source prints it, with unit.
pub fn printed(limit: &Limit) -> String {
    if limit.printed.is_empty() {
        return say("finding.no_figure", &[]);
    }
    with_unit(bare(&rows::printed(limit)), &limit.unit)
}

/// When somebody last looked.
fn checked(limit: &Limit) -> String {
    if limit.checked_on == "never" { say("finding.never_checked", &[]) } else { limit.checked_on.clone() }
}

/// "less than 1200" and "5.3 or less" without the words: the sentence around them says it.
fn bare(printed: &str) -> &str {
    printed.trim_start_matches("less than ").trim_end_matches(" or less")
}

/// A number with its unit, unless the unit already stands in it, as in "2 h above 15 °C".
fn with_unit(number: &str, unit: &str) -> String {
    let shown = match unit {
        "degF_h" => say("unit_name.degF_h", &[]),
        "degC_h" => say("unit_name.degC_h", &[]),
        "points" => say("unit_name.points", &[]),
        "weeks" => say("unit_name.weeks", &[]),
        "d/inch" => say("unit_name.days_per_inch", &[]),
        "of cure time" => say("unit_name.of_cure_time", &[]),
        "% in water" => say("unit_name.percent_in_water", &[]),
        "% of the expected" => say("unit_name.percent_of_expected", &[]),
        "pH" | "1" | "aw" => return number.to_owned(),
        other if number.split(' ').any(|word| word == other) => return number.to_owned(),
        other => other.to_owned(),
    };
    format!("{number} {shown}")
}

/// The source's short name with its standing in words. A custom without a source says so once.
pub fn source(limit: &Limit) -> String {
    if limit.standing == Standing::Practice {
        return standing(limit);
    }
    format!("{}, {}", limit.source, standing(limit))
}

/// How well a figure is known, in words.
pub fn standing_shown(standing: Standing) -> String {
    say(&format!("standing.{}", standing_word(standing)), &[])
}

fn standing(limit: &Limit) -> String {
    standing_shown(limit.standing)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curing::rulebook;

    fn said(rule: &str, measured: f64) -> String {
        let limit = rulebook::by_id(rule).expect("a rule of this id");
        sentence(&Finding::judge(limit, measured))
    }

    #[test]
    fn a_minimum_is_not_spoken_of_as_a_maximum() {
        let enough = said("us.min.keep_refrigerated", 150.0);
        assert!(enough.contains("150 mg/kg is above the 120 mg/kg asked for"), "{enough}");
        let just = said("trade.salt.sausage", 2.5);
        assert_eq!(just, "Salt 2.5 % is just the 2.5 % asked for (common practice, no source).");
    }

    #[test]
    fn a_figure_a_hair_from_its_limit_does_not_print_as_the_limit() {
        let over = said("us.comminuted", 156.2501);
        assert!(over.contains("ingoing nitrite 156.251 mg/kg is over"), "{over}");
        let under = said("us.pickle", 199.999);
        assert!(under.contains("ingoing nitrite 199.999 mg/kg is within"), "{under}");
    }

    #[test]
    fn what_is_not_permitted_has_no_number() {
        assert!(said("us.nitrate.scope", 0.0).contains("no ingoing nitrate is permitted, and none goes in"));
        assert!(said("us.nitrate.scope", 100.0).contains("100 mg/kg, and none is permitted"));
    }

    #[test]
    fn a_required_level_is_no_limit() {
        let level = said("us.bacon.pumped", 119.8);
        assert!(level.contains("inside what is accepted around the required 120 mg/kg"), "{level}");
    }

    #[test]
    fn a_figure_from_memory_names_what_to_check() {
        let said = said("eu.8.3.1.nitrate", 55.0);
        assert_eq!(
            said,
            "EU: ingoing nitrate 55 mg/kg is under 90 mg/kg, a figure held from memory: check Reg. (EU) 2023/2108."
        );
    }
}
