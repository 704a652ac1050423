//! What members write: messages, edits, direct messages.

use serde_json::{Value, json};

use super::StandIn;
use super::clock::Id;
use super::message::Attachment;
use super::messages::{compose, post};
use super::multipart::{File, guess};
use super::sessions::GUILD_MESSAGES;

/// Whether a message replies to another, and whether that pings its author.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reply {
    None,
    To { message: Id, ping: bool },
}

/// A file that a member sends, without its bytes.
#[derive(Debug, Clone, Copy)]
pub struct Sent<'a> {
    pub name: &'a str,
    pub content_type: &'a str,
    pub size: usize,
    /// Where it is said to lie, where that is not the stand-in itself.
    pub url: Option<&'a str>,
}

impl<'a> Sent<'a> {
    /// A photo as a telephone sends it.
    pub fn photo(name: &'a str) -> Self {
        Self { name, content_type: "image/jpeg", size: 2_400_000, url: None }
    }
}

impl StandIn {
    /// A member writes in a channel or thread.
    pub fn post(&self, user: Id, channel: Id, text: &str, reply: Reply) -> Id {
        self.post_with(user, channel, text, reply, &[])
    }

    /// A member writes with files: name and bytes.
    pub fn post_with(&self, user: Id, channel: Id, text: &str, reply: Reply, files: &[(&str, &[u8])]) -> Id {
        let files: Vec<File> = files
            .iter()
            .enumerate()
            .map(|(number, (name, bytes))| File {
                part: format!("files[{number}]"),
                filename: (*name).to_owned(),
                content_type: guess(name).to_owned(),
                bytes: bytes.to_vec(),
            })
            .collect();
        self.inner.with(|state| {
            let nonce = state.world.clock.next_id().json();
            let mut body = json!({ "content": text, "nonce": nonce });
            if let Reply::To { ping, .. } = reply {
                body["allowed_mentions"] =
                    json!({ "parse": ["users", "roles", "everyone"], "replied_user": ping });
            }
            let mut message = compose(state, channel, user, &body, &files);
            if let Reply::To { message: to, .. } = reply {
                message.reply_to = Some(to);
            }
            post(state, message)
        })
    }

    /// A member writes with files that have no bytes.
    pub fn post_sent(&self, user: Id, channel: Id, text: &str, sent: &[Sent<'_>]) -> Id {
        self.inner.with(|state| {
            let nonce = state.world.clock.next_id().json();
            let mut message = compose(state, channel, user, &json!({ "content": text, "nonce": nonce }), &[]);
            for file in sent {
                message.attachments.push(Attachment {
                    id: state.world.clock.next_id(),
                    filename: file.name.to_owned(),
                    description: None,
                    content_type: file.content_type.to_owned(),
                    size: file.size,
                    url: file.url.map(str::to_owned),
                });
            }
            post(state, message)
        })
    }

    /// A message's files become more without the platform telling of it yet: the next edit does.
    pub fn attach(&self, message: Id, files: Vec<Attachment>) {
        self.inner.with(|state| {
            state.world.message_mut(message).expect("no such message").attachments.extend(files);
        });
    }

    /// A member takes files off a message, all but these of its places, and may change its text.
    pub fn edit_files(&self, message: Id, text: &str, left: &[usize]) {
        self.inner.with(|state| {
            let changed = state.world.message_mut(message).expect("no such message");
            let all = std::mem::take(&mut changed.attachments).into_iter().enumerate();
            changed.attachments =
                all.filter(|(place, _)| left.contains(place)).map(|(_, file)| file).collect();
        });
        self.edit(message, text);
    }

    /// A member writes to the application directly.
    pub fn direct(&self, user: Id, text: &str) -> Id {
        let line = self.direct_line(user);
        self.post(user, line, text, Reply::None)
    }

    /// A member changes the text of a message.
    pub fn edit(&self, message: Id, text: &str) {
        self.inner.with(|state| {
            let now = state.world.clock.now();
            let mut changed = state.world.message(message).expect("no such message").clone();
            let pings = changed.pings.clone();
            text.clone_into(&mut changed.content);
            changed.edited_at = Some(now);
            state.world.work_out_pings(&mut changed);
            changed.pings = pings;
            *state.world.message_mut(message).unwrap() = changed;
            state.emit_message("MESSAGE_UPDATE", message);
        });
    }

    /// Messages of one channel deleted at once, as moderators' applications do: one event for all of them.
    pub fn delete_at_once(&self, channel: Id, messages: &[Id]) {
        self.inner.with(|state| {
            let place = state.world.channels.get_mut(&channel).expect("no such channel");
            let guild = place.guild.expect("a direct conversation has no moderators");
            for message in messages {
                place.messages.remove(message).expect("no such message there");
            }
            let ids: Vec<Value> = messages.iter().map(|id| id.json()).collect();
            let data = json!({ "ids": ids, "channel_id": channel.json(), "guild_id": guild.json() });
            state.emit("MESSAGE_DELETE_BULK", GUILD_MESSAGES, data);
        });
    }

    /// The platform resolves a link: an update without an edit.
    pub fn resolve_link(&self, message: Id, embed: &Value) {
        self.inner.with(|state| {
            state.world.message_mut(message).expect("no such message").embeds = json!([embed]);
            state.emit_message("MESSAGE_UPDATE", message);
        });
    }
}
