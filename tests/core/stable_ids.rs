//! Ids and words that scripts rely on. They may be added to; none changes its meaning or goes away.

use std::collections::BTreeSet;
use tallyhook::curing::{Level, Outcome, Standing, rulebook};
use tallyhook::reply::finding::{outcome_word, standing_word};
use tallyhook::reply::{json, wording};

const FIGURES: &[&str] = &[
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
    "weight_last",
    "cure_days",
    "rest_days",
    "dew_point",
    "vapour_pressure_deficit",
    "vapour_pressure",
    "saturation_pressure",
    "absolute_humidity",
    "humidity_ratio",
    "drying_drive",
    "treatment",
    "required_hours",
    "salt_in_mix",
    "shelf",
    "cut_mass",
    "blend_total",
    "blend_fat",
    "blend_water",
    "blend_protein",
    "casing_length",
    "casing_holds",
    "mass_per_metre",
    "pieces",
    "culture_dose",
    "ingredient_mass",
    "sugar_in_meat",
    "water_added",
    "growth",
    "growth_aw_min",
    "growth_ph_min",
    "growth_ph_max",
    "growth_temperature_min",
    "growth_temperature_max",
    "growth_salt_in_water_max",
    "clock_must_end",
    "step_temperature",
    "step_planned",
    "step_longest",
    "step_left",
    "sign",
    "culture_low",
    "culture_high",
];

#[test]
fn every_figure_has_its_label() {
    for id in FIGURES {
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

/// Every rule, in the order of the rulebooks. One is added here when a row is added, none ever changes its meaning,
/// and none is taken away.
const RULES: &[&str] = &[
    "air.fermenting",
    "air.drying",
    "air.below_activity",
    "us.comminuted",
    "us.comminuted.nitrate",
    "us.dry",
    "us.dry.nitrate",
    "us.pickle",
    "us.pickle.nitrate",
    "us.finished",
    "us.nitrate.scope",
    "us.bacon.pumped",
    "us.bacon.pumped.ascorbate",
    "us.bacon.pumped.alt1",
    "us.bacon.pumped.alt2",
    "us.bacon.immersion",
    "us.bacon.dry",
    "us.min.keep_refrigerated",
    "us.min.shelf_stable",
    "us.home",
    "us.home.nitrate",
    "salt.ham.no_nitrite",
    "eu.8.3.1.nitrite",
    "eu.8.3.1.nitrite.old",
    "eu.8.3.1.nitrate",
    "eu.8.3.1.nitrate.old",
    "eu.residual.nitrite",
    "eu.8.3.4.residual",
    "eu.8.3.4.dry_cured.nitrate.old",
    "eu.8.3.4.dry_cured_bacon.nitrite.old",
    "eu.8.3.4.dry_cured_ham.nitrite.old",
    "dk.nitrite",
    "eu.organic",
    "gb.8.3.1.nitrite",
    "gb.8.3.1.nitrate",
    "gb.dry_cured_bacon.nitrite",
    "gb.dry_cured_bacon.nitrate",
    "gb.dry_cured_ham.nitrite",
    "gb.dry_cured_ham.nitrate",
    "gb.wiltshire_bacon.nitrite",
    "gb.wiltshire_bacon.nitrate",
    "gb.wiltshire_ham.nitrite",
    "gb.wiltshire_ham.nitrate",
    "gb.raw_ham.nitrite",
    "gb.raw_ham.nitrate",
    "gb.named_sausages.nitrate",
    "ca.cure_range",
    "ca.cure_range.bacon",
    "ca.cure_range.min",
    "ca.nitrite.max",
    "ca.nitrite.max.bacon",
    "ca.nitrate",
    "ca.fermented.min",
    "salt.fermented.2.5",
    "anz.nitrite",
    "anz.nitrate",
    "codex.08.2.2",
    "codex.08.3.2",
    "t.ham.dry",
    "t.belly.dry",
    "t.inch.practice",
    "t.pickle",
    "t.pickle.belly",
    "t.pickle.heavy",
    "t.pickle.loin",
    "t.va.days",
    "t.va.inch",
    "t.ham.kg",
    "t.eu.jambon.start",
    "t.eu.jambon",
    "t.eu.jambon.rest",
    "t.eu.jambon.cold_rest",
    "t.rest.practice",
    "t.turn.practice",
    "t.temp",
    "t.soak",
    "t.thick",
    "trade.salt.sausage",
    "trade.salt.muscle",
    "degree_hours.us",
    "degree_hours.canada",
    "degree_hours.us.base",
    "degree_hours.canada.base",
    "ph.end_point",
    "ph.end_point.usable",
    "ph.end_point.provisional",
    "ph.same_time_spread",
    "ph.packet_thickness",
    "ph.meter.age.full",
    "ph.meter.age.usable",
    "ph.meter.slope.full",
    "ph.meter.slope.usable",
    "ph.meter.slope.lowest",
    "ph.meter.slope.highest",
    "ph.meter.offset",
    "ph.style.slow",
    "ph.style.medium",
    "ph.style.fast",
    "ph.style.southern",
    "culture.lag",
    "culture.movement",
    "warm_spell.in_cure.warning",
    "warm_spell.in_cure.discard",
];

#[test]
fn rules_keep_their_ids() {
    let known: BTreeSet<&str> = RULES.iter().copied().collect();
    assert_eq!(known.len(), RULES.len(), "an id stands twice in the list");
    let found: BTreeSet<&str> = rulebook::all().iter().map(|limit| limit.id.as_str()).collect();
    assert_eq!(found, known);
}
