//! What was sent, held against the platform's own published description of its HTTP interface.
//!
//! The description (`OpenAPI` 3.1, published by the platform as `discord-api-spec`, MIT) is not part of the project; the
//! environment variable `CHAT_API_DESCRIPTION` names the file. Without it only the rules written down here are checked,
//! and the test program `conformance` shows one ignored test that says so.

use std::collections::HashMap;
use std::sync::{LazyLock, Mutex};

use jsonschema::Validator;
use serde_json::{Value, json};

use super::stand_in::Recorded;

static DESCRIPTION: LazyLock<Option<Value>> = LazyLock::new(|| {
    #[expect(clippy::disallowed_methods, reason = "a setting of the tests, not of the program")]
    let path = std::env::var("CHAT_API_DESCRIPTION").ok().filter(|path| !path.is_empty())?;
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    Some(serde_json::from_str(&text).unwrap_or_else(|error| panic!("{path}: {error}")))
});

/// Validators already made, by what they are for.
static MADE: LazyLock<Mutex<HashMap<String, &'static Validator>>> = LazyLock::new(Mutex::default);

/// Whether the description is at hand.
pub fn description_given() -> bool {
    DESCRIPTION.is_some()
}

/// Panics with everything that is wrong about the bodies of these requests.
pub fn assert_conforming(records: &[Recorded]) {
    let faults: Vec<String> = records.iter().flat_map(request_faults).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// What is wrong with the body of a request: by the description, and by the rules it lacks.
pub fn request_faults(record: &Recorded) -> Vec<String> {
    let mut faults = own_rules(record);
    if let Some(description) = DESCRIPTION.as_ref() {
        match operation(description, record) {
            None => faults.push("no such method and path in the description".to_owned()),
            Some((name, operation)) => {
                let schema = &operation["requestBody"]["content"]["application/json"]["schema"];
                if schema.is_null() && !record.body.is_null() {
                    faults.push("has a body, which the description does not know".to_owned());
                } else if !schema.is_null() && !record.body.is_null() {
                    faults.extend(schema_faults(&format!("{name} request"), schema, &allowed(&record.body)));
                }
            }
        }
    }
    faults
        .into_iter()
        .map(|fault| format!("{} {}: {fault}\n  {}", record.method, record.path, record.body))
        .collect()
}

/// What is wrong with the answer to a request, by the description. A check of the stand-in, not of the application.
pub fn response_faults(record: &Recorded) -> Vec<String> {
    let Some(description) = DESCRIPTION.as_ref() else { return Vec::new() };
    let Some((name, operation)) = operation(description, record) else {
        return vec![format!("{} {}: unknown", record.method, record.path)];
    };
    let status = record.status.to_string();
    let group = format!("{}XX", record.status / 100);
    let responses = &operation["responses"];
    let known = responses.get(&status).or_else(|| responses.get(&group));
    let Some(response) = known else { return vec![format!("{name} never answers {status}")] };
    let response = match response["$ref"].as_str() {
        Some(path) => description.pointer(path.trim_start_matches('#')).unwrap(),
        None => response,
    };
    let schema = &response["content"]["application/json"]["schema"];
    if schema.is_null() {
        return Vec::new();
    }
    let mut response = record.response.clone();
    if record.status == 400 && response["code"] == 50035 {
        // The description wants whole numbers as inner codes; the platform's reference shows names such as
        // BASE_TYPE_CHOICES ("API Versioning: Error Messages"), and names are what comes.
        response.as_object_mut().unwrap().remove("errors");
    }
    let faults = schema_faults(&format!("{name} {status}"), schema, &response);
    faults.into_iter().map(|fault| format!("{name} {status}: {fault}\n  {}", record.response)).collect()
}

/// The operation for a method and path: the template with the most literal steps.
fn operation<'a>(description: &'a Value, record: &Recorded) -> Option<(String, &'a Value)> {
    let steps: Vec<&str> = record.path.split('/').collect();
    let fits = |template: &str| {
        let parts: Vec<&str> = template.split('/').collect();
        parts.len() == steps.len()
            && parts.iter().zip(&steps).all(|(part, step)| part.starts_with('{') || part == step)
    };
    let method = record.method.to_lowercase();
    let candidates = description["paths"].as_object()?.iter().filter(|(template, _)| fits(template));
    let (template, found) = candidates.min_by_key(|(template, _)| template.matches('{').count())?;
    Some((format!("{} {template}", record.method), found.get(&method)?))
}

fn schema_faults(name: &str, schema: &Value, body: &Value) -> Vec<String> {
    let mut made = MADE.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    let validator = made.entry(name.to_owned()).or_insert_with(|| {
        let mut whole = schema.clone();
        whole["components"] = DESCRIPTION.as_ref().unwrap()["components"].clone();
        Box::leak(Box::new(
            jsonschema::draft202012::new(&whole).expect("the description's schemas are schemas"),
        ))
    });
    validator.iter_errors(body).map(|error| format!("{}: {error}", error.instance_path())).collect()
}

/// The body with known deviations put right; each is accepted by the platform:
/// - `attachments[].id` refers to `files[n]`: the description says text, the chat library sends a whole number
///   (the description's own read-me: numbers are accepted where it says text).
/// - `default_member_permissions` of a command: the description says a whole number, the reference ("Application
///   Command Object") and the library write the bit set as text.
fn allowed(body: &Value) -> Value {
    let mut body = body.clone();
    if let Some(commands) = body.as_array_mut() {
        commands.iter_mut().for_each(permissions_as_number);
    }
    permissions_as_number(&mut body);
    let in_place = |body: &mut Value| {
        for entry in body["attachments"].as_array_mut().into_iter().flatten() {
            if let Some(number) = entry["id"].as_u64() {
                entry["id"] = json!(number.to_string());
            }
        }
    };
    if body.get("attachments").is_some() {
        in_place(&mut body);
    }
    for inner in ["data", "message"] {
        if body.get(inner).is_some_and(|inner| inner.get("attachments").is_some()) {
            in_place(&mut body[inner]);
        }
    }
    body
}

fn permissions_as_number(command: &mut Value) {
    let Some(given) = command.get_mut("default_member_permissions") else { return };
    // Text that is no number stays, and is a fault.
    if let Some(bits) = given.as_str().and_then(|text| text.parse::<u64>().ok()) {
        *given = json!(bits);
    }
}

/// Limits of the platform's reference that its description does not carry.
fn own_rules(record: &Recorded) -> Vec<String> {
    let mut faults = Vec::new();
    let body = &record.body;
    for message in [body, &body["data"], &body["message"]] {
        let long = message["content"].as_str().map_or(0, |text| text.chars().count());
        if long > 2000 {
            faults.push(format!("content has {long} characters; an application may send 2000"));
        }
        let rows = message["components"].as_array().map_or(0, Vec::len);
        if rows > 5 {
            faults.push(format!("{rows} rows of components; 5 is the most"));
        }
        let named: Vec<String> = message["attachments"]
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(|entry| entry["id"].as_u64().or_else(|| entry["id"].as_str()?.parse().ok()))
            .filter(|number| *number < 10)
            .map(|number| format!("files[{number}]"))
            .collect();
        for name in named {
            if !record.files.iter().any(|(part, _)| *part == name) {
                faults.push(format!("attachments name {name}, which was not sent"));
            }
        }
    }
    if record.path.contains("/commands") {
        let commands = body.as_array().cloned().unwrap_or_else(|| vec![body.clone()]);
        for command in &commands {
            name_faults(command, command["type"].as_u64().unwrap_or(1) == 1, &mut faults);
        }
    }
    faults
}

/// Names of commands and options: letters, digits, `-`, `_`, `'`, and lower case.
fn name_faults(part: &Value, plain: bool, faults: &mut Vec<String>) {
    let name = part["name"].as_str().unwrap_or_default();
    let letter = |letter: char| letter.is_alphanumeric() || "-_'".contains(letter);
    if plain && !name.is_empty() && (!name.chars().all(letter) || name != name.to_lowercase()) {
        faults.push(format!("`{name}` can't be the name of a command or option"));
    }
    for option in part["options"].as_array().into_iter().flatten() {
        name_faults(option, true, faults);
    }
}
