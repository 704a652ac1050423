//! What is seen on a piece: the published reading of each look, and that a worse look is never taken for a better one.

use crate::reference;
use proptest::prelude::*;
use tallyhook::curing::Level;
use tallyhook::curing::observation::{facts, sign, signs};
use tallyhook::record::event::ObservationKind;
use tallyhook::reply::Language;
use tallyhook::reply::wording::templates;

#[test]
fn looks_are_read_as_the_table_says() {
    reference::load("observed_looks.csv").each(|row| {
        let kind: ObservationKind =
            serde_json::from_value(row.text("kind").into()).map_err(|mistake| mistake.to_string())?;
        let found = sign(kind, row.text("text")).ok_or("no sign")?;
        let level = serde_json::to_value(found.level).map_err(|mistake| mistake.to_string())?;
        if (found.id.as_str(), level.as_str()) == (row.text("sign"), Some(row.text("level"))) {
            return Ok(());
        }
        Err(format!("taken for {} ({level})", found.id))
    });
}

#[test]
fn every_sign_and_fact_is_worded() {
    for sign in signs() {
        assert!(
            templates(Language::English).contains_key(&format!("observation.{}", sign.id)),
            "{}",
            sign.id
        );
        if sign.kind == ObservationKind::Mould {
            assert!(
                templates(Language::English).contains_key(&format!("check.mould.{}", sign.id)),
                "{}",
                sign.id
            );
        }
    }
    for fact in facts() {
        assert!(
            templates(Language::English).contains_key(&format!("observed_fact.{}", fact.id)),
            "{}",
            fact.id
        );
    }
}

fn mould_words() -> Vec<(&'static str, Level)> {
    let moulds = signs().iter().filter(|sign| sign.kind == ObservationKind::Mould);
    moulds.flat_map(|sign| sign.words.iter().map(|word| (word.as_str(), sign.level))).collect()
}

proptest! {
    #[test]
    fn whatever_is_said_beside_it_the_worst_look_counts(
        said in prop::collection::vec(prop::sample::select(mould_words()), 1..6),
        commas in any::<bool>(),
    ) {
        let words: Vec<String> = said.iter().map(|(word, _)| word.to_uppercase()).collect();
        let text = words.join(if commas { ", " } else { " and " });
        let worst = said.iter().map(|(_, level)| *level).max();
        prop_assert_eq!(sign(ObservationKind::Mould, &text).map(|sign| sign.level), worst, "{}", text);
    }
}
