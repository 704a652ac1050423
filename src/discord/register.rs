//! Slash commands, made from the one table of commands and registered only where they differ from what is there.

use super::api::Api;
use super::limits;
use super::suggest;
use super::trouble::Trouble;
use crate::desk::table::{self, OptionKind, OptionSpec, Root, Spec};
use crate::reply::{Language, in_language, say};
use serde_json::{Map, Value, json};

/// A command of the bar where one types.
const CHAT_INPUT: u8 = 1;
/// A command of a message's menu.
const MESSAGE_MENU: u8 = 3;
/// A verb.
const SUBCOMMAND: u8 = 1;
/// A file.
const ATTACHMENT: u8 = 11;
/// A text. Numbers are texts too: the platform would read a decimal comma by its own rules, and knows no units.
const TEXT: u8 = 3;

/// Registers the commands if they are not there as they should be; answers whether anything was written.
pub(super) async fn register(api: &Api) -> Result<bool, Trouble> {
    let wanted = commands();
    let there = api.commands().await?;
    if same(&wanted, &there) {
        return Ok(false);
    }
    api.set_commands(&wanted).await?;
    Ok(true)
}

/// Every command as the platform takes it.
pub(super) fn commands() -> Value {
    let mut all: Vec<Value> = table::ROOTS.iter().map(of_root).collect();
    let mut menu = json!({ "type": MESSAGE_MENU, "contexts": [0, 1], "integration_types": [0] });
    worded(&mut menu, "name", |language| in_language(language, || say("platform.menu.log", &[])));
    all.push(menu);
    Value::Array(all)
}

fn of_root(root: &Root) -> Value {
    let bare = root.specs.iter().find(|spec| spec.verb.is_empty());
    let options: Vec<Value> = match bare {
        Some(spec) => options(spec),
        None => root.specs.iter().map(|spec| of_verb(spec)).collect(),
    };
    let mut value = json!({
        "type": CHAT_INPUT,
        "name": root.name,
        "options": options,
        "contexts": [0, 1],
        "integration_types": [0],
    });
    worded(&mut value, "description", |language| described(root.about_in(language)));
    value
}

fn of_verb(spec: &Spec) -> Value {
    let mut value = json!({ "type": SUBCOMMAND, "name": spec.verb, "options": options(spec) });
    worded(&mut value, "description", |language| described(spec.summary_in(language)));
    value
}

/// A field in English, and in every other language beside it, under the platform's names for them: those of ours have no
/// region, like the tags.
fn worded(value: &mut Value, field: &str, text: impl Fn(Language) -> String) {
    let others = Language::ALL.into_iter().filter(|language| *language != Language::English);
    let others: Map<String, Value> =
        others.map(|language| (language.tag().to_owned(), json!(text(language)))).collect();
    value[field] = json!(text(Language::English));
    value[format!("{field}_localizations")] = Value::Object(others);
}

/// The platform wants what is required first.
fn options(spec: &Spec) -> Vec<Value> {
    let (needed, others): (Vec<&OptionSpec>, Vec<&OptionSpec>) =
        spec.options.iter().partition(|option| option.required);
    needed.into_iter().chain(others).map(|option| of_option(spec, option)).collect()
}

fn of_option(spec: &Spec, option: &OptionSpec) -> Value {
    let mut value = json!({
        "type": if option.kind == OptionKind::File { ATTACHMENT } else { TEXT },
        "name": option.name,
        "required": option.required,
    });
    worded(&mut value, "description", |language| described(spec.help_in(option, language)));
    match option.kind {
        OptionKind::Choice(words) if words.len() <= limits::SUGGESTIONS => {
            let choices: Vec<Value> =
                words.iter().map(|word| json!({ "name": word, "value": word })).collect();
            value["choices"] = json!(choices);
        }
        _ if suggest::suggests(option) => value["autocomplete"] = json!(true),
        _ => {}
    }
    value
}

fn described(text: &str) -> String {
    limits::shortened(text, limits::COMMAND_DESCRIPTION)
}

/// Whether what is registered is what is wanted; the platform adds fields of its own.
fn same(wanted: &Value, there: &Value) -> bool {
    let sorted = |value: &Value| {
        let mut all: Vec<Value> = value.as_array().into_iter().flatten().map(bare).collect();
        all.sort_by_key(ToString::to_string);
        all
    };
    sorted(wanted) == sorted(there)
}

/// A command or an option with only the fields that we set, and none that say nothing.
fn bare(value: &Value) -> Value {
    const OURS: [&str; 11] = [
        "type",
        "name",
        "name_localizations",
        "description",
        "description_localizations",
        "required",
        "choices",
        "autocomplete",
        "options",
        "contexts",
        "integration_types",
    ];
    let mut kept = Map::new();
    for name in OURS {
        let Some(field) = value.get(name).filter(|field| says_something(field)) else { continue };
        let field = match (name, field.as_array()) {
            ("options", Some(list)) => list.iter().map(bare).collect(),
            ("choices", Some(list)) => list
                .iter()
                .map(|choice| json!({ "name": choice["name"], "value": choice["value"] }))
                .collect(),
            _ => field.clone(),
        };
        kept.insert(name.to_owned(), field);
    }
    Value::Object(kept)
}

fn says_something(field: &Value) -> bool {
    match field {
        Value::Null | Value::Bool(false) => false,
        Value::Array(list) => !list.is_empty(),
        Value::String(text) => !text.is_empty(),
        _ => true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A field's longest text, whatever the language: what the platform counts (its reference, "Application Commands").
    fn longest(value: &Value, name: &str) -> usize {
        let others = value[format!("{name}_localizations")].as_object();
        let others = others.into_iter().flat_map(|others| others.values());
        others.chain([&value[name]]).filter_map(Value::as_str).map(limits::width).max().unwrap_or_default()
    }

    fn text_of(value: &Value) -> usize {
        match value {
            Value::Object(fields) => {
                let own =
                    ["name", "description", "value"].iter().map(|name| longest(value, name)).sum::<usize>();
                own + ["options", "choices"]
                    .iter()
                    .filter_map(|name| fields.get(*name))
                    .map(text_of)
                    .sum::<usize>()
            }
            Value::Array(list) => list.iter().map(text_of).sum(),
            _ => 0,
        }
    }

    fn each(value: &Value, look: &mut impl FnMut(&Value)) {
        look(value);
        for option in value["options"].as_array().into_iter().flatten() {
            each(option, look);
        }
    }

    #[test]
    fn every_command_is_inside_the_limits() {
        let all = commands();
        let all = all.as_array().unwrap();
        assert_eq!(all.len(), table::ROOTS.len() + 1);
        let name = regex::Regex::new(r"^[-_a-z0-9]{1,32}$").unwrap();
        for command in all {
            assert!(text_of(command) <= 8_000, "{}: {}", command["name"], text_of(command));
            each(command, &mut |part| {
                if part["type"] == json!(MESSAGE_MENU) && part.get("description").is_none() {
                    return;
                }
                assert!(name.is_match(part["name"].as_str().unwrap()), "{}", part["name"]);
                let german = &part["description_localizations"]["de"];
                for description in [&part["description"], german].map(|text| text.as_str().unwrap()) {
                    assert!(
                        !description.is_empty() && !description.ends_with('…'),
                        "{}: {description}",
                        part["name"]
                    );
                }
                let options = part["options"].as_array().map_or(0, Vec::len);
                assert!(options <= 25, "{} has {options} options", part["name"]);
                let required: Vec<bool> = part["options"]
                    .as_array()
                    .into_iter()
                    .flatten()
                    .map(|option| option["required"] == json!(true))
                    .collect();
                assert!(
                    required.is_sorted_by(|one, other| one >= other),
                    "{}: what is required comes first",
                    part["name"]
                );
            });
        }
    }

    #[test]
    fn what_the_platform_adds_is_no_difference() {
        let wanted = commands();
        let mut there = wanted.clone();
        for command in there.as_array_mut().unwrap() {
            command["id"] = json!("1");
            command["version"] = json!("2");
            command["nsfw"] = json!(false);
            command["default_member_permissions"] = Value::Null;
            for option in command["options"].as_array_mut().into_iter().flatten() {
                option.as_object_mut().unwrap().remove("required");
            }
        }
        there.as_array_mut().unwrap().reverse();
        assert!(same(&wanted, &there));
        let mut altered = there.clone();
        altered[0]["name_localizations"]["de"] = json!("another");
        assert!(!same(&wanted, &altered));
        there[1]["description"] = json!("another");
        assert!(!same(&wanted, &there));
    }
}
