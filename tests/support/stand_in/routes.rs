//! Method and path to what is done.

use axum::http::StatusCode;
use serde_json::{Value, json};

use super::clock::Id;
use super::http::{Call, Outcome};
use super::refusal::{Refusal, refuse};
use super::{Inner, State, commands, interactions, messages, reactions, threads};

/// The bytes of an attachment, where the path names one; or that it is not there. Whoever asks is remembered.
pub fn attachment(state: &mut State, path: &str) -> Option<Result<Vec<u8>, StatusCode>> {
    let rest = path.strip_prefix("/attachments/")?;
    state.world.fetched.push(path.to_owned());
    let id = rest.split('/').nth(1);
    let found = id.and_then(|id| state.world.files.get(&Id::read(id)).cloned());
    Some(found.ok_or(StatusCode::NOT_FOUND))
}

pub fn route(state: &mut State, inner: &Inner, call: &Call, authorized: bool) -> Outcome {
    let steps: Vec<&str> = call.path.split('/').skip(1).collect();
    let method = call.method.as_str();
    // These carry their right in the path.
    match (method, steps.as_slice()) {
        ("GET", ["gateway"]) => return Ok((200, json!({ "url": inner.gateway_url() }))),
        ("POST", ["interactions", id, token, "callback"]) => {
            return interactions::callback(state, call, Id::read(id), token);
        }
        (_, ["webhooks", application, token, rest @ ..]) => {
            return interactions::webhook(state, call, Id::read(application), token, rest);
        }
        _ => {}
    }
    if !authorized {
        return refuse(401, 0, "401: Unauthorized");
    }
    match (method, steps.as_slice()) {
        ("GET", ["gateway", "bot"]) => Ok((200, gateway_for_bots(state, inner))),
        ("GET", ["users", "@me"]) => {
            Ok((200, super::describe::own_user(&state.world.users[&state.world.bot])))
        }
        ("GET", ["users", "@me", "guilds"]) => Ok((200, own_guilds(state))),
        ("GET", ["users", id]) => user(state, Id::read(id)),
        ("POST", ["users", "@me", "channels"]) => direct_line(state, &call.body),
        ("GET", ["applications" | "oauth2", .., "@me"]) => {
            Ok((200, state.world.describe_application(inner.application_flags())))
        }
        (_, ["applications", application, "commands", rest @ ..])
            if Id::read(application) == state.world.application =>
        {
            commands::route(state, call, rest)
        }
        (_, ["guilds", guild, rest @ ..]) => guilds(state, method, Id::read(guild), rest),
        (_, ["channels", channel, rest @ ..]) => channels(state, call, Id::read(channel), rest),
        _ => refuse(404, 0, "404: Not Found"),
    }
}

fn gateway_for_bots(state: &State, inner: &Inner) -> Value {
    json!({
        "url": inner.gateway_url(),
        "shards": 1,
        "session_start_limit": {
            "total": 1000,
            "remaining": state.gateway.starts_left,
            // Soon, so that no test waits for a day.
            "reset_after": if state.gateway.starts_left < 1000 { 1500 } else { 86_400_000 },
            "max_concurrency": 1,
        },
    })
}

/// The servers the application is in.
fn own_guilds(state: &State) -> Value {
    let bot = state.world.bot;
    let described = state.world.guilds.values().map(|guild| {
        json!({
            "id": guild.id.json(),
            "name": guild.name,
            "icon": null,
            "banner": null,
            "owner": false,
            "permissions": guild.members.get(&bot).map_or(0, |member| member.permissions).to_string(),
            "features": [],
        })
    });
    described.collect()
}

fn user(state: &State, id: Id) -> Outcome {
    if !state.world.users.contains_key(&id) {
        return refuse(404, 10013, "Unknown User");
    }
    Ok((200, state.world.describe_user(id)))
}

fn direct_line(state: &mut State, body: &Value) -> Outcome {
    let user = Id::read(body["recipient_id"].as_str().unwrap_or_default());
    if !state.world.users.contains_key(&user) || user == state.world.bot {
        return refuse(400, 50033, "Invalid Recipient(s)");
    }
    let line = state.world.direct_line(user);
    Ok((200, state.world.describe_channel(&state.world.channels[&line])))
}

fn guilds(state: &State, method: &str, guild: Id, rest: &[&str]) -> Outcome {
    let Some(known) = state.world.guilds.get(&guild) else {
        return refuse(404, 10004, "Unknown Guild");
    };
    match (method, rest) {
        ("GET", []) => Ok((200, super::describe::guild(known))),
        ("GET", ["channels"]) => {
            let channels = state.world.channels.values().filter(|channel| channel.guild == Some(guild));
            let listed = channels.filter(|channel| channel.kind != super::world::Kind::Thread);
            Ok((200, listed.map(|channel| state.world.describe_channel(channel)).collect()))
        }
        ("GET", ["threads", "active"]) => Ok((200, threads::active(state, guild))),
        ("GET", ["members", user]) => {
            let user = if *user == "@me" { state.world.bot } else { Id::read(user) };
            let Some(member) = known.members.get(&user) else {
                return refuse(404, 10007, "Unknown Member");
            };
            Ok((200, state.world.describe_member(member)))
        }
        _ => refuse(404, 0, "404: Not Found"),
    }
}

fn channels(state: &mut State, call: &Call, channel: Id, rest: &[&str]) -> Outcome {
    messages::visible(state, channel)?;
    match (call.method.as_str(), rest) {
        ("GET", []) => Ok((200, state.world.describe_channel(&state.world.channels[&channel]))),
        ("PATCH", []) => threads::change(state, channel, &call.body),
        ("DELETE", []) => threads::delete(state, channel),
        ("POST", ["typing"]) => {
            messages::may_send(state, channel)?;
            Ok((204, Value::Null))
        }
        ("GET", ["messages"]) => messages::list(state, channel, &call.query),
        ("POST", ["messages"]) => messages::create(state, channel, call),
        ("GET", ["messages", id]) => messages::get(state, channel, Id::read(id)),
        ("PATCH", ["messages", id]) => messages::edit(state, channel, Id::read(id), call),
        ("DELETE", ["messages", id]) => messages::delete(state, channel, Id::read(id)),
        ("PUT" | "DELETE", ["messages", id, "reactions", emoji, "@me"]) => {
            reactions::react(state, channel, Id::read(id), emoji, call.method == "PUT")
        }
        ("POST", ["messages", id, "threads"]) => {
            threads::on_message(state, channel, Id::read(id), &call.body)
        }
        ("POST", ["threads"]) => threads::create(state, channel, call),
        ("GET", ["threads", "archived", "public"]) => Ok((200, threads::archived(state, channel))),
        ("PUT" | "DELETE", ["thread-members", ..]) => Ok((204, Value::Null)),
        _ => refuse::<(u16, Value)>(404, 0, "404: Not Found"),
    }
}

/// A body's id, sent as text.
pub fn id_in(body: &Value) -> Option<Id> {
    body.as_str().map(Id::read)
}

/// Turns "not there" into the platform's refusal.
pub fn or_refuse<T>(found: Option<T>, code: u32, message: &str) -> Result<T, Refusal> {
    found.map_or_else(|| refuse(404, code, message), Ok)
}
