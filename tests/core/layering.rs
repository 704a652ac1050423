//! The arrows between the layers, and the packages that live in one layer only.

use std::fs;
use std::path::{Path, PathBuf};

/// A layer and what it may use.
const MAY_USE: [(&str, &[&str]); 16] = [
    ("quantity", &[]),
    ("record", &["quantity"]),
    ("record_file", &["quantity", "record"]),
    ("curing", &["quantity", "record"]),
    ("chart", &["quantity", "record", "curing"]),
    ("document", &["chart"]),
    ("sheet", &["quantity"]),
    ("reply", &["quantity", "record", "curing", "chart"]),
    ("clock", &[]),
    ("wall", &[]),
    ("store", &["quantity", "record"]),
    ("remind", &["quantity", "record", "curing", "reply", "store", "clock", "wall"]),
    (
        "command",
        &[
            "quantity",
            "record",
            "record_file",
            "curing",
            "chart",
            "document",
            "sheet",
            "reply",
            "store",
            "clock",
            "wall",
            "remind::plan",
            "remind::quiet",
        ],
    ),
    ("desk", &["command", "chart", "reply", "record", "store", "clock", "remind"]),
    ("discord", &["desk", "chart", "reply", "record", "clock", "store", "remind::courier", "remind::worker"]),
    ("terminal", &["desk", "chart", "reply", "record", "clock", "store", "remind"]),
];

/// A package and the only layers that may name it.
const LIVES_IN: [(&str, &[&str]); 16] = [
    ("sqlx", &["store"]),
    ("serenity", &["discord"]),
    ("reqwest", &["discord"]),
    ("rustyline", &["terminal"]),
    ("clap", &["main"]),
    ("anyhow", &["main", "config", "serve"]),
    ("tokio", &["store", "remind", "desk", "discord", "terminal", "main", "serve"]),
    ("regex", &["command"]),
    ("csv", &["command"]),
    ("resvg", &["chart"]),
    ("krilla", &["document"]),
    ("krilla_svg", &["document"]),
    ("ttf_parser", &["chart"]),
    ("encoding_rs", &["sheet"]),
    (
        "chrono_tz",
        &["record_file", "chart", "sheet", "wall", "reply", "command", "remind", "desk", "terminal"],
    ),
    ("toml", &["curing", "reply", "command", "terminal"]),
];

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
        if entry.is_dir() {
            sources(&entry, found);
        } else if entry.extension().is_some_and(|ending| ending == "rs") {
            found.push(entry);
        }
    }
}

/// Every source file with the layer it stands in and its code without comments and without its tests; modules of tests
/// alone may build their material from any layer and stay out.
fn files() -> Vec<(String, PathBuf, String)> {
    every_file().into_iter().filter(|(_, path, _)| !is_tests(path)).collect()
}

fn every_file() -> Vec<(String, PathBuf, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    sources(&root, &mut found);
    let layer_of = |path: &Path| {
        let first = path.strip_prefix(&root).unwrap().components().next().unwrap();
        first.as_os_str().to_string_lossy().trim_end_matches(".rs").to_owned()
    };
    found
        .into_iter()
        .map(|path| (layer_of(&path), path.clone(), code(&fs::read_to_string(&path).unwrap())))
        .collect()
}

fn is_tests(path: &Path) -> bool {
    path.components().any(|part| matches!(part.as_os_str().to_str(), Some("tests" | "tests.rs")))
}

fn code(text: &str) -> String {
    let text = text.split("#[cfg(test)]").next().unwrap_or_default();
    text.lines().filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

#[test]
fn arrows_point_down_only() {
    let arrow = regex::Regex::new(r"crate::([a-z_]+(?:::[a-z_]+)?)").unwrap();
    let mut wrong = Vec::new();
    for (layer, path, code) in files() {
        let Some((_, allowed)) = MAY_USE.iter().find(|(name, _)| *name == layer) else {
            continue;
        };
        for used in arrow.captures_iter(&code).map(|found| found[1].to_owned()) {
            let top = used.split("::").next().unwrap_or_default();
            if top != layer && !allowed.contains(&top) && !allowed.contains(&used.as_str()) {
                wrong.push(format!("{}: {layer} uses {used}", path.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_layer_is_known_to_this_test() {
    for (layer, path, _) in files() {
        let known = MAY_USE.iter().any(|(name, _)| *name == layer)
            || ["lib", "main", "config", "serve"].contains(&layer.as_str());
        assert!(known, "{} stands in no layer", path.display());
    }
}

#[test]
fn packages_stay_in_their_layer() {
    let mut wrong = Vec::new();
    for (layer, path, code) in files() {
        for (package, homes) in LIVES_IN {
            let named = regex::Regex::new(&format!(r"\b{package}::")).unwrap();
            if named.is_match(&code) && !homes.contains(&layer.as_str()) {
                wrong.push(format!("{}: {layer} names {package}", path.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// The address of a file comes in with its message, is looked at in one place and goes no further: nothing could fetch it.
#[test]
fn nothing_fetches_a_file_of_a_message() {
    let fetches = regex::Regex::new(
        r"reqwest::(get|blocking|Request)|\.download\(|\.proxy_url|\.get\(\s*&?\s*url|\.avatar_url\(",
    )
    .unwrap();
    let reads = regex::Regex::new(r"\.url\b").unwrap();
    for (_, path, code) in files() {
        assert!(!fetches.is_match(&code), "{} fetches something", path.display());
        let is_the_one = path.ends_with("discord/attached.rs");
        assert!(is_the_one || !reads.is_match(&code), "{} reads a file's address", path.display());
        if is_the_one {
            assert_eq!(reads.find_iter(&code).count(), 1, "it is looked at once");
            assert!(
                !code.contains("Client") && !code.contains("async"),
                "{} may look and not fetch",
                path.display()
            );
        }
        if code.contains("Client::builder") {
            assert!(path.ends_with("discord/api.rs"), "{} makes a client of its own", path.display());
        }
    }
}

/// What a member hands to a command is fetched by one request, which takes an address that only one place makes.
#[test]
fn a_file_that_is_handed_over_is_fetched_in_one_place() {
    let mut asked = Vec::new();
    for (layer, path, code) in files() {
        if layer == "discord" {
            asked.extend(std::iter::repeat_n(path.clone(), code.matches(".client.get(").count()));
            let makes = code.matches("map(OwnAddress)").count() + code.matches("OwnAddress(").count();
            // It is declared and made once, both where it is looked at.
            let expected = if path.ends_with("discord/attached.rs") { 2 } else { 0 };
            assert_eq!(makes, expected, "{} makes an address", path.display());
        }
    }
    let [only] = asked.as_slice() else { panic!("{asked:?}") };
    assert!(only.ends_with("discord/api/files.rs"), "{}", only.display());
}

#[test]
fn nobody_groups_layers_in_one_use() {
    for (_, path, code) in files() {
        assert!(!code.contains("use crate::{"), "{} hides its arrows in a group", path.display());
    }
}

#[test]
fn the_pure_part_never_asks_for_the_time() {
    for (layer, path, code) in files() {
        if ["quantity", "record", "record_file", "curing", "chart", "document", "sheet", "reply"]
            .contains(&layer.as_str())
        {
            assert!(!code.contains("::now("), "{} asks for the time", path.display());
        }
    }
}

#[test]
fn files_stay_readable() {
    const MOST_LINES: usize = 299;
    for (_, path, code) in
        every_file().into_iter().filter(|(_, path, _)| path.file_name().is_none_or(|name| name != "tests.rs"))
    {
        let lines = code.lines().filter(|line| !line.trim().is_empty()).count();
        assert!(lines <= MOST_LINES, "{} has {lines} lines of code", path.display());
    }
}
