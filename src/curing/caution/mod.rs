//! Cautions by the meats of a batch, its kind, and who may eat it. They judge nothing.

use super::{Level, Standing};
use crate::record::BatchKind;
use serde::Deserialize;
use std::sync::LazyLock;

const TEXT: &str = include_str!("cautions.toml");

/// When cautions are said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Occasion {
    /// A batch is written down.
    Start,
    /// A batch is shown to others.
    Sharing,
}

/// One caution.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Caution {
    /// Its name; the sentence stands in the wording under `caution.` and this.
    pub id: String,
    /// Words that name the meats it is for; empty: every meat.
    #[serde(default)]
    meats: Vec<String>,
    /// The kinds of batch it is for; empty: all.
    #[serde(default)]
    kinds: Vec<BatchKind>,
    /// Whether it is for a batch whose meat has no name.
    #[serde(default)]
    unnamed: bool,
    /// Whether it is said only to those a batch is shown to.
    #[serde(default)]
    only_shared: bool,
    /// How loud.
    pub level: Level,
    /// The source's short name.
    pub source: String,
    /// Where in it.
    #[serde(rename = "where")]
    pub place: String,
    /// How well it is known.
    pub standing: Standing,
    /// When somebody last looked.
    pub checked_on: String,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    caution: Vec<Caution>,
}

static FILE: LazyLock<File> = LazyLock::new(|| toml::from_str(TEXT).unwrap_or_default());

/// Every caution.
pub fn all() -> &'static [Caution] {
    &FILE.caution
}

/// What is to be said of a batch of these meats.
pub fn of(meats: &[&str], kind: BatchKind, occasion: Occasion) -> Vec<&'static Caution> {
    let named = in_one_language(meats);
    all()
        .iter()
        .filter(|caution| !caution.unnamed || named.trim().is_empty())
        .filter(|caution| caution.meats.is_empty() || caution.meats.iter().any(|word| named.contains(word)))
        .filter(|caution| caution.kinds.is_empty() || caution.kinds.contains(&kind))
        .filter(|caution| occasion == Occasion::Sharing || !caution.only_shared)
        .collect()
}

/// The meats in lower case, with the German names put apart that have another one's inside: a wild boar ("Wildschwein") is
/// no pork, and beef ("Rind") is no rind.
fn in_one_language(meats: &[&str]) -> String {
    let named = |meat: &&str| match meat.trim().to_lowercase() {
        beef if beef == "rind" => "beef".to_owned(),
        other => other.replace("wildschwein", "wild boar").replace("wildsau", "wild boar"),
    };
    meats.iter().map(named).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curing::parasites::tables;

    fn ids(meats: &[&str], kind: BatchKind, occasion: Occasion) -> Vec<&'static str> {
        of(meats, kind, occasion).into_iter().map(|caution| caution.id.as_str()).collect()
    }

    #[test]
    fn the_file_is_whole() {
        let file: File = toml::from_str(TEXT).unwrap();
        for caution in &file.caution {
            let never = caution.checked_on == "never";
            assert_eq!(caution.standing == Standing::FromMemory, never, "{}", caution.id);
            let texts = [&caution.id, &caution.source, &caution.place];
            assert!(texts.iter().all(|text| !text.is_empty()), "{}", caution.id);
            assert!(caution.level > Level::None, "{}", caution.id);
        }
    }

    #[test]
    fn meats_kinds_and_people() {
        use BatchKind::{FermentedSausage, WholeMuscle};
        assert_eq!(ids(&["Pork", "back fat"], FermentedSausage, Occasion::Start), ["pork", "people"]);
        assert_eq!(
            ids(&["pork"], WholeMuscle, Occasion::Sharing),
            ["pork", "toxoplasma", "people", "medicines", "sale"]
        );
        let boar = ids(&["wild boar"], FermentedSausage, Occasion::Start);
        assert_eq!(boar, ["trichinella_game", "feral_pig", "gut_shot", "people"]);
        assert_eq!(ids(&[""], FermentedSausage, Occasion::Start), ["people", "unnamed"]);
    }

    #[test]
    fn german_meats_are_cautioned_of_like_english_ones() {
        for (german, english) in [
            ("Schwein", "pork"),
            ("Schweinebauch", "pork belly"),
            ("Wildschweinkeule", "wild boar"),
            ("Wildschwein", "wild boar"),
            ("Rind", "beef"),
            ("Rindfleisch", "beef"),
            ("Hirsch", "venison"),
            ("Rehkeule", "deer"),
            ("Pferd", "horse"),
            ("Bärenfleisch", "bear"),
            ("Hähnchen", "chicken"),
            ("Entenbrust", "duck breast"),
            ("Schweineleber", "pork liver"),
        ] {
            for kind in [BatchKind::FermentedSausage, BatchKind::WholeMuscle] {
                let said = |meat| ids(&[meat], kind, Occasion::Sharing);
                assert_eq!(said(german), said(english), "{german}");
            }
        }
        let rind = ids(&["pork belly, rind on"], BatchKind::WholeMuscle, Occasion::Start);
        assert_eq!(rind, ids(&["pork belly"], BatchKind::WholeMuscle, Occasion::Start));
    }

    /// Whatever no table is for but heat has its caution.
    #[test]
    fn every_barred_host_is_cautioned_of() {
        for host in &tables().hosts.barred {
            let said = ids(&[host], BatchKind::WholeMuscle, Occasion::Start);
            assert!(said.contains(&"trichinella_game") || said.contains(&"horse"), "{host}: {said:?}");
        }
    }
}
