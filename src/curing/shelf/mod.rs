//! What the systems of several countries say of keeping something without refrigeration, by measured pH and water
//! activity. An estimated water activity never comes here.

use crate::curing::Standing;
use crate::quantity::{Ph, WaterActivity, compare};
use serde::Deserialize;
use std::cmp::Ordering;
use std::sync::LazyLock;

const TEXT: &str = include_str!("systems.toml");

/// What a home instrument may be off, where nothing is said: pH.
pub const PH_OFF: f64 = 0.05;
/// What a home instrument may be off, where nothing is said: water activity.
pub const ACTIVITY_OFF: f64 = 0.02;

/// Limits that are met whole or not at all; a limit that is not there asks nothing.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Way {
    /// pH at most this.
    pub ph_to: Option<f64>,
    /// pH less than this.
    pub ph_below: Option<f64>,
    /// Water activity at most this.
    pub activity_to: Option<f64>,
    /// Water activity less than this.
    pub activity_below: Option<f64>,
}

/// One system.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct System {
    /// Stable name.
    pub id: String,
    /// Whose rule it is; empty: nobody's, a textbook's.
    pub country: String,
    /// Its name as printed.
    pub name: String,
    /// The source's short name.
    pub source: String,
    /// Where in it.
    #[serde(rename = "where")]
    pub place: String,
    /// How well it is known.
    pub standing: Standing,
    /// When somebody last looked.
    pub checked_on: String,
    /// Only for what was heated and then packaged.
    #[serde(default)]
    pub heated_and_packaged: bool,
    /// Its stable word where a way is met.
    pub yes: String,
    /// Its stable word where none is.
    pub no: String,
    /// What the rule asks for besides, in words.
    pub rest: Option<String>,
    /// Any of these will do.
    pub way: Vec<Way>,
    /// The class of what is neither sour nor dry, where it has one.
    pub worst: Option<Worst>,
}

/// Neither sour nor dry.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Worst {
    /// pH over this,
    pub ph_over: f64,
    /// and water activity over this.
    pub activity_over: f64,
    /// Its stable word.
    pub word: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    system: Vec<System>,
}

static SYSTEMS: LazyLock<Vec<System>> =
    LazyLock::new(|| toml::from_str::<File>(TEXT).map_or_else(|_| Vec::new(), |file| file.system));

/// Every system. (A file that does not parse would be empty; a unit test reads it and names the mistake.)
pub fn systems() -> &'static [System] {
    &SYSTEMS
}

/// What was measured, and what the instruments may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// pH.
    pub ph: Ph,
    /// Water activity.
    pub activity: WaterActivity,
    /// What the pH meter may be off.
    pub ph_off: f64,
    /// What the water activity meter may be off.
    pub activity_off: f64,
}

/// What a system says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Said {
    /// The system.
    pub system: &'static System,
    /// The first way that is met, with what the instruments may be off held against it.
    pub way: Option<&'static Way>,
    /// A way is met by the figures as they stand, but not if the instruments are off.
    pub only_without_doubt: bool,
    /// It is neither sour nor dry.
    pub is_worst: bool,
}

impl Said {
    /// The system's stable word.
    pub fn word(&self) -> &'static str {
        match (self.way, &self.system.worst) {
            (Some(_), _) => &self.system.yes,
            (None, Some(worst)) if self.is_worst => &worst.word,
            (None, _) => &self.system.no,
        }
    }
}

/// Holds a measurement against a system: the worse end of what was measured must meet a way.
pub fn said(system: &'static System, measured: &Measured) -> Said {
    let worse = (measured.ph.value() + measured.ph_off, measured.activity.value() + measured.activity_off);
    let as_read = (measured.ph.value(), measured.activity.value());
    let way = system.way.iter().find(|way| way.is_met(worse));
    let only_without_doubt = way.is_none() && system.way.iter().any(|way| way.is_met(as_read));
    let is_worst = system.worst.as_ref().is_some_and(|worst_of| {
        compare::with_tolerance(worse.0, worst_of.ph_over) == Ordering::Greater
            && compare::with_tolerance(worse.1, worst_of.activity_over) == Ordering::Greater
    });
    Said { system, way, only_without_doubt, is_worst }
}

impl Way {
    fn is_met(&self, (ph, activity): (f64, f64)) -> bool {
        let to = |value: f64, limit: Option<f64>| {
            limit.is_none_or(|limit| compare::with_tolerance(value, limit) != Ordering::Greater)
        };
        let below = |value: f64, limit: Option<f64>| {
            limit.is_none_or(|limit| compare::with_tolerance(value, limit) == Ordering::Less)
        };
        to(ph, self.ph_to)
            && below(ph, self.ph_below)
            && to(activity, self.activity_to)
            && below(activity, self.activity_below)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_system_is_whole() {
        let file: File = toml::from_str(TEXT).unwrap();
        let ids: BTreeSet<&str> = file.system.iter().map(|system| system.id.as_str()).collect();
        assert_eq!(ids.len(), file.system.len());
        for system in &file.system {
            assert_eq!(
                system.standing == Standing::FromMemory,
                system.checked_on == "never",
                "{}",
                system.id
            );
            assert!(
                !system.source.is_empty() && !system.place.is_empty() && !system.way.is_empty(),
                "{}",
                system.id
            );
            for way in &system.way {
                let limits = [way.ph_to, way.ph_below, way.activity_to, way.activity_below];
                assert!(limits.iter().any(Option::is_some), "{}: a way that asks nothing", system.id);
            }
        }
    }
}
