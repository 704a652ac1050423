//! Interactions as the gateway brings them, and the options of a command as the platform's app sends them.

use serde_json::{Value, json};

use super::State;
use super::clock::Id;
use super::permissions;
use super::world::{Interaction, Kind};

/// What an interaction is about, before it has an id.
pub struct Begun {
    pub kind: u8,
    pub user: Id,
    pub channel: Id,
    pub name: String,
    pub source: Option<Id>,
    pub data: Value,
}

/// Makes the interaction and sends it; the id is its handle.
pub fn begin(state: &mut State, begun: Begun) -> Id {
    let id = state.world.clock.next_id();
    let token = format!("invented-interaction-token-{id}");
    let payload = describe(state, id, &token, &begun);
    let interaction = Interaction {
        id,
        token,
        kind: begun.kind,
        user: begun.user,
        channel: begun.channel,
        made_at: state.world.clock.now(),
        name: begun.name,
        source: begun.source,
        callback: None,
        original: None,
        modal: None,
        choices: None,
        followups: Vec::new(),
    };
    state.world.interactions.insert(id, interaction);
    state.emit("INTERACTION_CREATE", 0, payload);
    id
}

fn describe(state: &State, id: Id, token: &str, begun: &Begun) -> Value {
    let world = &state.world;
    let channel = &world.channels[&begun.channel];
    let user = &world.users[&begun.user];
    let mut partial = world.describe_channel(channel);
    partial["permissions"] = json!(world.permissions(begun.user, channel).to_string());
    let direct = channel.kind == Kind::Direct;
    let mut payload = json!({
        "id": id.json(),
        "application_id": world.application.json(),
        "type": begun.kind,
        "data": begun.data,
        "channel": partial,
        "channel_id": channel.id.json(),
        "token": token,
        "version": 1,
        "app_permissions": world.permissions(world.bot, channel).to_string(),
        "locale": user.locale,
        "entitlements": [],
        "entitlement_sku_ids": [],
        "authorizing_integration_owners": world.owners(channel.id),
        "context": u8::from(direct),
        "attachment_size_limit": 10 * 1024 * 1024,
    });
    if let Some(guild) = channel.guild.and_then(|id| world.guilds.get(&id)) {
        let member = guild.members.get(&begun.user).expect("only a member of the server can do this");
        payload["member"] = world.describe_member(member);
        payload["member"]["permissions"] = json!(world.permissions(begun.user, channel).to_string());
        payload["guild_id"] = guild.id.json();
        payload["guild"] = json!({ "id": guild.id.json(), "locale": "en-US", "features": [] });
        payload["guild_locale"] = json!("en-US");
    } else {
        payload["user"] = super::describe::user(user);
    }
    if let Some(source) = begun.source {
        payload["message"] = world.describe_message(world.message(source).expect("no such message"), true);
    }
    payload
}

/// A registered command that the user is offered in this channel.
fn offered<'a>(state: &'a State, user: Id, channel: Id, name: &str, kind: u64) -> &'a Value {
    let fits = |command: &&Value| command["name"] == name && command["type"].as_u64().unwrap_or(1) == kind;
    let Some(command) = state.world.commands.iter().find(fits) else {
        let known: Vec<&Value> = state.world.commands.iter().map(|command| &command["name"]).collect();
        panic!("no command `{name}` of type {kind} is registered; there are {known:?}");
    };
    let place = &state.world.channels[&channel];
    let context = u8::from(place.kind == Kind::Direct);
    if let Some(contexts) = command["contexts"].as_array() {
        assert!(
            contexts.iter().any(|known| known == context),
            "`{name}` is not offered in context {context}"
        );
    }
    let bits = state.world.permissions(user, place);
    if context == 0 {
        assert!(bits & permissions::USE_APPLICATION_COMMANDS != 0, "this member may not use commands");
        let needed: u64 =
            command["default_member_permissions"].as_str().map_or(0, |bits| bits.parse().unwrap());
        assert!(bits & needed == needed, "`{name}` is not offered to this member: it needs {needed:b}");
    }
    command
}

/// The data of a slash command; `focused` names the option that is being typed.
pub fn command_data(
    state: &State,
    user: Id,
    channel: Id,
    line: &str,
    given: &[(&str, &str)],
    focused: Option<&str>,
) -> (String, Value) {
    let mut words = line.trim_start_matches('/').split_whitespace();
    let name = words.next().expect("a command has a name");
    let command = offered(state, user, channel, name, 1);
    let mut path = Vec::new();
    let mut spec = command;
    for word in words {
        let options = spec["options"].as_array().into_iter().flatten();
        spec = options
            .filter(|option| matches!(option["type"].as_u64(), Some(1 | 2)))
            .find(|option| option["name"] == word)
            .unwrap_or_else(|| panic!("`{line}`: there is no `{word}`"));
        path.push(spec);
    }
    let options = spec["options"].as_array().cloned().unwrap_or_default();
    assert!(
        !options.iter().any(|option| matches!(option["type"].as_u64(), Some(1 | 2))),
        "`{line}` has commands below it and can't be called itself"
    );
    let mut resolved = json!({});
    let mut values = Vec::new();
    for (key, text) in given {
        let spec = options.iter().find(|option| option["name"] == *key);
        let spec =
            spec.unwrap_or_else(|| panic!("`{line}` has no option `{key}`; it has {:?}", names(&options)));
        let typed = focused == Some(*key);
        let value = if typed { json!(text) } else { option_value(state, spec, text, &mut resolved, channel) };
        let mut entry = json!({ "name": key, "type": spec["type"], "value": value });
        if typed {
            assert!(spec["autocomplete"] == true, "`{key}` has no suggestions");
            entry["focused"] = json!(true);
        }
        values.push(entry);
    }
    if focused.is_none() {
        for option in options.iter().filter(|option| option["required"] == true) {
            let there = given.iter().any(|(key, _)| option["name"] == *key);
            assert!(there, "`{line}` needs the option {}", option["name"]);
        }
    }
    let mut nested = Value::Array(values);
    for step in path.iter().rev() {
        nested = json!([{ "name": step["name"], "type": step["type"], "options": nested }]);
    }
    let mut data = json!({ "id": command["id"], "name": name, "type": 1, "options": nested });
    if resolved != json!({}) {
        data["resolved"] = resolved;
    }
    (name.to_owned(), data)
}

fn names(options: &[Value]) -> Vec<&str> {
    options.iter().filter_map(|option| option["name"].as_str()).collect()
}

/// A typed text as the value the option's type asks for.
fn option_value(state: &State, spec: &Value, text: &str, resolved: &mut Value, channel: Id) -> Value {
    let name = &spec["name"];
    let choices = spec["choices"].as_array().filter(|choices| !choices.is_empty());
    if let Some(choices) = choices {
        let chosen = choices.iter().find(|choice| {
            let number = choice["value"].as_f64().filter(|number| text.parse() == Ok(*number));
            choice["name"] == text || choice["value"] == text || number.is_some()
        });
        return chosen.unwrap_or_else(|| panic!("{name} can't be `{text}`: {choices:?}"))["value"].clone();
    }
    match spec["type"].as_u64() {
        Some(3) => {
            let long = text.chars().count() as u64;
            assert!(
                spec["min_length"].as_u64().is_none_or(|least| long >= least),
                "{name}: `{text}` is too short"
            );
            assert!(long <= spec["max_length"].as_u64().unwrap_or(6000), "{name}: `{text}` is too long");
            json!(text)
        }
        Some(4) => within(
            spec,
            text,
            json!(text.parse::<i64>().unwrap_or_else(|_| panic!("{name}: `{text}` is no whole number"))),
        ),
        Some(10) => within(
            spec,
            text,
            json!(text.parse::<f64>().unwrap_or_else(|_| panic!("{name}: `{text}` is no number"))),
        ),
        Some(5) => json!(text == "true" || text == "yes"),
        Some(6) => {
            let user = Id::read(text);
            resolved["users"][text] = state.world.describe_user(user);
            let guild = state.world.channels[&channel].guild.and_then(|id| state.world.guilds.get(&id));
            if let Some(member) = guild.and_then(|guild| guild.members.get(&user)) {
                resolved["members"][text] = super::describe::bare_member(member);
                resolved["members"][text]["permissions"] = json!(member.permissions.to_string());
            }
            json!(text)
        }
        Some(7) => {
            resolved["channels"][text] = state.world.describe_channel(&state.world.channels[&Id::read(text)]);
            json!(text)
        }
        // A file that lies with the platform already, by its number.
        Some(11) => {
            let all = state.world.channels.values().flat_map(|channel| channel.messages.values());
            let mut files = all.flat_map(|message| &message.attachments);
            let file = files.find(|file| file.id == Id::read(text));
            let file = file.unwrap_or_else(|| panic!("{name}: there is no file {text}"));
            resolved["attachments"][text] = state.world.describe_attachment(channel, file);
            json!(text)
        }
        other => panic!("{name}: the stand-in can't fill an option of type {other:?}"),
    }
}

fn within(spec: &Value, text: &str, value: Value) -> Value {
    let number = value.as_f64().unwrap();
    let low = spec["min_value"].as_f64().is_none_or(|least| number >= least);
    let high = spec["max_value"].as_f64().is_none_or(|most| number <= most);
    assert!(low && high, "{}: {text} is out of range", spec["name"]);
    value
}

/// The data of a command in a message's menu.
pub fn menu_data(state: &State, user: Id, message: Id, name: &str) -> Value {
    let found = state.world.message(message).expect("no such message");
    let command = offered(state, user, found.channel, name, 3);
    let described = state.world.describe_message(found, true);
    json!({
        "id": command["id"],
        "name": name,
        "type": 3,
        "target_id": message.json(),
        "resolved": { "messages": { message.to_string(): described } },
    })
}
