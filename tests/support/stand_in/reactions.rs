//! Reactions to messages.

use serde_json::{Value, json};

use super::State;
use super::clock::Id;
use super::http::Outcome;
use super::messages::{known, require};
use super::permissions;
use super::refusal::refuse;
use super::sessions::{DIRECT_MESSAGE_REACTIONS, GUILD_MESSAGE_REACTIONS};

/// Puts the application's reaction on a message, or takes it off.
pub fn react(state: &mut State, channel: Id, id: Id, emoji: &str, add: bool) -> Outcome {
    require(state, channel, permissions::READ_MESSAGE_HISTORY)?;
    known(state, channel, id)?;
    if state.world.channels[&channel].archived {
        return refuse(400, 50083, "Thread is archived");
    }
    if add {
        require(state, channel, permissions::ADD_REACTIONS)?;
    }
    let (bot, emoji) = (state.world.bot, unescape(emoji));
    set(state, id, bot, &emoji, add);
    Ok((204, Value::Null))
}

pub fn set(state: &mut State, id: Id, user: Id, emoji: &str, add: bool) {
    let message = state.world.message_mut(id).unwrap();
    message.reactions.retain(|(other, who)| other != emoji || *who != user);
    if add {
        message.reactions.push((emoji.to_owned(), user));
    }
    let channel = message.channel;
    let author = message.author;
    let guild = state.world.channels[&channel].guild;
    let mut data = json!({
        "user_id": user.json(), "channel_id": channel.json(), "message_id": id.json(),
        "message_author_id": author.json(), "emoji": { "id": null, "name": emoji }, "burst": false, "type": 0,
    });
    if let Some(guild) = guild {
        data["guild_id"] = guild.json();
    }
    let intent = if guild.is_some() { GUILD_MESSAGE_REACTIONS } else { DIRECT_MESSAGE_REACTIONS };
    state.emit(if add { "MESSAGE_REACTION_ADD" } else { "MESSAGE_REACTION_REMOVE" }, intent, data);
}

/// Percent-encoded UTF-8 in a path.
fn unescape(text: &str) -> String {
    let mut bytes = Vec::new();
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        if byte != b'%' {
            bytes.push(byte);
            continue;
        }
        let digits: Vec<u8> = rest.by_ref().take(2).collect();
        let digits = String::from_utf8_lossy(&digits).into_owned();
        bytes.extend(u8::from_str_radix(&digits, 16).ok());
    }
    String::from_utf8_lossy(&bytes).into_owned()
}
