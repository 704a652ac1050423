//! The making day, counted back from stuffing.

use crate::curing::Standing;
use serde::Deserialize;
use std::sync::LazyLock;

const TEXT: &str = include_str!("plan.toml");

/// Something to be done a while before, or after, stuffing.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// Stable name; the sentence stands in the wording.
    pub id: String,
    /// Minutes before stuffing; below zero: after it.
    pub minutes_before: i64,
    /// Where that stands.
    pub source: String,
    /// How well it is known.
    pub standing: Standing,
    /// Worth a reminder of its own.
    #[serde(default)]
    pub reminds: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    step: Vec<Step>,
}

static STEPS: LazyLock<Vec<Step>> =
    LazyLock::new(|| toml::from_str::<File>(TEXT).map_or_else(|_| Vec::new(), |file| file.step));

/// Every step, the earliest first.
pub fn steps() -> &'static [Step] {
    &STEPS
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_steps_come_in_their_order() {
        let file: File = toml::from_str(TEXT).unwrap();
        assert!(file.step.windows(2).all(|pair| pair[0].minutes_before >= pair[1].minutes_before));
        assert!(file.step.iter().any(|step| step.minutes_before == 0));
    }
}
