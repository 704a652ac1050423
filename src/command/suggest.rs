//! Words that can be typed for an option whatever the member's record holds.

use crate::curing::Country;
use crate::curing::cure::PRESETS;
use crate::quantity::format;
use chrono_tz::TZ_VARIANTS;

/// What can be typed for an option, each as shown and as typed; `None` where nothing can be foreseen.
pub fn words(option: &str) -> Option<Vec<(String, String)>> {
    match option {
        "timezone" => Some(zones()),
        "country" => Some(Country::codes().into_iter().map(same).collect()),
        "nitrite" => Some(percentages(|label| label.nitrite())),
        "nitrate" => Some(percentages(|label| label.nitrate())),
        _ => None,
    }
}

/// Zones of places; those that only count hours are found by typing them.
fn zones() -> Vec<(String, String)> {
    let is_a_place = |name: &&str| name.contains('/') && !name.starts_with("Etc/");
    TZ_VARIANTS.iter().map(|zone| zone.name()).filter(is_a_place).map(|name| same(name.to_owned())).collect()
}

/// The percentages of the labels sold most, each once.
fn percentages(
    of: impl Fn(&crate::curing::cure::CureLabel) -> crate::quantity::Fraction,
) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    for share in PRESETS.iter().map(of).filter(|share| share.as_one() > 0.0) {
        let shown = format::percent(share);
        let typed = shown.replace([' ', '\u{a0}', '\u{202f}'], "");
        if all.iter().all(|(_, known)| *known != typed) {
            all.push((shown, typed));
        }
    }
    all
}

fn same(word: String) -> (String, String) {
    (word.clone(), word)
}
