//! Registered commands, with the limits of the platform's reference ("Application Commands").

use std::sync::LazyLock;

use regex::Regex;
use serde_json::{Value, json};

use super::State;
use super::clock::Id;
use super::http::{Call, Outcome};
use super::refusal::{Problems, Refusal, refuse};

/// Most commands of each type: 1 chat input, 2 user, 3 message.
const MOST: [(u64, usize); 3] = [(1, 100), (2, 15), (3, 15)];

/// The reference's pattern for the names of chat-input commands and of every option.
static NAME: LazyLock<Regex> =
    LazyLock::new(|| Regex::new(r"^[-_'\p{L}\p{N}\p{Devanagari}\p{Thai}]{1,32}$").unwrap());

pub fn route(state: &mut State, call: &Call, rest: &[&str]) -> Outcome {
    let place = |state: &State, id: &str| {
        let id = Id::read(id).json();
        state.world.commands.iter().position(|command| command["id"] == id)
    };
    match (call.method.as_str(), rest) {
        ("GET", []) => {
            let mut commands = Value::Array(state.world.commands.clone());
            if !call.query.iter().any(|(key, value)| key == "with_localizations" && value == "true") {
                without_translations(&mut commands);
            }
            Ok((200, commands))
        }
        ("PUT", []) => replace(state, &call.body),
        ("POST", []) => upsert(state, &call.body),
        (method, [id]) => {
            let Some(position) = place(state, id) else {
                return refuse(404, 10063, "Unknown application command");
            };
            match method {
                "GET" => Ok((200, state.world.commands[position].clone())),
                "DELETE" => {
                    state.world.commands.remove(position);
                    Ok((204, Value::Null))
                }
                "PATCH" => {
                    let mut changed = state.world.commands[position].clone();
                    for (key, value) in call.body.as_object().into_iter().flatten() {
                        changed[key] = value.clone();
                    }
                    check(std::slice::from_ref(&changed))?;
                    changed["version"] = state.world.clock.next_id().json();
                    state.world.commands[position] = changed.clone();
                    Ok((200, changed))
                }
                _ => refuse(405, 0, "405: Method Not Allowed"),
            }
        }
        _ => refuse(404, 0, "404: Not Found"),
    }
}

/// Translations come only when they are asked for (reference, "Get Global Application Commands").
fn without_translations(part: &mut Value) {
    match part {
        Value::Object(fields) => {
            fields.retain(|key, _| !key.ends_with("_localizations"));
            fields.values_mut().for_each(without_translations);
        }
        Value::Array(parts) => parts.iter_mut().for_each(without_translations),
        _ => {}
    }
}

fn replace(state: &mut State, body: &Value) -> Outcome {
    let Some(commands) = body.as_array() else {
        return refuse(400, 50035, "Invalid Form Body");
    };
    check(commands)?;
    for (kind, most) in MOST {
        if commands.iter().filter(|command| kind_of(command) == kind).count() > most {
            return refuse(400, 30032, &format!("Maximum number of application commands reached ({most})."));
        }
    }
    state.world.commands = commands.iter().map(|command| keep(state, command)).collect::<Vec<_>>();
    Ok((200, Value::Array(state.world.commands.clone())))
}

fn upsert(state: &mut State, body: &Value) -> Outcome {
    check(std::slice::from_ref(body))?;
    let same = |known: &Value| known["name"] == body["name"] && kind_of(known) == kind_of(body);
    let position = state.world.commands.iter().position(same);
    let kept = keep(state, body);
    if let Some(position) = position {
        state.world.commands[position] = kept.clone();
        return Ok((200, kept));
    }
    state.world.commands.push(kept.clone());
    Ok((201, kept))
}

fn kind_of(command: &Value) -> u64 {
    command["type"].as_u64().unwrap_or(1)
}

/// The command as it comes back; a command of the same name keeps its id.
fn keep(state: &mut State, body: &Value) -> Value {
    let mut kept = body.clone();
    let same = |known: &&Value| known["name"] == body["name"] && kind_of(known) == kind_of(body);
    let old = state.world.commands.iter().find(same).map(|known| known["id"].clone());
    let version = state.world.clock.next_id();
    kept["id"] = old.unwrap_or_else(|| version.json());
    kept["version"] = version.json();
    kept["application_id"] = state.world.application.json();
    kept["type"] = json!(kind_of(body));
    let missing: [(&str, Value); 5] = [
        ("description", json!("")),
        ("default_member_permissions", Value::Null),
        ("nsfw", json!(false)),
        ("integration_types", json!([0])),
        ("contexts", Value::Null),
    ];
    for (key, value) in missing {
        if kept[key].is_null() {
            kept[key] = value;
        }
    }
    kept
}

fn check(commands: &[Value]) -> Result<(), Refusal> {
    let mut problems = Problems::default();
    for (position, command) in commands.iter().enumerate() {
        let path = position.to_string();
        let chat_input = kind_of(command) == 1;
        check_name(&path, command, !chat_input, &mut problems);
        if chat_input {
            problems.needed(&format!("{path}.description"), &command["description"], 100);
        }
        check_translations(&path, command, &mut problems);
        check_options(&path, &command["options"], &mut problems);
        let text = longest_text(command);
        if text > 8000 {
            let message = "Command exceeds maximum size (8000)";
            problems.add(&path, "APPLICATION_COMMAND_TOO_LARGE", message);
        }
        let twin = |other: &&Value| other["name"] == command["name"] && kind_of(other) == kind_of(command);
        if commands[..position].iter().any(|other| twin(&other)) {
            let message = "Application command names must be unique";
            problems.add(&path, "APPLICATION_COMMANDS_DUPLICATE_NAME", message);
        }
    }
    problems.finish()
}

fn check_name(path: &str, command: &Value, free: bool, problems: &mut Problems) {
    let name = command["name"].as_str().unwrap_or_default();
    problems.needed(&format!("{path}.name"), &command["name"], 32);
    if !free && (!NAME.is_match(name) || name != name.to_lowercase()) {
        let message = "Command name is invalid";
        problems.add(&format!("{path}.name"), "APPLICATION_COMMAND_INVALID_NAME", message);
    }
}

/// A translation has its field's limits.
fn check_translations(path: &str, part: &Value, problems: &mut Problems) {
    for (field, most) in [("name_localizations", 32), ("description_localizations", 100)] {
        for (locale, text) in part[field].as_object().into_iter().flatten() {
            problems.needed(&format!("{path}.{field}.{locale}"), text, most);
        }
    }
}

fn check_options(path: &str, options: &Value, problems: &mut Problems) {
    problems.at_most(&format!("{path}.options"), options, 25);
    let mut optional_seen = false;
    for (position, option) in options.as_array().into_iter().flatten().enumerate() {
        let path = format!("{path}.options.{position}");
        check_name(&path, option, false, problems);
        problems.needed(&format!("{path}.description"), &option["description"], 100);
        check_translations(&path, option, problems);
        problems.at_most(&format!("{path}.choices"), &option["choices"], 25);
        for (number, choice) in option["choices"].as_array().into_iter().flatten().enumerate() {
            problems.needed(&format!("{path}.choices.{number}.name"), &choice["name"], 100);
            problems.longest(&format!("{path}.choices.{number}.value"), &choice["value"], 100);
        }
        let has_choices = option["choices"].as_array().is_some_and(|choices| !choices.is_empty());
        if has_choices && option["autocomplete"] == true {
            let message = "Choices and autocomplete exclude each other";
            problems.add(&path, "APPLICATION_COMMAND_OPTIONS_CHOICES_AUTOCOMPLETE", message);
        }
        let plain = option["type"].as_u64().is_some_and(|kind| kind > 2);
        if plain && option["required"] == true && optional_seen {
            let message = "Required options must be placed before non-required options";
            problems.add(&path, "APPLICATION_COMMAND_OPTIONS_REQUIRED_INVALID", message);
        }
        optional_seen |= plain && option["required"] != true;
        check_options(&path, &option["options"], problems);
    }
}

/// Characters of names, descriptions and values; of each field's translations only the longest counts.
fn longest_text(part: &Value) -> usize {
    let long = |text: &Value| text.as_str().map_or(0, |text| text.chars().count());
    let field = |key: &str| {
        let translations = part[format!("{key}_localizations")].as_object().cloned().unwrap_or_default();
        translations.values().map(long).chain([long(&part[key])]).max().unwrap_or(0)
    };
    let parts = |key: &str| part[key].as_array().into_iter().flatten().map(longest_text).sum::<usize>();
    field("name") + field("description") + long(&part["value"]) + parts("options") + parts("choices")
}
