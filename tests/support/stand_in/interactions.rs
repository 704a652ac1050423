//! Answers to interactions: the callback, and the webhook that edits and follows up.

use chrono::TimeDelta;
use serde_json::Value;

use super::State;
use super::clock::Id;
use super::draft;
use super::http::{Call, Outcome};
use super::message::{EPHEMERAL, LOADING};
use super::messages::{compose, post, remove, rewrite};
use super::refusal::{Problems, Refusal, refuse};
use super::routes::or_refuse;

/// First answer within 3 s, the token lives 15 min (platform's "Receiving and Responding").
const FIRST_ANSWER: TimeDelta = TimeDelta::seconds(3);
const TOKEN_LIFE: TimeDelta = TimeDelta::minutes(15);

pub fn callback(state: &mut State, call: &Call, id: Id, token: &str) -> Outcome {
    let now = state.world.clock.now();
    let found = state.world.interactions.get(&id).filter(|known| known.token == token);
    let known = or_refuse(found, 10062, "Unknown interaction")?.clone();
    if known.callback.is_some() {
        return refuse(400, 40060, "Interaction has already been acknowledged.");
    }
    if now - known.made_at > FIRST_ANSWER {
        return refuse(404, 10062, "Unknown interaction");
    }
    let archived =
        state.world.channels.get(&known.channel).is_some_and(|channel| channel.archived && channel.locked);
    if archived {
        return refuse(400, 50083, "Thread is archived");
    }
    let data = &call.body["data"];
    let kind = call.body["type"].as_u64().unwrap_or(0);
    let fits = match kind {
        4 | 5 => known.kind != 4,
        6 | 7 => known.kind == 3 || known.kind == 5 && known.source.is_some(),
        8 => known.kind == 4,
        9 => matches!(known.kind, 2 | 3),
        _ => false,
    };
    if !fits {
        let mut problems = Problems::default();
        let message = "Value of field \"type\" does not fit this interaction.";
        problems.add("type", "UNION_TYPE_CHOICES", message);
        problems.finish()?;
    }
    match kind {
        4 => {
            draft::check_not_empty(data, &call.files)?;
            draft::check_message(data, &call.files)?;
            let message = answer_message(state, id, data, call);
            let answer = post(state, message);
            interaction(state, id).original = Some(answer);
        }
        5 => {
            let mut message = answer_message(state, id, data, call);
            message.flags = message.flags & EPHEMERAL | LOADING;
            let answer = post(state, message);
            interaction(state, id).original = Some(answer);
        }
        6 => interaction(state, id).original = known.source,
        7 => {
            let source = or_refuse(
                known.source.filter(|id| state.world.message(*id).is_some()),
                10008,
                "Unknown Message",
            )?;
            rewrite(state, source, data, &call.files)?;
            interaction(state, id).original = Some(source);
        }
        8 => {
            draft::check_choices(&data["choices"])?;
            interaction(state, id).choices = data["choices"].as_array().cloned();
        }
        _ => {
            draft::check_modal(data)?;
            interaction(state, id).modal = Some(data.clone());
        }
    }
    interaction(state, id).callback = Some(kind as u8);
    Ok((204, Value::Null))
}

fn interaction(state: &mut State, id: Id) -> &mut super::world::Interaction {
    state.world.interactions.get_mut(&id).unwrap()
}

fn answer_message(state: &mut State, id: Id, body: &Value, call: &Call) -> super::message::Message {
    let (channel, bot) = (state.world.interactions[&id].channel, state.world.bot);
    let mut message = compose(state, channel, bot, body, &call.files);
    message.interaction = Some(id);
    message.nonce = Value::Null;
    message
}

/// `/webhooks/{application}/{token}` and `…/messages/{@original or id}`.
pub fn webhook(state: &mut State, call: &Call, application: Id, token: &str, rest: &[&str]) -> Outcome {
    let known = state.world.interactions.values().find(|known| known.token == token);
    let found = known.filter(|_| application == state.world.application);
    let known = or_refuse(found, 10015, "Unknown Webhook")?.clone();
    if state.world.clock.now() - known.made_at > TOKEN_LIFE {
        return refuse(401, 50027, "Invalid Webhook Token");
    }
    if known.callback.is_none() {
        return refuse(404, 10015, "Unknown Webhook");
    }
    let target = |which: &str| -> Result<Id, Refusal> {
        let id = if which == "@original" { known.original } else { Some(Id::read(which)) };
        let own = id.filter(|id| known.original == Some(*id) || known.followups.contains(id));
        or_refuse(own.filter(|id| state.world.message(*id).is_some()), 10008, "Unknown Message")
    };
    match (call.method.as_str(), rest) {
        ("POST", []) => follow_up(state, call, known.id),
        ("GET", ["messages", which]) => {
            let id = target(which)?;
            Ok((200, state.world.describe_message(state.world.message(id).unwrap(), true)))
        }
        ("PATCH", ["messages", which]) => {
            let id = target(which)?;
            rewrite(state, id, &call.body, &call.files)?;
            Ok((200, state.world.describe_message(state.world.message(id).unwrap(), true)))
        }
        ("DELETE", ["messages", which]) => {
            let id = target(which)?;
            remove(state, id);
            Ok((204, Value::Null))
        }
        _ => refuse(404, 0, "404: Not Found"),
    }
}

fn follow_up(state: &mut State, call: &Call, id: Id) -> Outcome {
    draft::check_not_empty(&call.body, &call.files)?;
    draft::check_message(&call.body, &call.files)?;
    let original = state.world.interactions[&id].original;
    let waiting =
        original.filter(|id| state.world.message(*id).is_some_and(super::message::Message::loading));
    // The first follow-up to a deferred answer becomes that answer ("Create Followup Message"; from memory).
    let message = if let Some(waiting) = waiting {
        rewrite(state, waiting, &call.body, &call.files)?;
        waiting
    } else {
        let message = answer_message(state, id, &call.body, call);
        let posted = post(state, message);
        interaction(state, id).followups.push(posted);
        posted
    };
    Ok((200, state.world.describe_message(state.world.message(message).unwrap(), true)))
}
