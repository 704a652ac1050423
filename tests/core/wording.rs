//! Every sentence that the code says stands in the wording file, every sentence in the file is said, and the holes
//! that the code fills are the holes of the sentence.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use tallyhook::curing::rulebook;
use tallyhook::reply::wording::templates;

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
    let hole = regex::Regex::new(r"\{([a-z_]+)\}").unwrap();
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
fn nothing_is_called_safe() {
    let word = regex::Regex::new(r"(?i)\bsafe(ly|ty)?\b").unwrap();
    for (key, template) in templates() {
        assert!(!word.is_match(template), "{key}: {template}");
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
