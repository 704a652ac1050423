//! Every sentence a member reads stands in `wording/en.toml`, by key, with named holes.

use std::collections::BTreeMap;
use std::sync::LazyLock;

const ENGLISH: &str = include_str!("wording/en.toml");

static TEMPLATES: LazyLock<BTreeMap<String, String>> = LazyLock::new(|| {
    let mut flat = BTreeMap::new();
    if let Ok(table) = ENGLISH.parse::<toml::Table>() {
        flatten("", &table, &mut flat);
    }
    flat
});

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

/// The sentence of a key with its holes filled.
///
/// A key that is missing shows itself in brackets, and a hole that is not filled stays visible: a test reads the
/// sources and the wording file and fails for both, so neither reaches a member.
pub fn say(key: &str, holes: &[(&str, &str)]) -> String {
    let Some(template) = TEMPLATES.get(key) else {
        return format!("[{key}]");
    };
    let mut text = String::with_capacity(template.len() + 32);
    let mut rest = template.as_str();
    while let Some((before, after)) = rest.split_once('{') {
        text.push_str(before);
        let Some((name, tail)) = after.split_once('}') else {
            text.push('{');
            rest = after;
            continue;
        };
        if let Some((_, filling)) = holes.iter().find(|(hole, _)| *hole == name) {
            text.push_str(filling);
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

/// Every template, by key.
pub fn templates() -> &'static BTreeMap<String, String> {
    &TEMPLATES
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_parses_and_holds_only_text() {
        let table: toml::Table = ENGLISH.parse().expect("en.toml is TOML");
        let mut flat = BTreeMap::new();
        flatten("", &table, &mut flat);
        assert!(flat.len() > 10);
        assert!(flat.values().all(|text| !text.trim().is_empty()));
    }

    #[test]
    fn what_fills_a_hole_is_never_read_as_a_template() {
        let text = say("error.unknown_command", &[("typed", "{typed}")]);
        assert!(text.contains("{typed}"));
    }
}
