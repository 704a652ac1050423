//! Ids and words that scripts rely on. They may be added to; none changes its meaning or goes away.

use std::collections::BTreeSet;
use tallyhook::curing::{Level, Outcome, Standing, rulebook};
use tallyhook::reply::finding::{outcome_word, standing_word};
use tallyhook::reply::{json, wording};

const FIGURES: [&str; 25] = [
    "ingoing_nitrite_as_sodium_nitrite",
    "ingoing_nitrite_as_ion",
    "ingoing_nitrate_as_sodium_nitrate",
    "ingoing_nitrate_as_ion",
    "cure_salt",
    "plain_salt",
    "salt_in_meat",
    "cure_salt_at_limit",
    "meat_to_reach_limit",
    "brine_weight",
    "nitrite_needed",
    "target_weight",
    "target_on_scale",
    "loss",
    "left_to_lose",
    "degree_hours_us",
    "degree_hours_canada",
    "limit_us",
    "limit_canada",
    "highest_temperature",
    "hours_counted",
    "hours_left",
    "stage",
    "stage_hours",
    "ph_last",
];

#[test]
fn every_figure_has_its_label() {
    for id in FIGURES.iter().chain(&["weight_last", "cure_days", "rest_days"]) {
        assert!(wording::templates().contains_key(&format!("label.{id}")), "{id}");
    }
}

#[test]
fn words_of_findings_stay() {
    let outcomes = [
        Outcome::Within,
        Outcome::UnderUnverified,
        Outcome::NotJudged,
        Outcome::AtLimit,
        Outcome::Over,
        Outcome::BelowRequired,
    ];
    assert_eq!(
        outcomes.map(outcome_word),
        ["within", "under_unverified", "not_judged", "at_limit", "over", "below_required"]
    );
    let standings =
        [Standing::Read, Standing::SecondHand, Standing::FromMemory, Standing::Derived, Standing::Practice];
    assert_eq!(standings.map(standing_word), ["read", "second_hand", "from_memory", "derived", "practice"]);
    let levels = [Level::None, Level::Notice, Level::Caution, Level::Warning, Level::Danger];
    let words = levels.map(|level| serde_json::to_value(level).unwrap());
    assert_eq!(words, ["none", "notice", "caution", "warning", "danger"]);
    assert_eq!(json::DOOR, 1);
}

#[test]
fn rules_keep_their_ids() {
    let ids: BTreeSet<&str> = rulebook::all().iter().map(|limit| limit.id.as_str()).collect();
    for id in [
        "us.comminuted",
        "us.dry",
        "us.pickle",
        "us.finished",
        "us.bacon.pumped",
        "us.bacon.immersion",
        "us.bacon.dry",
        "us.min.keep_refrigerated",
        "eu.8.3.1.nitrite",
        "eu.8.3.1.nitrite.old",
        "ca.cure_range",
        "degree_hours.us",
        "degree_hours.canada",
        "ph.end_point",
    ] {
        assert!(ids.contains(id), "{id}");
    }
}
