//! The ids of the cure's rows. Scripts rely on them: one is added here when a row is added, none ever changes its
//! meaning, and none is taken away.

use std::collections::BTreeSet;
use tallyhook::curing::rulebook;

const IDS: &[&str] = &[
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
    "gb.wiltshire_ham.nitrite",
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
];

#[test]
fn the_cure_keeps_its_rule_ids() {
    let known: BTreeSet<&str> = IDS.iter().copied().collect();
    let cure = |figure: &str| {
        figure.starts_with("nitr") || figure.starts_with("cure_") || ["salt", "ascorbate"].contains(&figure)
    };
    let found: BTreeSet<&str> = rulebook::all()
        .iter()
        .filter(|row| cure(&row.figure) || row.id.starts_with("salt."))
        .map(|row| row.id.as_str())
        .collect();
    assert_eq!(found, known);
}
