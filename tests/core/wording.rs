//! Every sentence that the code says stands in the wording files, every sentence in them is said, and the holes that
//! the code fills are the holes of the sentence. Every language says the same: no key more, none less, none with other
//! holes.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use tallyhook::chart::measure::drawable;
use tallyhook::curing::additive::Additive;
use tallyhook::curing::{composition, parasites, rulebook, shelf, storage};
use tallyhook::record::StorageKind;
use tallyhook::reply::{Language, wording};

/// The sentences that every other language is held against.
fn templates() -> &'static BTreeMap<String, String> {
    wording::templates(Language::English)
}

fn other_languages() -> impl Iterator<Item = Language> {
    Language::ALL.into_iter().filter(|language| *language != Language::English)
}

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
        if entry.is_dir() {
            sources(&entry, found);
        } else if entry.extension().is_some_and(|ending| ending == "rs") {
            found.push(entry);
        }
    }
}

fn all_code() -> Vec<(PathBuf, String)> {
    let mut found = Vec::new();
    sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut found);
    found.into_iter().map(|path| (path.clone(), fs::read_to_string(path).unwrap())).collect()
}

fn holes_of(template: &str) -> BTreeSet<String> {
    let hole = regex::Regex::new(r"\{([a-z_]+)(?:\|[^|{}]+\|[^|{}]+)?\}").unwrap();
    hole.captures_iter(template).map(|found| found[1].to_owned()).collect()
}

/// Keys are literals such as "cure.mix.headline"; a family of keys is made by `format!("label.{id}")`.
fn keys_in(code: &str) -> BTreeSet<String> {
    let literal = regex::Regex::new(r#""([a-z_]+(?:\.[A-Za-z0-9_]+)+)""#).unwrap();
    literal.captures_iter(code).map(|found| found[1].to_owned()).collect()
}

fn families_in(code: &str) -> BTreeSet<String> {
    let family = regex::Regex::new(r#"format!\("([a-z_.]+)\{"#).unwrap();
    family.captures_iter(code).map(|found| found[1].to_owned()).collect()
}

#[test]
fn every_key_that_is_said_exists() {
    let said =
        regex::Regex::new(r#"(?s)(?:\bsay\(|Advice::plain\(|Advice::new\(|key:)\s*"([a-z0-9_.]+)""#).unwrap();
    let mut missing = Vec::new();
    for (path, code) in all_code() {
        for found in said.captures_iter(&code) {
            if !templates().contains_key(&found[1]) {
                missing.push(format!("{}: {}", path.display(), &found[1]));
            }
        }
    }
    assert!(missing.is_empty(), "{missing:#?}");
}

/// A key may also be handed on as a bare literal. Ids of rules have other first words, but for `ph.` and
/// `degree_hours.`, which stand in the rulebook.
#[test]
fn every_literal_that_looks_like_a_key_is_one() {
    let sections: BTreeSet<&str> = templates().keys().filter_map(|key| key.split('.').next()).collect();
    let is_rule = |text: &str| rulebook::all().iter().any(|row| row.id == text);
    let mut unknown = Vec::new();
    for (path, code) in all_code() {
        for literal in keys_in(&without_comments(&code)) {
            let section = literal.split('.').next().unwrap_or_default();
            if sections.contains(section) && !templates().contains_key(&literal) && !is_rule(&literal) {
                unknown.push(format!("{}: {literal}", path.display()));
            }
        }
    }
    assert!(unknown.is_empty(), "{unknown:#?}");
}

fn without_comments(code: &str) -> String {
    code.lines().filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

#[test]
fn every_sentence_is_said_somewhere() {
    let code: Vec<String> = all_code().into_iter().map(|(_, code)| code).collect();
    let keys: BTreeSet<String> = code.iter().flat_map(|code| keys_in(code)).collect();
    let families: BTreeSet<String> = code.iter().flat_map(|code| families_in(code)).collect();
    let dead: Vec<&String> = templates()
        .keys()
        .filter(|key| !keys.contains(*key) && !families.iter().any(|family| key.starts_with(family)))
        .collect();
    assert!(dead.is_empty(), "{dead:#?}");
}

#[test]
fn holes_are_filled_as_the_sentence_names_them() {
    let call = regex::Regex::new(r#"(?s)\bsay\(\s*"([a-z0-9_.]+)",\s*&\[(.*?)\],?\s*\)"#).unwrap();
    let name = regex::Regex::new(r#"\(\s*"([a-z_]+)",\s"#).unwrap();
    let mut wrong = Vec::new();
    for (path, code) in all_code() {
        for found in call.captures_iter(&code) {
            let Some(template) = templates().get(&found[1]) else {
                continue;
            };
            let filled: BTreeSet<String> =
                name.captures_iter(&found[2]).map(|hole| hole[1].to_owned()).collect();
            let open: Vec<String> = holes_of(template).difference(&filled).cloned().collect();
            if !open.is_empty() {
                wrong.push(format!("{}: {} leaves {open:?} open", path.display(), &found[1]));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_language_has_every_sentence_with_the_same_holes_and_none_beside() {
    let mut wrong = Vec::new();
    for language in other_languages() {
        let theirs = wording::templates(language);
        let tag = language.tag();
        for (key, template) in templates() {
            match theirs.get(key) {
                None => wrong.push(format!("{tag}: {key} is missing")),
                Some(own) if holes_of(own) != holes_of(template) => {
                    wrong.push(format!("{tag}: {key} has the holes {:?}", holes_of(own)));
                }
                Some(_) => {}
            }
        }
        let unknown = theirs.keys().filter(|key| !templates().contains_key(*key));
        wrong.extend(unknown.map(|key| format!("{tag}: {key} is in no other language")));
    }
    assert!(wrong.is_empty(), "{} of them: {wrong:#?}", wrong.len());
}

/// A band of a row goes without a sentence of its own only where all bands of its id say the same, or where the sentence
/// says where the band begins.
#[test]
fn every_language_says_what_the_rows_are_for() {
    let in_words = regex::Regex::new(r"\b(to|of|or|and|about|none|least|above|still|until)\b").unwrap();
    for language in other_languages() {
        let said = wording::rows(language);
        let mut used = BTreeSet::new();
        let mut missing = Vec::new();
        for row in rulebook::all() {
            let of_band = row.above.map(|above| format!("row_scope.{} above {above}", row.id));
            let of_id = format!("row_scope.{}", row.id);
            let is_one_for_all = rulebook::bands(&row.id).all(|band| band.scope == row.scope)
                || row.above.is_none()
                || said.get(&of_id).is_some_and(|text| text.contains("{above}"));
            match of_band.filter(|key| said.contains_key(key)) {
                Some(key) => used.insert(key),
                None if is_one_for_all && said.contains_key(&of_id) => used.insert(of_id),
                None => {
                    missing.push(of_id);
                    false
                }
            };
            let printed = [of_printed(row.id.as_str(), row.above), format!("row_printed.{}", row.id)];
            let own = printed.into_iter().find(|key| said.contains_key(key));
            let figures = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
            if let Some(key) = own {
                assert_eq!(figures(&said[&key]), figures(&row.printed), "{key}");
                used.insert(key);
            } else if in_words.is_match(row.printed.trim_end_matches(" or less")) {
                missing.push(format!("row_printed.{}: {}", row.id, row.printed));
            }
        }
        for name in names_of_rows() {
            if said.contains_key(&name) {
                used.insert(name);
            } else {
                missing.push(name);
            }
        }
        assert!(missing.is_empty(), "{}: {missing:#?}", language.tag());
        let dead: Vec<&String> = said.keys().filter(|key| !used.contains(*key)).collect();
        assert!(dead.is_empty(), "{}: of no row: {dead:#?}", language.tag());
    }
}

/// What other tables call their rows or add to them.
fn names_of_rows() -> Vec<String> {
    let cuts = composition::table().cut.iter().map(|cut| format!("cut.{}", cut.ndb));
    let additives = Additive::all().iter().map(|additive| format!("additive.{}", additive.figure));
    let systems = shelf::systems().iter().map(|system| format!("shelf.{}", system.id));
    let rests = shelf::systems().iter().filter(|system| system.rest.is_some());
    let rests = rests.map(|system| format!("shelf_rest.{}", system.id));
    let keepings = StorageKind::ALL
        .into_iter()
        .filter_map(|kind| storage::keeping(kind.word()))
        .map(|row| format!("keeping.{}", row.how));
    let methods = &parasites::tables().method;
    let notes = methods.iter().filter(|method| method.note.is_some());
    let notes = notes.map(|method| format!("drying.{}", method.id()));
    let all = cuts.chain(additives).chain(systems).chain(rests).chain(keepings).chain(notes);
    all.map(|name| format!("row_name.{name}")).collect()
}

fn of_printed(id: &str, above: Option<f64>) -> String {
    above.map_or_else(String::new, |above| format!("row_printed.{id} above {above}"))
}

/// English that was left standing shows itself as a long sentence that both languages share; lines to type are the same
/// everywhere.
#[test]
fn no_long_sentence_is_the_same_in_two_languages() {
    let mut same = Vec::new();
    for language in other_languages() {
        for (key, own) in wording::templates(language) {
            let words = own.split_whitespace().filter(|word| word.chars().all(char::is_alphabetic)).count();
            if words > 5 && !key.starts_with("help.of_") && templates().get(key) == Some(own) {
                same.push(format!("{}: {key}: {own}", language.tag()));
            }
        }
    }
    assert!(same.is_empty(), "{same:#?}");
}

#[test]
fn nothing_is_called_safe() {
    let word = |language| match language {
        Language::English => r"(?i)\bsafe(ly|ty)?\b",
        // "Sicherlich" would be a promise too; "Sicherung" is a backup.
        Language::German => r"(?i)\b(un)?(sicher(e[mnrs]?|heit|lich)?|gefahrlos\w*|unbedenklich\w*)\b",
    };
    for language in Language::ALL {
        let word = regex::Regex::new(word(language)).unwrap();
        let said = wording::templates(language).iter().chain(wording::commands(language));
        for (key, template) in said {
            assert!(!word.is_match(template), "{}: {key}: {template}", language.tag());
        }
    }
}

#[test]
fn the_font_of_charts_has_every_letter_that_is_written_in_them() {
    let of_charts = ["charting.", "calendar.", "word.", "label."];
    for language in Language::ALL {
        let all = wording::templates(language).iter();
        for (key, text) in all.filter(|(key, _)| of_charts.iter().any(|of| key.starts_with(of))) {
            let plain = text.split_whitespace().collect::<Vec<_>>().join(" ");
            assert_eq!(drawable(text), plain, "{}: {key}", language.tag());
        }
    }
}

/// A phone shows so much of a button, and a screen reader reads letters.
#[test]
fn what_buttons_and_fields_say_is_short_and_in_letters() {
    let families = ["tap.", "platform.button.", "form.field.", "form.log.label", "form.finish.label"];
    let labels: Vec<(&String, &String)> =
        templates().iter().filter(|(key, _)| families.iter().any(|family| key.starts_with(family))).collect();
    assert!(labels.len() > 25, "{labels:?}");
    for (key, label) in labels {
        assert!(label.chars().count() <= 38, "{key} is too long: {label}");
        assert!(label.starts_with(char::is_alphabetic), "{key}: {label}");
    }
}
