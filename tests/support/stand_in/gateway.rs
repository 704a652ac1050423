//! The gateway's side of a connection: HELLO, IDENTIFY, RESUME, heartbeats, close codes.

use std::io::Write;
use std::sync::Arc;

use axum::extract::State as Shared;
use axum::extract::ws::{CloseFrame, Message, WebSocket, WebSocketUpgrade};
use axum::response::Response;
use serde_json::{Value, json};
use tokio::sync::mpsc::{UnboundedReceiver, unbounded_channel};

use super::sessions::{Live, MESSAGE_CONTENT, OTHER_PRIVILEGED, Order, Session};
use super::{Inner, State};

pub async fn upgrade(Shared(inner): Shared<Arc<Inner>>, upgrade: WebSocketUpgrade) -> Response {
    upgrade.on_upgrade(move |socket| serve(socket, inner))
}

async fn serve(mut socket: WebSocket, inner: Arc<Inner>) {
    // While the application is kept away, its connections wait at the door.
    if inner.open.subscribe().wait_for(|open| *open).await.is_err() {
        return;
    }
    let (orders, inbox) = unbounded_channel();
    let number = inner.with(|state| {
        state.gateway.connections += 1;
        let number = state.gateway.connections;
        state.gateway.live.push(Live { number, orders });
        number
    });
    let hello = json!({ "op": 10, "s": null, "t": null, "d": {
        "heartbeat_interval": inner.options.heartbeat.as_millis() as u64, "_trace": [] } });
    if send(&mut socket, &hello, false).await.is_ok() {
        talk(&mut socket, &inner, number, inbox).await;
    }
    inner.with(|state| leave(state, number));
}

fn leave(state: &mut State, number: u64) {
    state.gateway.live.retain(|live| live.number != number);
    for session in &mut state.gateway.sessions {
        if session.connection == Some(number) {
            session.connection = None;
        }
    }
}

async fn talk(socket: &mut WebSocket, inner: &Inner, number: u64, mut inbox: UnboundedReceiver<Order>) {
    let mut compress = false;
    loop {
        tokio::select! {
            order = inbox.recv() => match order {
                Some(Order::Send(payload)) => {
                    if send(socket, &payload, compress).await.is_err() { return; }
                }
                Some(Order::Raw(text)) => {
                    if socket.send(Message::Text(text.into())).await.is_err() { return; }
                }
                Some(Order::Close(code)) => return close(socket, code).await,
                Some(Order::Drop) | None => return,
            },
            received = socket.recv() => match received {
                Some(Ok(Message::Text(text))) => {
                    let Ok(payload) = serde_json::from_str::<Value>(&text) else {
                        return close(socket, Some(4002)).await;
                    };
                    if payload["op"] == 2 {
                        let asked = payload["d"]["compress"] == true;
                        compress = asked && inner.with(|state| state.gateway.zlib);
                    }
                    let refused = inner.with(|state| take(state, inner, number, &payload));
                    if let Err(code) = refused {
                        return close(socket, Some(code)).await;
                    }
                }
                Some(Ok(Message::Close(frame))) => {
                    // 1000 and 1001 end the session for good (platform's gateway page, "Disconnecting").
                    if frame.is_some_and(|frame| matches!(frame.code, 1000 | 1001)) {
                        inner.with(|state| end_session(state, number));
                    }
                    return;
                }
                Some(Ok(_)) => {}
                Some(Err(_)) | None => return,
            },
        }
    }
}

fn end_session(state: &mut State, number: u64) {
    for session in &mut state.gateway.sessions {
        if session.connection == Some(number) {
            session.valid = false;
        }
    }
}

/// Sends a close frame and waits for the other side to hang up, so that the frame arrives.
async fn close(socket: &mut WebSocket, code: Option<u16>) {
    let frame = code.map(|code| CloseFrame { code, reason: "".into() });
    if socket.send(Message::Close(frame)).await.is_ok() {
        while let Some(Ok(_)) = socket.recv().await {}
    }
}

async fn send(socket: &mut WebSocket, payload: &Value, compress: bool) -> Result<(), axum::Error> {
    let text = payload.to_string();
    if !compress {
        return socket.send(Message::Text(text.into())).await;
    }
    let mut packer = flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::fast());
    packer.write_all(text.as_bytes()).unwrap();
    socket.send(Message::Binary(packer.finish().unwrap().into())).await
}

/// Takes a payload from the application; an error is the code to close with.
fn take(state: &mut State, inner: &Inner, number: u64, payload: &Value) -> Result<(), u16> {
    let has_session = state.gateway.sessions.iter().any(|session| session.connection == Some(number));
    match payload["op"].as_u64() {
        Some(1) => {
            state.gateway.heartbeats += 1;
            if !state.gateway.ignore_heartbeats {
                answer(state, number, json!({ "op": 11, "s": null, "t": null, "d": null }));
            }
            Ok(())
        }
        Some(2 | 6) if has_session => Err(4005),
        Some(2) => identify(state, inner, number, &payload["d"]),
        Some(6) => resume(state, inner, number, &payload["d"]),
        Some(3 | 4 | 8) => {
            if has_session {
                Ok(())
            } else {
                Err(4003)
            }
        }
        _ => Err(4001),
    }
}

fn answer(state: &State, number: u64, payload: Value) {
    if let Some(live) = state.gateway.live.iter().find(|live| live.number == number) {
        let _ = live.orders.send(Order::Send(payload));
    }
}

fn token_fits(inner: &Inner, given: &Value) -> bool {
    given.as_str().is_some_and(|given| given.trim_start_matches("Bot ") == inner.options.token)
}

fn identify(state: &mut State, inner: &Inner, number: u64, data: &Value) -> Result<(), u16> {
    state.gateway.identifies.push(data.clone());
    state.gateway.starts_left = state.gateway.starts_left.saturating_sub(1);
    if !token_fits(inner, &data["token"]) {
        return Err(4004);
    }
    let intents = data["intents"].as_u64().ok_or(4013_u16)?;
    let content = intents & MESSAGE_CONTENT != 0 && !inner.options.privileged_content_intent_enabled;
    if content || intents & OTHER_PRIVILEGED != 0 {
        return Err(4014);
    }
    let id = format!("{:032x}", state.world.clock.next_id().0);
    let session = Session {
        id: id.clone(),
        intents,
        sequence: 1,
        log: Vec::new(),
        connection: Some(number),
        valid: true,
    };
    let flags = inner.application_flags();
    let guilds: Vec<Value> =
        state.world.guilds.keys().map(|id| json!({ "id": id.json(), "unavailable": true })).collect();
    let ready = json!({ "op": 0, "t": "READY", "s": 1, "d": {
        "v": 10,
        "user": super::describe::own_user(&state.world.users[&state.world.bot]),
        "guilds": guilds,
        "private_channels": [],
        "relationships": [],
        "presences": [],
        "user_settings": {},
        "session_type": "normal",
        "session_id": id,
        "resume_gateway_url": inner.gateway_url(),
        "shard": data.get("shard").cloned().unwrap_or_else(|| json!([0, 1])),
        "application": { "id": state.world.application.json(), "flags": flags, "flags_new": flags.to_string() },
        "_trace": [],
    }});
    state.gateway.sessions.push(session);
    answer(state, number, ready);
    let described: Vec<Value> = state
        .world
        .guilds
        .values()
        .filter(|guild| guild.available)
        .map(|guild| state.world.describe_guild_create(guild))
        .collect();
    let session = state.gateway.sessions.last_mut().unwrap();
    let mut payloads = Vec::new();
    for guild in described {
        session.sequence += 1;
        let payload = json!({ "op": 0, "t": "GUILD_CREATE", "s": session.sequence, "d": guild });
        session.log.push((session.sequence, payload.clone()));
        payloads.push(payload);
    }
    for payload in payloads {
        answer(state, number, payload);
    }
    Ok(())
}

fn resume(state: &mut State, inner: &Inner, number: u64, data: &Value) -> Result<(), u16> {
    state.gateway.resumes.push(data.clone());
    if !token_fits(inner, &data["token"]) {
        return Err(4004);
    }
    let repeat = std::mem::take(&mut state.gateway.repeat_on_resume);
    let known = state.gateway.sessions.iter_mut().find(|s| s.valid && data["session_id"] == s.id.as_str());
    let Some(session) = known else {
        answer(state, number, json!({ "op": 9, "s": null, "t": null, "d": false }));
        return Ok(());
    };
    let after = data["seq"].as_u64().unwrap_or(0);
    if after > session.sequence {
        return Err(4007);
    }
    session.connection = Some(number);
    let delivered = session.log.iter().filter(|(sequence, _)| *sequence <= after).count();
    let from = delivered.saturating_sub(repeat);
    let mut payloads: Vec<Value> = session.log[from..].iter().map(|(_, payload)| payload.clone()).collect();
    session.sequence += 1;
    payloads.push(json!({ "op": 0, "t": "RESUMED", "s": session.sequence, "d": { "_trace": [] } }));
    for payload in payloads {
        answer(state, number, payload);
    }
    Ok(())
}
