//! Messages: sent, fetched, edited, deleted, reacted to.

use std::collections::BTreeSet;

use chrono::TimeDelta;
use serde_json::{Value, json};

use super::State;
use super::clock::Id;
use super::draft;
use super::http::{Call, Outcome};
use super::message::{Attachment, EPHEMERAL, LOADING, Message};
use super::multipart::File;
use super::permissions;
use super::refusal::{Problems, Refusal, refuse};
use super::routes::{id_in, or_refuse};
use super::sessions::{DIRECT_MESSAGES, GUILD_MESSAGES};
use super::world::Kind;

/// How long a nonce is remembered. The reference says "the past few minutes"; five are an assumption.
const NONCE_REMEMBERED: TimeDelta = TimeDelta::minutes(5);

/// The channel is there and the application may see it.
pub fn visible(state: &State, channel: Id) -> Result<(), Refusal> {
    let known = or_refuse(state.world.channels.get(&channel), 10003, "Unknown Channel")?;
    let guild_gone = known.guild.is_some_and(|guild| !state.world.guilds.contains_key(&guild));
    if guild_gone || !holds(state, channel, permissions::VIEW_CHANNEL) {
        return refuse(403, 50001, "Missing Access");
    }
    Ok(())
}

pub fn holds(state: &State, channel: Id, bits: u64) -> bool {
    let known = &state.world.channels[&channel];
    state.world.permissions(state.world.bot, known) & bits == bits
}

pub fn require(state: &State, channel: Id, bits: u64) -> Result<(), Refusal> {
    if holds(state, channel, bits) { Ok(()) } else { refuse(403, 50013, "Missing Permissions") }
}

/// The application may write here; an archived thread wakes up unless it is locked.
pub fn may_send(state: &State, channel: Id) -> Result<(), Refusal> {
    let known = &state.world.channels[&channel];
    if known.kind == Kind::Direct {
        let other = known.owner.and_then(|user| state.world.users.get(&user));
        if other.is_some_and(|other| other.direct_messages_closed) {
            return refuse(403, 50007, "Cannot send messages to this user");
        }
        return Ok(());
    }
    let thread = known.kind == Kind::Thread;
    require(
        state,
        channel,
        if thread { permissions::SEND_MESSAGES_IN_THREADS } else { permissions::SEND_MESSAGES },
    )?;
    if thread && known.locked && !holds(state, channel, permissions::MANAGE_THREADS) {
        if known.archived {
            return refuse(400, 50083, "Thread is archived");
        }
        return refuse(403, 160_005, "Thread is locked");
    }
    Ok(())
}

/// Whether the application sees content over HTTP.
pub fn content(state: &State) -> bool {
    state.gateway.content_asked()
}

pub fn describe(state: &State, message: Id) -> Value {
    let found = state.world.message(message).unwrap();
    state.world.describe_message(found, content(state))
}

/// A message the application may touch by its channel: no ephemeral one.
pub fn known(state: &State, channel: Id, id: Id) -> Result<&Message, Refusal> {
    let found = state.world.channels[&channel].messages.get(&id).filter(|message| !message.ephemeral());
    or_refuse(found, 10008, "Unknown Message")
}

pub fn get(state: &State, channel: Id, id: Id) -> Outcome {
    require(state, channel, permissions::READ_MESSAGE_HISTORY)?;
    known(state, channel, id)?;
    Ok((200, describe(state, id)))
}

/// `limit` (1 to 100, 50 by default), `before`, `after`, `around`; newest first.
pub fn list(state: &State, channel: Id, query: &[(String, String)]) -> Outcome {
    let asked = |key: &str| query.iter().find(|(name, _)| name == key).map(|(_, value)| value.as_str());
    let limit: usize = asked("limit").map_or(50, |limit| limit.parse().unwrap_or(0));
    if !(1..=100).contains(&limit) {
        let mut problems = Problems::default();
        problems.add("limit", "NUMBER_TYPE_MAX", "int value should be between 1 and 100.");
        problems.finish()?;
    }
    if !holds(state, channel, permissions::READ_MESSAGE_HISTORY) {
        return Ok((200, json!([])));
    }
    let messages = state.world.channels[&channel].messages.values().filter(|message| !message.ephemeral());
    let ids: Vec<Id> = messages.map(|message| message.id).collect();
    let mut chosen: Vec<Id> = if let Some(after) = asked("after").map(Id::read) {
        ids.into_iter().filter(|id| *id > after).take(limit).collect()
    } else {
        let before = asked("before").map_or(Id(u64::MAX), Id::read);
        ids.into_iter().rev().filter(|id| *id < before).take(limit).collect()
    };
    chosen.sort_by(|a, b| b.cmp(a));
    Ok((200, chosen.into_iter().map(|id| describe(state, id)).collect()))
}

pub fn create(state: &mut State, channel: Id, call: &Call) -> Outcome {
    may_send(state, channel)?;
    draft::check_not_empty(&call.body, &call.files)?;
    draft::check_message(&call.body, &call.files)?;
    if !call.files.is_empty() {
        require(state, channel, permissions::ATTACH_FILES)?;
    }
    if state.world.channels[&channel].kind == Kind::Forum {
        return refuse(400, 50008, "Cannot send messages in a non-text channel");
    }
    let body = &call.body;
    if let (true, Some(same)) = (body["enforce_nonce"] == true, remembered(state, channel, &body["nonce"])) {
        return Ok((200, describe(state, same)));
    }
    let reply_to = id_in(&body["message_reference"]["message_id"]);
    let there = reply_to.is_none_or(|reply| known(state, channel, reply).is_ok());
    if !there && body["message_reference"]["fail_if_not_exists"] != false {
        let mut problems = Problems::default();
        problems.add("message_reference", "REPLIES_UNKNOWN_MESSAGE", "Unknown message");
        problems.finish()?;
    }
    let bot = state.world.bot;
    let mut message = compose(state, channel, bot, body, &call.files);
    message.reply_to = reply_to.filter(|_| there);
    let id = post(state, message);
    Ok((200, describe(state, id)))
}

fn remembered(state: &State, channel: Id, nonce: &Value) -> Option<Id> {
    let from = state.world.clock.now() - NONCE_REMEMBERED;
    let messages = &state.world.channels[&channel].messages;
    let mine =
        messages.values().filter(|message| message.author == state.world.bot && !message.nonce.is_null());
    let same = mine.filter(|message| message.nonce == *nonce && message.id.made_at() >= from);
    same.map(|message| message.id).next_back()
}

/// A message out of a body; not yet in its channel.
pub fn compose(state: &mut State, channel: Id, author: Id, body: &Value, files: &[File]) -> Message {
    let id = state.world.clock.next_id();
    Message {
        id,
        channel,
        author,
        content: body["content"].as_str().unwrap_or_default().to_owned(),
        embeds: draft::kept_embeds(&body["embeds"]),
        components: draft::kept_components(&body["components"]),
        attachments: keep_files(state, &body["attachments"], files),
        flags: body["flags"].as_u64().unwrap_or(0),
        nonce: body["nonce"].clone(),
        reply_to: None,
        mentions: BTreeSet::new(),
        mention_everyone: false,
        pings: BTreeSet::new(),
        interaction: None,
        edited_at: None,
        reactions: Vec::new(),
        allowed_mentions: body["allowed_mentions"].clone(),
    }
}

/// Keeps uploaded files under ids of their own, with the name and the description the body gives them.
pub fn keep_files(state: &mut State, described: &Value, files: &[File]) -> Vec<Attachment> {
    let mut kept = Vec::new();
    for file in files {
        let id = state.world.clock.next_id();
        let number = file.number();
        let entry = described.as_array().into_iter().flatten().find(|entry| {
            let given = entry["id"].as_u64().or_else(|| entry["id"].as_str()?.parse().ok());
            given.is_some() && given == number
        });
        let named = |key: &str| entry.and_then(|entry| entry[key].as_str()).map(str::to_owned);
        state.world.files.insert(id, file.bytes.clone());
        kept.push(Attachment {
            id,
            filename: named("filename").unwrap_or_else(|| file.filename.clone()),
            description: named("description"),
            content_type: file.content_type.clone(),
            size: file.bytes.len(),
            url: None,
        });
    }
    kept
}

/// Puts a message into its channel, wakes an archived thread and tells the sessions.
pub fn post(state: &mut State, mut message: Message) -> Id {
    state.world.work_out_pings(&mut message);
    let (id, channel, silent) = (message.id, message.channel, message.ephemeral());
    let place = state.world.channels.get_mut(&channel).unwrap();
    let woken = place.archived && !silent;
    if woken {
        place.archived = false;
        place.archive_changed_at = state.world.clock.now();
    }
    place.messages.insert(id, message);
    if woken {
        state.emit_channel("THREAD_UPDATE", channel);
    }
    if !silent {
        state.emit_message("MESSAGE_CREATE", id);
    }
    id
}

pub fn edit(state: &mut State, channel: Id, id: Id, call: &Call) -> Outcome {
    if known(state, channel, id)?.author != state.world.bot {
        return refuse(403, 50005, "Cannot edit a message authored by another user");
    }
    if state.world.channels[&channel].archived {
        return refuse(400, 50083, "Thread is archived");
    }
    count_old_edit(state, id)?;
    rewrite(state, id, &call.body, &call.files)?;
    Ok((200, describe(state, id)))
}

/// A message older than an hour is edited only so often. How often the platform does not say: a test sets it.
fn count_old_edit(state: &mut State, id: Id) -> Result<(), Refusal> {
    if state.world.clock.now() - id.made_at() <= TimeDelta::hours(1) {
        return Ok(());
    }
    match &mut state.world.old_edits_left {
        Some(0) => {
            let message = "Maximum number of edits to messages older than 1 hour reached. Try again later.";
            refuse(429, 30046, message)
        }
        Some(left) => {
            *left -= 1;
            Ok(())
        }
        None => Ok(()),
    }
}

/// Changes what the body names and leaves the rest.
pub fn rewrite(state: &mut State, id: Id, body: &Value, files: &[File]) -> Result<(), Refusal> {
    draft::check_message(body, files)?;
    let fresh = keep_files(state, &body["attachments"], files);
    let now = state.world.clock.now();
    let mut message = state.world.message(id).unwrap().clone();
    if let Some(content) = body.get("content") {
        content.as_str().unwrap_or_default().clone_into(&mut message.content);
    }
    if let Some(embeds) = body.get("embeds") {
        message.embeds = draft::kept_embeds(embeds);
    }
    if let Some(components) = body.get("components") {
        message.components = draft::kept_components(components);
    }
    if let Some(kept) = body.get("attachments").and_then(Value::as_array) {
        message.attachments.retain(|file| kept.iter().any(|entry| entry["id"] == file.id.json()));
    }
    if let Some(allowed) = body.get("allowed_mentions") {
        message.allowed_mentions = allowed.clone();
    }
    message.attachments.extend(fresh);
    if message.content.is_empty()
        && message.embeds == json!([])
        && message.components == json!([])
        && message.attachments.is_empty()
    {
        return refuse(400, 50006, "Cannot send an empty message");
    }
    let pings = message.pings.clone();
    state.world.work_out_pings(&mut message);
    if message.loading() {
        message.flags &= !LOADING;
    } else {
        // An edit notifies nobody anew.
        message.pings = pings;
        message.edited_at = Some(now);
    }
    let silent = message.flags & EPHEMERAL != 0;
    *state.world.message_mut(id).unwrap() = message;
    if !silent {
        state.emit_message("MESSAGE_UPDATE", id);
    }
    Ok(())
}

pub fn delete(state: &mut State, channel: Id, id: Id) -> Outcome {
    if known(state, channel, id)?.author != state.world.bot {
        require(state, channel, permissions::MANAGE_MESSAGES)?;
    }
    remove(state, id);
    Ok((204, Value::Null))
}

/// Takes a message away and tells the sessions.
pub fn remove(state: &mut State, id: Id) {
    let Some(message) = state.world.message(id).cloned() else { return };
    let channel = state.world.channels.get_mut(&message.channel).unwrap();
    channel.messages.remove(&id);
    let guild = channel.guild;
    if message.ephemeral() {
        return;
    }
    let mut data = json!({ "id": id.json(), "channel_id": message.channel.json() });
    if let Some(guild) = guild {
        data["guild_id"] = guild.json();
    }
    state.emit("MESSAGE_DELETE", if guild.is_some() { GUILD_MESSAGES } else { DIRECT_MESSAGES }, data);
}
