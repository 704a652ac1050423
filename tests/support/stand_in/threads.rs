//! Threads: made, changed, archived, deleted; and changes to channels.

use serde_json::{Value, json};

use super::State;
use super::clock::Id;
use super::http::{Call, Outcome};
use super::messages::{self, compose, holds, post, require};
use super::permissions;
use super::refusal::{Problems, Refusal, refuse};
use super::sessions::GUILDS;
use super::world::Kind;

fn check(body: &Value) -> Result<(), Refusal> {
    let mut problems = Problems::default();
    problems.needed("name", &body["name"], 100);
    check_archive(body, &mut problems);
    problems.finish()
}

fn check_archive(body: &Value, problems: &mut Problems) {
    let minutes = &body["auto_archive_duration"];
    if !minutes.is_null() && !matches!(minutes.as_u64(), Some(60 | 1440 | 4320 | 10080)) {
        let message = "Value must be one of {60, 1440, 4320, 10080}.";
        problems.add("auto_archive_duration", "BASE_TYPE_CHOICES", message);
    }
}

/// A server has room for so many threads that are not archived.
fn room_for_one_more(state: &State, parent: Id) -> Result<(), Refusal> {
    let guild = state.world.channels[&parent].guild;
    let open = state
        .world
        .channels
        .values()
        .filter(|channel| channel.guild == guild && channel.kind == Kind::Thread && !channel.archived);
    if open.count() < state.world.most_open_threads {
        return Ok(());
    }
    refuse(400, 160_006, "Maximum number of active threads reached")
}

/// The tags that a body gives a post of a forum; `None` where it names none and none is asked for.
fn tags_in(state: &State, forum: Id, body: &Value) -> Result<Option<Vec<Id>>, Refusal> {
    let known = &state.world.channels[&forum];
    let given = body.get("applied_tags").and_then(Value::as_array);
    let tags: Vec<Id> = given.into_iter().flatten().filter_map(|id| id.as_str().map(Id::read)).collect();
    let mut problems = Problems::default();
    problems.at_most("applied_tags", &body["applied_tags"], 5);
    let find = |id: &Id| known.tags.iter().find(|tag| tag.id == *id);
    if tags.iter().any(|id| find(id).is_none()) {
        problems.add("applied_tags", "FORUM_TAG_DOES_NOT_EXIST", "Unknown tag");
    }
    problems.finish()?;
    if known.requires_tag && tags.is_empty() {
        return refuse(400, 40067, "A tag is required to create a forum post in this channel");
    }
    let moderated = tags.iter().filter_map(find).any(|tag| tag.moderated);
    if moderated && !holds(state, forum, permissions::MANAGE_THREADS) {
        return refuse(403, 50013, "Missing Permissions");
    }
    Ok(given.map(|_| tags))
}

/// A thread on a message: it carries the message's id.
pub fn on_message(state: &mut State, channel: Id, message: Id, body: &Value) -> Outcome {
    require(state, channel, permissions::CREATE_PUBLIC_THREADS | permissions::READ_MESSAGE_HISTORY)?;
    check(body)?;
    let known = &state.world.channels[&channel];
    if known.messages.get(&message).is_none_or(super::message::Message::ephemeral) {
        return refuse(404, 10008, "Unknown Message");
    }
    if known.kind != Kind::Text {
        return refuse(400, 50024, "Cannot execute action on this channel type");
    }
    if state.world.channels.contains_key(&message) {
        return refuse(400, 160_004, "A thread has already been created for this message");
    }
    let bot = state.world.bot;
    open(state, message, channel, bot, body);
    Ok((201, state.world.describe_channel(&state.world.channels[&message])))
}

/// A thread without a message, or a post in a forum.
pub fn create(state: &mut State, channel: Id, call: &Call) -> Outcome {
    let forum = state.world.channels[&channel].kind == Kind::Forum;
    require(
        state,
        channel,
        if forum { permissions::SEND_MESSAGES } else { permissions::CREATE_PUBLIC_THREADS },
    )?;
    check(&call.body)?;
    room_for_one_more(state, channel)?;
    let tags = tags_in(state, channel, &call.body)?;
    if forum {
        super::draft::check_not_empty(&call.body["message"], &call.files)?;
        super::draft::check_message(&call.body["message"], &call.files)?;
    }
    let (id, bot) = (state.world.clock.next_id(), state.world.bot);
    open(state, id, channel, bot, &call.body);
    state.world.channels.get_mut(&id).unwrap().applied_tags = tags.unwrap_or_default();
    let mut described = state.world.describe_channel(&state.world.channels[&id]);
    if forum {
        let mut message = compose(state, id, bot, &call.body["message"], &call.files);
        message.id = id;
        post(state, message);
        described["message"] = messages::describe(state, id);
    }
    Ok((201, described))
}

/// Makes a thread and tells the sessions.
pub fn open(state: &mut State, id: Id, parent: Id, owner: Id, body: &Value) {
    let guild = state.world.channels[&parent].guild;
    let name = body["name"].as_str().unwrap_or_default().to_owned();
    state.world.channel_with_id(id, Kind::Thread, &name, guild);
    let thread = state.world.channels.get_mut(&id).unwrap();
    thread.parent = Some(parent);
    thread.owner = Some(owner);
    thread.auto_archive_minutes = body["auto_archive_duration"].as_u64().unwrap_or(4320);
    state.emit_channel("THREAD_CREATE", id);
}

pub fn change(state: &mut State, channel: Id, body: &Value) -> Outcome {
    let mut problems = Problems::default();
    if body.get("name").is_some() {
        problems.needed("name", &body["name"], 100);
    }
    check_archive(body, &mut problems);
    problems.finish()?;
    let known = &state.world.channels[&channel];
    if known.kind == Kind::Direct {
        return refuse(403, 50003, "Cannot execute action on a DM channel");
    }
    let manager = holds(state, channel, permissions::MANAGE_THREADS);
    let thread = known.kind == Kind::Thread;
    let own = thread && known.owner == Some(state.world.bot);
    // Anyone who may write in it wakes an unlocked thread; the rest is for its maker or a moderator.
    let only_wakes =
        body.as_object().is_some_and(|keys| keys.keys().eq(["archived"])) && body["archived"] == false;
    let wakes =
        only_wakes && thread && !known.locked && holds(state, channel, permissions::SEND_MESSAGES_IN_THREADS);
    if !(manager || own && body.get("locked").is_none() && !known.locked || wakes) {
        return refuse(403, 50013, "Missing Permissions");
    }
    if thread && known.archived && body["archived"] != false {
        return refuse(400, 50083, "Thread is archived");
    }
    let parent = known.parent.filter(|_| thread && body.get("applied_tags").is_some());
    let tags = match parent {
        Some(parent) => tags_in(state, parent, body)?,
        None => None,
    };
    set(state, channel, body);
    if let Some(tags) = tags {
        state.world.channels.get_mut(&channel).unwrap().applied_tags = tags;
    }
    Ok((200, state.world.describe_channel(&state.world.channels[&channel])))
}

/// Changes a thread or channel as the body says and tells the sessions.
pub fn set(state: &mut State, channel: Id, body: &Value) {
    let now = state.world.clock.now();
    let known = state.world.channels.get_mut(&channel).unwrap();
    if let Some(name) = body["name"].as_str() {
        name.clone_into(&mut known.name);
    }
    if let Some(archived) = body["archived"].as_bool() {
        known.archived = archived;
        known.archive_changed_at = now;
    }
    if let Some(locked) = body["locked"].as_bool() {
        known.locked = locked;
    }
    if let Some(minutes) = body["auto_archive_duration"].as_u64() {
        known.auto_archive_minutes = minutes;
    }
    let thread = known.kind == Kind::Thread;
    state.emit_channel(if thread { "THREAD_UPDATE" } else { "CHANNEL_UPDATE" }, channel);
}

pub fn delete(state: &mut State, channel: Id) -> Outcome {
    let described = state.world.describe_channel(&state.world.channels[&channel]);
    if state.world.channels[&channel].kind != Kind::Direct {
        require(state, channel, permissions::MANAGE_THREADS)?;
        remove(state, channel);
    }
    Ok((200, described))
}

/// Takes a channel with its threads, or a thread, away and tells the sessions.
pub fn remove(state: &mut State, channel: Id) {
    let inner: Vec<Id> = state
        .world
        .channels
        .values()
        .filter(|other| other.parent == Some(channel))
        .map(|other| other.id)
        .collect();
    for thread in inner {
        remove(state, thread);
    }
    let Some(known) = state.world.channels.get(&channel) else { return };
    let mut data = state.world.describe_channel(known);
    let thread = known.kind == Kind::Thread;
    if thread {
        data = json!({
            "id": data["id"], "guild_id": data["guild_id"], "parent_id": data["parent_id"], "type": data["type"] });
    }
    state.world.channels.remove(&channel);
    state.emit(if thread { "THREAD_DELETE" } else { "CHANNEL_DELETE" }, GUILDS, data);
}

/// The archived threads of a channel, last archived first.
pub fn archived(state: &State, parent: Id) -> Value {
    let threads =
        state.world.channels.values().filter(|channel| channel.parent == Some(parent) && channel.archived);
    let mut threads: Vec<_> = threads.collect();
    threads.sort_by_key(|thread| std::cmp::Reverse(thread.archive_changed_at));
    let described: Vec<Value> =
        threads.into_iter().map(|thread| state.world.describe_channel(thread)).collect();
    json!({ "threads": described, "members": [], "has_more": false })
}

/// The threads of a server that are not archived.
pub fn active(state: &State, guild: Id) -> Value {
    let threads =
        state.world.channels.values().filter(|channel| {
            channel.guild == Some(guild) && channel.kind == Kind::Thread && !channel.archived
        });
    let described: Vec<Value> = threads.map(|thread| state.world.describe_channel(thread)).collect();
    json!({ "threads": described, "members": [], "has_more": false })
}
