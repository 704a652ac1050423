//! Gateway sessions: who gets which event, what is replayed, and the faults of the gateway.

use serde_json::{Value, json};
use tokio::sync::mpsc::UnboundedSender;

use super::State;
use super::clock::Id;
use super::world::Kind;

pub const GUILDS: u64 = 1;
pub const GUILD_MESSAGES: u64 = 1 << 9;
pub const GUILD_MESSAGE_REACTIONS: u64 = 1 << 10;
pub const DIRECT_MESSAGES: u64 = 1 << 12;
pub const DIRECT_MESSAGE_REACTIONS: u64 = 1 << 13;
pub const MESSAGE_CONTENT: u64 = 1 << 15;
/// Members and presences: privileged as well, and never enabled here.
pub const OTHER_PRIVILEGED: u64 = 1 << 1 | 1 << 8;

/// What a connection's task is told to do.
#[derive(Debug)]
pub enum Order {
    Send(Value),
    /// Text as it is, valid or not.
    Raw(String),
    /// A close frame, with or without a code.
    Close(Option<u16>),
    /// The connection ends without a word.
    Drop,
}

/// An event before it gets its number in each session.
#[derive(Debug, Clone)]
pub struct Event {
    pub name: &'static str,
    /// The session needs one of these intents; 0 for events that always come.
    pub intents: u64,
    pub data: Value,
    /// What a session without the content intent gets instead.
    pub without_content: Option<Value>,
}

#[derive(Debug)]
pub struct Session {
    pub id: String,
    pub intents: u64,
    pub sequence: u64,
    pub log: Vec<(u64, Value)>,
    /// The connection it is on.
    pub connection: Option<u64>,
    pub valid: bool,
}

#[derive(Debug)]
pub struct Live {
    pub number: u64,
    pub orders: UnboundedSender<Order>,
}

/// Everything about the gateway.
#[derive(Debug, Default)]
pub struct Gateway {
    pub sessions: Vec<Session>,
    pub live: Vec<Live>,
    pub connections: u64,
    pub identifies: Vec<Value>,
    pub resumes: Vec<Value>,
    pub heartbeats: u64,
    /// Sessions that may still be begun today.
    pub starts_left: u64,
    pub ignore_heartbeats: bool,
    /// Sends payloads compressed where the client allows it.
    pub zlib: bool,
    /// Events already delivered that the next RESUME brings once more.
    pub repeat_on_resume: usize,
    /// Events held back, while they are held back.
    pub held: Option<Vec<Event>>,
}

impl Gateway {
    /// Tells every live connection.
    pub fn order(&mut self, order: impl Fn() -> Order) {
        for live in &self.live {
            // A connection that has just ended takes no orders.
            let _ = live.orders.send(order());
        }
    }

    /// Gives an event to every session that wants it, or holds it back.
    pub fn emit(&mut self, event: Event) {
        if let Some(held) = &mut self.held {
            held.push(event);
            return;
        }
        for session in self.sessions.iter_mut().filter(|session| session.valid) {
            if event.intents != 0 && session.intents & event.intents == 0 {
                continue;
            }
            let content = session.intents & MESSAGE_CONTENT != 0;
            let data =
                if content { &event.data } else { event.without_content.as_ref().unwrap_or(&event.data) };
            session.sequence += 1;
            let payload = json!({ "op": 0, "t": event.name, "s": session.sequence, "d": data });
            session.log.push((session.sequence, payload.clone()));
            if let Some(live) = self.live.iter().find(|live| Some(live.number) == session.connection) {
                let _ = live.orders.send(Order::Send(payload));
            }
        }
    }

    /// The sessions can't be resumed any more: the application must identify anew.
    pub fn forget_sessions(&mut self) {
        for session in &mut self.sessions {
            session.valid = false;
        }
    }

    /// Whether the newest session asked for the content of messages.
    pub fn content_asked(&self) -> bool {
        self.sessions.last().is_some_and(|session| session.intents & MESSAGE_CONTENT != 0)
    }

    /// Whether somebody is there who has a session.
    pub fn ready(&self) -> bool {
        self.sessions.iter().any(|session| session.valid && session.connection.is_some())
    }
}

impl State {
    /// An event that every session with the intent gets.
    pub fn emit(&mut self, name: &'static str, intents: u64, data: Value) {
        self.gateway.emit(Event { name, intents, data, without_content: None });
    }

    /// `MESSAGE_CREATE` or `MESSAGE_UPDATE`.
    pub fn emit_message(&mut self, name: &'static str, id: Id) {
        let Some(message) = self.world.message(id) else { return };
        let direct = self.world.channels[&message.channel].kind == Kind::Direct;
        let event = Event {
            name,
            intents: if direct { DIRECT_MESSAGES } else { GUILD_MESSAGES },
            data: self.world.describe_message_event(message, true),
            without_content: Some(self.world.describe_message_event(message, false)),
        };
        self.gateway.emit(event);
    }

    /// An event about a channel or thread.
    pub fn emit_channel(&mut self, name: &'static str, channel: Id) {
        let mut data = self.world.describe_channel(&self.world.channels[&channel]);
        if name == "THREAD_CREATE" {
            data["newly_created"] = json!(true);
        }
        self.emit(name, GUILDS, data);
    }
}
