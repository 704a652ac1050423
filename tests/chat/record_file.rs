//! A record as a file: every export is as its schema says, and what is taken back is what was there. All invented.

use crate::dialogues::{dialogues, start};
use chrono::{DateTime, Utc};
use serde_json::Value;
use std::fs;
use std::sync::LazyLock;
use tallyhook::desk::{Answered, Desk, Incoming};
use tallyhook::record_file::SCHEMA;
use tallyhook::reply::{File, Reply};
use tallyhook::store::Store;
use tallyhook::terminal::dialogue::Player;

static SCHEMA_OF_THE_FORMAT: LazyLock<jsonschema::Validator> = LazyLock::new(|| {
    let schema: Value = serde_json::from_str(SCHEMA).unwrap();
    jsonschema::draft202012::options().should_validate_formats(true).build(&schema).unwrap()
});

pub(crate) fn assert_as_the_schema_says(text: &[u8]) -> Value {
    let file: Value = serde_json::from_slice(text).unwrap();
    let wrong: Vec<String> = SCHEMA_OF_THE_FORMAT
        .iter_errors(&file)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    file
}

pub(crate) async fn desk() -> Desk {
    Desk::new(Store::open_temporary().await.unwrap())
}

/// A desk whose record tells what happened in a dialogue, and the moment it ends at.
pub(crate) async fn after(script: &str) -> (Desk, DateTime<Utc>) {
    let desk = desk().await;
    let mut player = Player::new(&desk, start()).with_files(&crate::dialogues::files());
    player.play(script).await.unwrap();
    let now = player.now();
    (desk, now)
}

pub(crate) async fn say(desk: &Desk, member: &str, line: &str, at: DateTime<Utc>) -> Answered {
    desk.answer(&Incoming { confirmed: true, ..Incoming::line("home", member, line, at) }).await
}

pub(crate) async fn reply(desk: &Desk, member: &str, line: &str, at: DateTime<Utc>) -> Box<Reply> {
    match say(desk, member, line, at).await {
        Answered::Reply(reply) => reply,
        other => panic!("{line}: {}", other.text()),
    }
}

pub(crate) async fn exported(desk: &Desk, member: &str, at: DateTime<Utc>) -> Vec<File> {
    reply(desk, member, "me export", at).await.files
}

pub(crate) async fn json_of(desk: &Desk, member: &str, at: DateTime<Utc>) -> Vec<u8> {
    let files = exported(desk, member, at).await;
    files.into_iter().find(|file| file.media_type == "application/json").unwrap().bytes
}

/// Every line that shows something of a member's record and of nobody else's.
fn looks(file: &Value) -> Vec<String> {
    let mut lines: Vec<String> = ["chamber list", "me show", "remind list"].map(str::to_owned).into();
    // The list of who helps others holds their batches too.
    if file["helping"].as_array().unwrap().is_empty() {
        lines.push("batch list which:all".to_owned());
    }
    let entries = file["entries"].as_array().unwrap();
    let highest = entries.iter().filter_map(|entry| entry["id"].as_i64()).max().unwrap_or_default();
    for entry in entries.iter().filter(|entry| entry["what"]["kind"] == "batch_started") {
        let batch = entry["about"]["batch"].as_i64().unwrap();
        lines.push(format!("batch show batch:B{batch}"));
        for chart in ["drying", "fermentation", "chamber"] {
            lines.push(format!("batch show batch:B{batch} chart:{chart}"));
        }
        lines.push(format!("ferment degree-hours batch:B{batch}"));
        lines.push(format!("log history batch:B{batch}"));
        for before in (0..=highest).rev().step_by(20) {
            lines.push(format!("log history batch:B{batch} before:{before}"));
        }
    }
    for share in file["shares"].as_array().unwrap() {
        lines.push(format!("group board batch:B{}", share["batch"]));
    }
    for kept in file["formulations"].as_array().unwrap() {
        lines.push(format!("formulation show name:\"{}\"", kept["name"].as_str().unwrap()));
    }
    lines
}

/// What shows something of others too, where there are any.
const LOOKS_AT_OTHERS: [&str; 4] = ["formulation list", "group board", "group stats", "group settings"];

/// What a line brings, with everything that is drawn or handed out with it.
async fn seen(desk: &Desk, member: &str, line: &str, at: DateTime<Utc>) -> String {
    let answered = say(desk, member, line, at).await;
    let Answered::Reply(reply) = &answered else { return answered.text() };
    let chart = reply.chart.as_ref().map(|chart| format!("{chart:#?}"));
    let whole = answered.json();
    format!("{}\n{}\n{}\n{chart:?}", answered.text(), whole["figures"], whole["findings"])
}

/// Takes a member's record back into an empty one.
async fn taken_back(bytes: &[u8], member: &str, at: DateTime<Utc>) -> Desk {
    let desk = desk().await;
    match desk.restore("home", member, bytes, at).await {
        Answered::Reply(_) => desk,
        other => panic!("{}", other.text()),
    }
}

/// What is said of others in an answer is not in a file, so it is left out before two answers are compared: who wrote an
/// entry, who helps, whose recipe it was. Whoever is alone in a record looks after it.
fn without_others(text: &str, others: &[String]) -> String {
    let lines = text.lines().filter(|line| !line.starts_with("Helpers: "));
    let text = lines.collect::<Vec<_>>().join("\n").replace(", member of home.", ", steward of home.");
    others.iter().fold(text, |text, other| text.replace(other, "a former helper"))
}

/// Exports, checks, takes back, compares every look, and exports again. Gives the desk over what was taken back.
pub(crate) async fn comes_back(desk: &Desk, member: &str, at: DateTime<Utc>, others: &[String]) -> Desk {
    let bytes = json_of(desk, member, at).await;
    let file = assert_as_the_schema_says(&bytes);
    // The clock of some dialogues goes back.
    let moments = file["entries"].as_array().unwrap().iter();
    let written = moments.map(|entry| entry["recorded_at"].as_str().unwrap().parse().unwrap());
    let again = taken_back(&bytes, member, written.fold(at, DateTime::max)).await;
    let mut lines = looks(&file);
    if others.is_empty() {
        lines.extend(LOOKS_AT_OTHERS.map(str::to_owned));
    }
    let mut differing = Vec::new();
    for line in &lines {
        let before = seen(desk, member, line, at).await;
        let after = seen(&again, member, line, at).await;
        let (before, after) = (without_others(&before, others), without_others(&after, others));
        if before != after {
            differing.push(format!("{member}> {line}\nbefore: {before}\nafter:  {after}"));
        }
    }
    assert!(differing.is_empty(), "{}", differing.join("\n\n"));
    let second = assert_as_the_schema_says(&json_of(&again, member, at).await);
    for part in
        ["owner", "chambers", "meters", "entries", "logged_air", "reminders", "shares", "formulations"]
    {
        assert_eq!(without_groups(&file[part]), without_groups(&second[part]), "{part}");
    }
    again
}

/// Groups have other numbers in another record.
fn without_groups(part: &Value) -> Value {
    match part {
        Value::Object(fields) => {
            let kept = fields.iter().filter(|(name, _)| *name != "group");
            kept.map(|(name, value)| (name.clone(), without_groups(value))).collect()
        }
        Value::Array(items) => items.iter().map(without_groups).collect(),
        other => other.clone(),
    }
}

/// The members of a record, each with the names of the others.
fn members(desk: &Desk) -> Vec<(String, Vec<String>)> {
    let store = desk.store();
    let groups = store.groups();
    let all: Vec<String> =
        groups.iter().flat_map(|group| store.members_of_group(group.id)).map(|member| member.name).collect();
    let others = |name: &String| all.iter().filter(|other| *other != name).cloned().collect();
    all.iter().map(|name| (name.clone(), others(name))).collect()
}

#[tokio::test]
async fn the_demonstrations_record_comes_back() {
    let past = include_str!("../../demo-data/past.txt");
    let story = include_str!("../../demo-data/story.txt");
    let (desk, now) = after(&format!("{past}{story}")).await;
    let everybody = members(&desk);
    assert!(everybody.len() > 1, "{everybody:?}");
    for (member, others) in everybody {
        let again = comes_back(&desk, &member, now, &others).await;
        let card = reply(&again, &member, "batch list which:all", now).await;
        assert!(!card.lines.is_empty(), "{member}: {card:?}");
    }
}

#[tokio::test]
async fn every_dialogues_records_come_back() {
    for path in dialogues() {
        let script = fs::read_to_string(&path).unwrap();
        let (desk, now) = after(&script).await;
        for (member, others) in members(&desk) {
            println!("{} as {member}", path.display());
            comes_back(&desk, &member, now, &others).await;
        }
    }
}
