//! Every sentence a member reads stands in a wording file, by key, with named holes: `wording/en.toml`, and one file
//! of the same keys for every other [`Language`].
//!
//! A wording file also holds, under `commands` and `roots`, what commands and their options are for, and under `row_scope` and
//! `row_printed` what the rows of the rulebooks say. In English that stands with the command or the row itself, so `en.toml`
//! has none of it. Of a hole such as `{days|day|days}` one is counted otherwise than several. Numbers are written with a
//! decimal point in every language for now:
//! what is shown can be typed again, and both a point and a comma are read.

use super::language::Language;
use std::collections::BTreeMap;
use std::sync::LazyLock;

const ENGLISH: &str = include_str!("wording/en.toml");
const GERMAN: &str = include_str!("wording/de.toml");

/// Under these stands what commands and their first words are for.
const OF_COMMANDS: [&str; 2] = ["commands.", "roots."];

/// Under these stands what the rows of the rulebooks and of other tables say.
const OF_ROWS: [&str; 3] = ["row_scope.", "row_printed.", "row_name."];

/// Of one language.
#[derive(Debug, Default)]
struct Wording {
    templates: BTreeMap<String, String>,
    commands: BTreeMap<String, String>,
    rows: BTreeMap<String, String>,
}

static ALL: LazyLock<BTreeMap<Language, Wording>> =
    LazyLock::new(|| Language::ALL.into_iter().map(|language| (language, read(text_of(language)))).collect());

const fn text_of(language: Language) -> &'static str {
    match language {
        Language::English => ENGLISH,
        Language::German => GERMAN,
    }
}

fn read(text: &str) -> Wording {
    let mut flat = BTreeMap::new();
    if let Ok(table) = text.parse::<toml::Table>() {
        flatten("", &table, &mut flat);
    }
    let mut wording = Wording::default();
    for (key, text) in flat {
        let is_of = |sections: &[&str]| sections.iter().any(|of| key.starts_with(of));
        let of = match () {
            () if is_of(&OF_COMMANDS) => &mut wording.commands,
            () if is_of(&OF_ROWS) => &mut wording.rows,
            () => &mut wording.templates,
        };
        of.insert(key, text);
    }
    wording
}

fn flatten(prefix: &str, table: &toml::Table, flat: &mut BTreeMap<String, String>) {
    for (key, value) in table {
        let path = if prefix.is_empty() { key.clone() } else { format!("{prefix}.{key}") };
        match value {
            toml::Value::Table(inner) => flatten(&path, inner, flat),
            toml::Value::String(text) => {
                flat.insert(path, text.clone());
            }
            _ => {}
        }
    }
}

/// The sentence of a key in the language in force, with its holes filled.
///
/// A key that another language lacks is said in English. One that is missing there too shows itself in brackets, and a
/// hole that is not filled stays visible: a test reads the sources and the wording files and fails for all three, so
/// none reaches a member.
pub fn say(key: &str, holes: &[(&str, &str)]) -> String {
    match worded(key) {
        Some(template) => filled(template, holes),
        None => format!("[{key}]"),
    }
}

/// The sentence of a key in the language in force with its holes open, for what fills them later.
pub(super) fn template(key: &str) -> String {
    worded(key).cloned().unwrap_or_else(|| format!("[{key}]"))
}

fn worded(key: &str) -> Option<&'static String> {
    let own = templates(Language::in_force()).get(key);
    own.or_else(|| templates(Language::English).get(key))
}

/// What the language in force says of a row of a rulebook, by its key; nothing where the row's own English is said.
pub(super) fn row(key: &str) -> Option<&'static String> {
    rows(Language::in_force()).get(key)
}

pub(super) fn filled(template: &str, holes: &[(&str, &str)]) -> String {
    let mut text = String::with_capacity(template.len() + 32);
    let mut rest = template;
    while let Some((before, after)) = rest.split_once('{') {
        text.push_str(before);
        let Some((name, tail)) = after.split_once('}') else {
            text.push('{');
            rest = after;
            continue;
        };
        let (hole, noun) = name.split_once('|').map_or((name, None), |(hole, noun)| (hole, Some(noun)));
        if let Some((_, filling)) = holes.iter().find(|(name, _)| *name == hole) {
            text.push_str(filling);
            if let Some((one, several)) = noun.and_then(|noun| noun.split_once('|')) {
                text.push(' ');
                text.push_str(if *filling == "1" { one } else { several });
            }
        } else {
            text.push('{');
            text.push_str(name);
            text.push('}');
        }
        rest = tail;
    }
    text.push_str(rest);
    text
}

/// Whether a text is the sentence of a key, without holes, in any language.
pub fn is_said(key: &str, text: &str) -> bool {
    Language::ALL.iter().any(|language| templates(*language).get(key).is_some_and(|said| said == text))
}

/// Every template of a language, by key; without what is said of commands.
pub fn templates(language: Language) -> &'static BTreeMap<String, String> {
    static NONE: BTreeMap<String, String> = BTreeMap::new();
    ALL.get(&language).map_or(&NONE, |wording| &wording.templates)
}

/// What a wording file says of commands, by `commands.<command>.summary`, `commands.<command>.options.<option>`, and
/// `roots.<root>` for a first word; empty for English, where the commands say it themselves.
pub fn commands(language: Language) -> &'static BTreeMap<String, String> {
    static NONE: BTreeMap<String, String> = BTreeMap::new();
    ALL.get(&language).map_or(&NONE, |wording| &wording.commands)
}

/// What a wording file says of the rows of the rulebooks, by `row_scope.<id>` and `row_printed.<id>`, and of other tables, by
/// `row_name.<table>.<id>`; empty for English,
/// where the rows say it themselves.
pub fn rows(language: Language) -> &'static BTreeMap<String, String> {
    static NONE: BTreeMap<String, String> = BTreeMap::new();
    ALL.get(&language).map_or(&NONE, |wording| &wording.rows)
}

#[cfg(test)]
mod tests {
    use super::super::language::in_language;
    use super::*;

    #[test]
    fn the_files_parse_and_hold_only_text() {
        for language in Language::ALL {
            let table: toml::Table = text_of(language).parse().expect("a wording file is TOML");
            let mut flat = BTreeMap::new();
            flatten("", &table, &mut flat);
            assert!(flat.len() > 10);
            assert!(flat.values().all(|text| !text.trim().is_empty()));
            let parts = [templates(language), commands(language), rows(language)];
            assert_eq!(flat.len(), parts.map(BTreeMap::len).iter().sum::<usize>());
        }
        assert!(commands(Language::English).is_empty() && rows(Language::English).is_empty());
    }

    #[test]
    fn what_fills_a_hole_is_never_read_as_a_template() {
        let text = say("error.unknown_command", &[("typed", "{typed}")]);
        assert!(text.contains("{typed}"));
    }

    #[test]
    fn one_is_counted_otherwise_than_several() {
        let said = |days| filled("after {days|day|days} in all", &[("days", days)]);
        assert_eq!(
            [said("1"), said("12"), said("0")].join("; "),
            "after 1 day in all; after 12 days in all; after 0 days in all"
        );
        assert_eq!(
            filled("{days|day|days}", &[]),
            "{days|day|days}",
            "a hole that nothing fills stays visible"
        );
    }

    #[test]
    fn a_sentence_is_said_in_the_language_in_force() {
        let key = "platform.working";
        let (english, german) = (say(key, &[]), in_language(Language::German, || say(key, &[])));
        assert_eq!(english, templates(Language::English)[key]);
        assert_eq!(german, templates(Language::German)[key]);
        assert_ne!(english, german);
        assert!(is_said(key, &english) && is_said(key, &german) && !is_said(key, "no"));
    }
}
