//! Every dialogue in `tests/dialogues/` comes out exactly as it is written there.
//!
//! `UPDATE_DIALOGUES=1 cargo test dialogues` writes what came back into the files; the difference is then read like
//! code before it is committed.

use chrono::{DateTime, Utc};
use std::fs;
use std::path::{Path, PathBuf};
use tallyhook::desk::{Desk, table};
use tallyhook::store::Store;
use tallyhook::terminal::dialogue::Player;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/dialogues")
}

/// Where the files lie that members of dialogues name.
pub(crate) fn files() -> PathBuf {
    folder().join("files")
}

pub(crate) fn dialogues() -> Vec<PathBuf> {
    let entries = fs::read_dir(folder()).unwrap().map(|entry| entry.unwrap().path());
    let mut found: Vec<PathBuf> =
        entries.filter(|path| path.extension().is_some_and(|ending| ending == "txt")).collect();
    found.sort();
    found
}

async fn played(script: &str) -> String {
    let store = Store::open_temporary().await.unwrap();
    let desk = Desk::new(store);
    Player::new(&desk, start()).with_files(&files()).play(script).await.unwrap()
}

/// Where the clock stands until a dialogue sets it.
pub(crate) fn start() -> DateTime<Utc> {
    DateTime::from_timestamp(1_790_000_000, 0).unwrap()
}

#[tokio::test]
async fn every_dialogue_comes_out_as_written() {
    let mut wrong = Vec::new();
    for path in dialogues() {
        let written = fs::read_to_string(&path).unwrap();
        let came = played(&written).await;
        if came == written {
            continue;
        }
        if std::env::var_os("UPDATE_DIALOGUES").is_some() {
            fs::write(&path, &came).unwrap();
        }
        wrong.push(difference(&path, &written, &came));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The first line that differs, with what was expected and what came.
fn difference(path: &Path, written: &str, came: &str) -> String {
    let name = path.file_name().unwrap().to_string_lossy();
    let first = written.lines().zip(came.lines()).position(|(one, other)| one != other);
    let at = first.unwrap_or_else(|| written.lines().count().min(came.lines().count()));
    let line = |text: &str| text.lines().nth(at).unwrap_or("(nothing)").to_owned();
    format!("{name}:{}\n  written: {}\n  came:    {}", at + 1, line(written), line(came))
}

/// The answers of a dialogue, each as one text.
fn answers(script: &str) -> Vec<String> {
    let mut answers = vec![String::new()];
    for line in script.lines() {
        match (line.strip_prefix("bot<"), answers.last_mut()) {
            (Some(said), Some(answer)) => answer.extend([said.trim_start(), "\n"]),
            _ => answers.push(String::new()),
        }
    }
    answers.retain(|answer| !answer.is_empty());
    answers
}

#[test]
fn every_verdict_by_a_rule_says_who_decides() {
    let verdicts = [
        "is within the published limit",
        "is over the published limit",
        "is at the published limit",
        "has reached the limit",
        "ends the degree-hours: ",
        "is below the ",
        "does not end the degree-hours",
    ];
    let (mut judged, mut silent) = (0, Vec::new());
    for path in dialogues() {
        for answer in answers(&fs::read_to_string(&path).unwrap()) {
            // A recipe that is not shown because of its dose is refused, not judged.
            if verdicts.iter().any(|verdict| answer.contains(verdict)) && !answer.contains("cannot be shown")
            {
                judged += 1;
                if !answer.contains("Local rules and licensed practice decide.") {
                    silent.push(format!("{}: {answer}", path.display()));
                }
            }
        }
    }
    assert!(silent.is_empty(), "{}", silent.join("\n"));
    assert!(judged > 100, "only {judged} verdicts were found");
}

#[test]
fn every_command_has_a_dialogue() {
    let names: Vec<String> =
        dialogues().iter().map(|path| path.file_stem().unwrap().to_string_lossy().into_owned()).collect();
    let missing: Vec<String> = table::all()
        .map(|spec| spec.name().replace([' ', '-'], "_"))
        .filter(|name| !names.contains(name))
        .collect();
    assert!(missing.is_empty(), "no dialogue for {missing:?}");
}

#[test]
fn three_journeys_are_told() {
    let journeys = dialogues()
        .iter()
        .filter(|path| path.file_name().unwrap().to_string_lossy().starts_with("journey_"))
        .count();
    assert!(journeys >= 3);
}

#[tokio::test]
async fn every_example_of_a_command_is_read() {
    let store = Store::open_temporary().await.unwrap();
    let desk = Desk::new(store);
    for spec in table::all() {
        for example in spec.examples {
            let at = DateTime::from_timestamp(1_790_000_000, 0).unwrap();
            let incoming = tallyhook::desk::Incoming::line("home", "mara", example, at);
            if let tallyhook::desk::Answered::Error(error) = desk.answer(&incoming).await {
                let unread = [
                    "unknown_command",
                    "unknown_option",
                    "missing_option",
                    "unit_unknown",
                    "percent_sign_needed",
                    "out_of_range",
                    "unknown_choice",
                    "our_fault",
                    "number_ambiguous",
                ];
                assert!(!unread.contains(&error.code), "{example}: {} {}", error.code, error.message);
            }
        }
    }
}
