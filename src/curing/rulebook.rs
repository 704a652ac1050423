//! Reads the rulebook files that are built into the program. The only maker of a [`Limit`].

use super::rule::{Limit, Row, Rulebook};
use chrono::NaiveDate;
use serde::Deserialize;
use std::sync::LazyLock;

const FILES: [(Rulebook, &str); 10] = [
    (Rulebook::Us, include_str!("rulebook/us.toml")),
    (Rulebook::Eu, include_str!("rulebook/eu.toml")),
    (Rulebook::Gb, include_str!("rulebook/gb.toml")),
    (Rulebook::Ca, include_str!("rulebook/ca.toml")),
    (Rulebook::AuNz, include_str!("rulebook/au-nz.toml")),
    (Rulebook::Codex, include_str!("rulebook/codex.toml")),
    (Rulebook::Trade, include_str!("rulebook/trade.toml")),
    (Rulebook::Trade, include_str!("rulebook/whole-muscle.toml")),
    (Rulebook::Trade, include_str!("rulebook/drying.toml")),
    (Rulebook::Trade, include_str!("rulebook/fermentation.toml")),
];

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    limit: Vec<Row>,
}

static LIMITS: LazyLock<Vec<Limit>> =
    LazyLock::new(|| FILES.iter().flat_map(|(book, text)| read(*book, text)).collect());

/// A file that does not parse yields no rows here; a unit test reads every file and names the mistake, so a
/// broken file cannot pass the build's tests.
fn read(rulebook: Rulebook, text: &str) -> Vec<Limit> {
    toml::from_str::<File>(text).map_or_else(
        |_| Vec::new(),
        |file| file.limit.into_iter().map(|row| Limit::loaded(rulebook, row)).collect(),
    )
}

/// Every row of every rulebook.
pub fn all() -> &'static [Limit] {
    &LIMITS
}

/// The rows of one rulebook that are in force on a day.
pub fn of(rulebook: Rulebook, day: NaiveDate) -> impl Iterator<Item = &'static Limit> {
    all().iter().filter(move |limit| limit.rulebook == rulebook && limit.applies_on(day))
}

/// The row of this id, or `None`; of a rule in bands the first one.
pub fn by_id(id: &str) -> Option<&'static Limit> {
    bands(id).next()
}

/// Every band of the rule of this id: one row for most rules, several where the limit goes by temperature.
pub fn bands(id: &str) -> impl Iterator<Item = &'static Limit> {
    all().iter().filter(move |limit| limit.id == id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curing::rule::{Comparator, Kind, Standing};

    #[test]
    fn every_file_parses() {
        for (book, text) in FILES {
            if let Err(mistake) = toml::from_str::<File>(text) {
                panic!("{book:?}: {mistake}");
            }
        }
    }

    /// A row that judges needs the figure it judges by.
    #[test]
    fn rows_carry_what_their_kind_needs() {
        for limit in all() {
            let id = &limit.id;
            match limit.kind {
                Kind::Maximum | Kind::Minimum | Kind::Guide => {
                    assert!(limit.value.is_some_and(|value| value > 0.0), "{id}");
                }
                Kind::Required => {
                    let band = limit.band_low.zip(limit.band_high);
                    let ordered =
                        band.zip(limit.value).is_some_and(|((low, high), value)| low < value && value < high);
                    assert!(ordered, "{id}");
                }
                _ => {}
            }
            let at_least = limit.comparator == Comparator::AtLeast;
            match limit.kind {
                Kind::Maximum => assert!(!at_least, "{id}"),
                Kind::Minimum => assert!(at_least, "{id}"),
                _ => {}
            }
            let texts = [&limit.printed, &limit.unit, &limit.scope, &limit.source, &limit.place];
            assert!(texts.iter().all(|text| !text.is_empty()), "{id}");
            if let Some((from, to)) = limit.valid_from.zip(limit.valid_to) {
                assert!(from <= to, "{id}");
            }
        }
    }

    /// What is held from memory was not looked up, and says so.
    #[test]
    fn what_is_held_from_memory_was_never_checked() {
        for limit in all() {
            let never = limit.checked_on == "never";
            assert_eq!(limit.standing == Standing::FromMemory, never, "{}", limit.id);
        }
    }

    #[test]
    fn ids_are_unique_up_to_the_band() {
        let mut ids: Vec<_> =
            all().iter().map(|limit| format!("{} above {:?}", limit.id, limit.above)).collect();
        ids.sort();
        let count = ids.len();
        ids.dedup();
        assert_eq!(ids.len(), count);
    }
}
