//! The body of a message that is being sent or edited, with the limits of the platform's reference
//! ("Create Message", "Embed Limits", "Components").

use std::collections::BTreeSet;

use serde_json::{Value, json};

use super::multipart::File;
use super::refusal::{Problems, Refusal, refuse};

/// Bytes a file may have by default.
const MOST_BYTES_PER_FILE: usize = 10 * 1024 * 1024;

/// Checks everything a message's body says.
pub fn check_message(body: &Value, files: &[File]) -> Result<(), Refusal> {
    if files.len() > 10 {
        return refuse(400, 30015, "Maximum number of attachments in a message reached (10)");
    }
    if files.iter().any(|file| file.bytes.len() > MOST_BYTES_PER_FILE) {
        return refuse(413, 40005, "Request entity too large");
    }
    let mut problems = Problems::default();
    problems.longest("content", &body["content"], 2000);
    problems.longest("nonce", &body["nonce"], 25);
    check_embeds(&body["embeds"], &mut problems);
    check_rows(&body["components"], &mut problems);
    check_mentions(&body["allowed_mentions"], &mut problems);
    let described = body["attachments"].as_array().into_iter().flatten();
    for (position, file) in described.enumerate() {
        problems.longest(&format!("attachments.{position}.description"), &file["description"], 1024);
    }
    problems.finish()
}

/// A message needs something to show.
pub fn check_not_empty(body: &Value, files: &[File]) -> Result<(), Refusal> {
    let text = body["content"].as_str().is_some_and(|text| !text.trim().is_empty());
    let filled = |key: &str| body[key].as_array().is_some_and(|list| !list.is_empty());
    if text || filled("embeds") || filled("components") || !files.is_empty() {
        return Ok(());
    }
    refuse(400, 50006, "Cannot send an empty message")
}

fn check_mentions(allowed: &Value, problems: &mut Problems) {
    problems.at_most("allowed_mentions.users", &allowed["users"], 100);
    problems.at_most("allowed_mentions.roles", &allowed["roles"], 100);
    for kind in ["users", "roles"] {
        let parsed = allowed["parse"].as_array().is_some_and(|kinds| kinds.iter().any(|named| named == kind));
        if parsed && allowed[kind].as_array().is_some_and(|ids| !ids.is_empty()) {
            let message = format!("parse:[\"{kind}\"] and {kind}: [ids...] are mutually exclusive.");
            problems.add("allowed_mentions", "MESSAGE_ALLOWED_MENTIONS_PARSE_EXCLUSIVE", message);
        }
    }
}

fn check_embeds(embeds: &Value, problems: &mut Problems) {
    problems.at_most("embeds", embeds, 10);
    let mut sum = 0;
    let mut count = |text: &Value| sum += text.as_str().map_or(0, |text| text.chars().count());
    for (position, embed) in embeds.as_array().into_iter().flatten().enumerate() {
        let at = |key: &str| format!("embeds.{position}.{key}");
        problems.longest(&at("title"), &embed["title"], 256);
        problems.longest(&at("description"), &embed["description"], 4096);
        problems.longest(&at("footer.text"), &embed["footer"]["text"], 2048);
        problems.longest(&at("author.name"), &embed["author"]["name"], 256);
        problems.at_most(&at("fields"), &embed["fields"], 25);
        for text in
            [&embed["title"], &embed["description"], &embed["footer"]["text"], &embed["author"]["name"]]
        {
            count(text);
        }
        for (number, field) in embed["fields"].as_array().into_iter().flatten().enumerate() {
            problems.needed(&at(&format!("fields.{number}.name")), &field["name"], 256);
            problems.needed(&at(&format!("fields.{number}.value")), &field["value"], 1024);
            count(&field["name"]);
            count(&field["value"]);
        }
    }
    if sum > 6000 {
        problems.add("embeds", "MAX_EMBED_SIZE_EXCEEDED", "Embed size exceeds maximum size of 6000");
    }
}

/// At most five rows of at most five buttons, or one select.
fn check_rows(rows: &Value, problems: &mut Problems) {
    problems.at_most("components", rows, 5);
    let mut used = BTreeSet::new();
    for (position, row) in rows.as_array().into_iter().flatten().enumerate() {
        let path = format!("components.{position}");
        if row["type"] != 1 {
            problems.add(&path, "UNION_TYPE_CHOICES", "Value of field \"type\" must be one of (1,).");
            continue;
        }
        let parts = row["components"].as_array().cloned().unwrap_or_default();
        if parts.is_empty() {
            problems.add(&path, "BASE_TYPE_BAD_LENGTH", "Must be between 1 and 5 in length.");
        }
        problems.at_most(&format!("{path}.components"), &row["components"], 5);
        let selects = parts.iter().filter(|part| part["type"].as_u64().is_some_and(|kind| kind != 2)).count();
        if selects > 1 || (selects == 1 && parts.len() > 1) {
            problems.add(&path, "COMPONENT_LAYOUT_WIDTH_EXCEEDED", "The action row is too wide");
        }
        for (number, part) in parts.iter().enumerate() {
            let path = format!("{path}.components.{number}");
            check_part(&path, part, problems);
            let fresh = part["custom_id"].as_str().is_none_or(|id| used.insert(id.to_owned()));
            if !fresh {
                let message = "Component custom id cannot be duplicated";
                problems.add(&format!("{path}.custom_id"), "COMPONENT_CUSTOM_ID_DUPLICATED", message);
            }
        }
    }
}

fn check_part(path: &str, part: &Value, problems: &mut Problems) {
    let at = |key: &str| format!("{path}.{key}");
    match part["type"].as_u64() {
        Some(2) => {
            problems.longest(&at("label"), &part["label"], 80);
            if part["style"] == 5 {
                problems.needed(&at("url"), &part["url"], 512);
            } else {
                problems.needed(&at("custom_id"), &part["custom_id"], 100);
            }
            if part["label"].as_str().unwrap_or_default().is_empty() && part["emoji"].is_null() {
                problems.add(path, "BUTTON_COMPONENT_EMPTY", "A button must have a label or an emoji");
            }
        }
        Some(3) => {
            problems.needed(&at("custom_id"), &part["custom_id"], 100);
            problems.longest(&at("placeholder"), &part["placeholder"], 150);
            problems.at_most(&at("options"), &part["options"], 25);
            for (number, option) in part["options"].as_array().into_iter().flatten().enumerate() {
                problems.needed(&at(&format!("options.{number}.label")), &option["label"], 100);
                problems.needed(&at(&format!("options.{number}.value")), &option["value"], 100);
                problems.longest(&at(&format!("options.{number}.description")), &option["description"], 100);
            }
        }
        Some(5..=8) => problems.needed(&at("custom_id"), &part["custom_id"], 100),
        _ => problems.add(
            path,
            "UNION_TYPE_CHOICES",
            "Value of field \"type\" must be one of (2, 3, 5, 6, 7, 8).",
        ),
    }
}

/// Checks a form (callback type 9).
pub fn check_modal(form: &Value) -> Result<(), Refusal> {
    let mut problems = Problems::default();
    problems.needed("data.title", &form["title"], 45);
    problems.needed("data.custom_id", &form["custom_id"], 100);
    let rows = form["components"].as_array().cloned().unwrap_or_default();
    if rows.is_empty() || rows.len() > 5 {
        problems.add("data.components", "BASE_TYPE_BAD_LENGTH", "Must be between 1 and 5 in length.");
    }
    for (position, row) in rows.iter().enumerate() {
        let path = format!("data.components.{position}");
        let classic = row["type"] == 1;
        let inner = if classic { &row["components"][0] } else { &row["component"] };
        if !classic && row["type"] != 18 {
            problems.add(&path, "UNION_TYPE_CHOICES", "Value of field \"type\" must be one of (1, 18).");
        }
        let label = if classic { &inner["label"] } else { &row["label"] };
        problems.needed(&format!("{path}.label"), label, 45);
        problems.needed(&format!("{path}.custom_id"), &inner["custom_id"], 100);
        problems.longest(&format!("{path}.placeholder"), &inner["placeholder"], 100);
        problems.longest(&format!("{path}.value"), &inner["value"], 4000);
        if inner["type"] == 4 && !matches!(inner["style"].as_u64(), Some(1 | 2)) {
            problems.add(&format!("{path}.style"), "BASE_TYPE_CHOICES", "Value must be one of {1, 2}.");
        }
    }
    problems.finish()
}

/// Checks suggestions (callback type 8).
pub fn check_choices(choices: &Value) -> Result<(), Refusal> {
    let mut problems = Problems::default();
    problems.at_most("data.choices", choices, 25);
    for (position, choice) in choices.as_array().into_iter().flatten().enumerate() {
        problems.needed(&format!("data.choices.{position}.name"), &choice["name"], 100);
        problems.longest(&format!("data.choices.{position}.value"), &choice["value"], 100);
    }
    problems.finish()
}

/// Embeds as they come back: each with its type.
pub fn kept_embeds(embeds: &Value) -> Value {
    let mut kept = embeds.as_array().cloned().unwrap_or_default();
    for embed in &mut kept {
        embed["type"] = json!("rich");
        embed.as_object_mut().unwrap().retain(|_, value| !value.is_null());
        for field in embed.get_mut("fields").and_then(Value::as_array_mut).into_iter().flatten() {
            field["inline"] = json!(field["inline"] == true);
        }
    }
    Value::Array(kept)
}

/// Components as they come back: each with a number of its own.
pub fn kept_components(rows: &Value) -> Value {
    let mut kept = rows.as_array().cloned().unwrap_or_default();
    let mut number = 0;
    for row in &mut kept {
        number += 1;
        row["id"] = json!(number);
        for part in row["components"].as_array_mut().into_iter().flatten() {
            number += 1;
            part["id"] = json!(number);
            part.as_object_mut().unwrap().retain(|_, value| !value.is_null());
        }
    }
    Value::Array(kept)
}
