//! Courses that are published for fermented sausage, by the names of the trade. For information: no rule asks for them,
//! and each still has to keep to the degree-hours.

use super::schedule::PlannedStep;
use crate::curing::rule::Standing;
use crate::quantity::{Hours, Temperature};
use serde::Deserialize;
use std::sync::LazyLock;

const TEXT: &str = include_str!("styles.toml");

/// A published course.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Style {
    /// Stable name.
    pub id: String,
    /// What a member may type; the first is shown.
    pub names: Vec<String>,
    low_c: f64,
    high_c: f64,
    shortest_h: Option<f64>,
    longest_h: Option<f64>,
    /// The steps after the fermentation: °C and hours.
    #[serde(default)]
    then: Vec<(f64, f64)>,
    /// The pH it ends at, as printed.
    pub end_ph: Option<String>,
    /// Relative humidity, as printed.
    pub humidity: Option<String>,
    /// How well the humidity is known, where it differs from the row.
    pub humidity_standing: Option<Standing>,
    /// The source's short name.
    pub source: String,
    /// Where in it.
    #[serde(rename = "where")]
    pub place: String,
    /// How well the row is known.
    pub standing: Standing,
}

impl Style {
    /// The name that is shown.
    pub fn name(&self) -> &str {
        self.names.first().unwrap_or(&self.id)
    }

    /// The coolest and the warmest of its room.
    pub const fn temperatures(&self) -> (Temperature, Temperature) {
        (Temperature::celsius(self.low_c), Temperature::celsius(self.high_c))
    }

    /// The shortest and the longest it is said to take, in hours.
    pub const fn hours(&self) -> (Option<f64>, Option<f64>) {
        (self.shortest_h, self.longest_h)
    }

    /// Its warmest and longest course, the one that spends most. Without a longest time it is open at the end.
    pub fn warmest_course(&self) -> Vec<PlannedStep> {
        let step = |celsius, hours| PlannedStep { temperature: Temperature::celsius(celsius), hours };
        let first = step(self.high_c, self.longest_h.map(Hours::new));
        let later = self.then.iter().map(|(celsius, hours)| step(*celsius, Some(Hours::new(*hours))));
        std::iter::once(first).chain(later).collect()
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    style: Vec<Style>,
}

static STYLES: LazyLock<Vec<Style>> =
    LazyLock::new(|| toml::from_str::<File>(TEXT).map_or_else(|_| Vec::new(), |file| file.style));

/// Every published course.
pub fn styles() -> &'static [Style] {
    &STYLES
}

/// The course of this name, in any case, with or without a comma: "Slow", "slow, southern".
pub fn named(text: &str) -> Option<&'static Style> {
    let wanted = plain(text);
    styles().iter().find(|style| style.names.iter().any(|name| plain(name) == wanted))
}

fn plain(text: &str) -> String {
    let text = text.to_lowercase().replace([',', '-'], " ");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curing::fermentation::schedule::Schedule;
    use crate::curing::fermentation::system::Systems;

    #[test]
    fn the_file_parses_and_every_row_is_whole() {
        let file: File = toml::from_str(TEXT).unwrap();
        assert_eq!(file.style.len(), styles().len());
        for style in styles() {
            let id = &style.id;
            assert!(style.low_c <= style.high_c, "{id}");
            if let (Some(shortest), Some(longest)) = style.hours() {
                assert!(shortest <= longest, "{id}");
            }
            assert!(style.then.is_empty() || style.longest_h.is_some(), "{id}: an open step is the last");
            assert!(!style.source.is_empty() && !style.place.is_empty() && !style.names.is_empty(), "{id}");
            Schedule::of(&style.warmest_course(), Systems::Strict).unwrap();
        }
    }

    #[test]
    fn a_name_is_found_however_it_is_typed_and_only_once() {
        for text in ["slow, southern", "Slow Southern", "SOUTHERN"] {
            assert_eq!(named(text).map(|style| style.id.as_str()), Some("southern"), "{text}");
        }
        assert_eq!(named("semi-dry").map(|style| style.id.as_str()), Some("semi_dry"));
        assert_eq!(named("24 C 48 h"), None);
        let mut names: Vec<_> = styles().iter().flat_map(|style| style.names.iter()).collect();
        let count = names.len();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), count);
    }
}
