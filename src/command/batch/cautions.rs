//! Cautions by the meats of a batch: said once when it starts and again when it is shared.

use crate::curing::Level;
use crate::record::BatchPlan;
use crate::reply::{Reply, say};

/// Words of one risk, how loud it is, and what is said.
struct Risk {
    words: &'static [&'static str],
    level: Level,
    key: &'static str,
}

const RISKS: [Risk; 6] = [
    Risk { words: &["liver", "blood"], level: Level::Warning, key: "caution.liver" },
    Risk {
        words: &["boar", "bear", "feral", "walrus", "badger"],
        level: Level::Warning,
        key: "caution.trichinella_game",
    },
    Risk {
        words: &["chicken", "turkey", "duck", "goose", "poultry", "pheasant"],
        level: Level::Warning,
        key: "caution.poultry",
    },
    Risk {
        words: &["beef", "veal", "venison", "deer", "elk", "lamb", "mutton", "goat", "bison"],
        level: Level::Caution,
        key: "caution.ruminant",
    },
    Risk { words: &["horse"], level: Level::Caution, key: "caution.horse" },
    Risk {
        words: &["pork", "pig", "hog", "neck", "back fat", "belly"],
        level: Level::Caution,
        key: "caution.pork",
    },
];

/// Adds what must be said of these meats.
pub(in crate::command) fn add(reply: &mut Reply, plan: &BatchPlan) {
    let named = plan.meats.iter().map(|meat| meat.species.to_lowercase()).collect::<Vec<_>>().join(" ");
    for risk in RISKS.iter().filter(|risk| risk.words.iter().any(|word| named.contains(word))) {
        reply.note(risk.level, say(risk.key, &[]));
    }
}
