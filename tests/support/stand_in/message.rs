//! A message: what is kept of it, who it pings, and how it reads with and without the content intent.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use chrono::{DateTime, Utc};
use regex::Regex;
use serde_json::{Value, json};

use super::clock::{Id, stamp};
use super::describe;
use super::permissions;
use super::world::{Kind, World};

/// Only its receiver sees it.
pub const EPHEMERAL: u64 = 1 << 6;
/// "… is thinking": deferred and not answered yet.
pub const LOADING: u64 = 1 << 7;
/// Sent without a push notification.
pub const SILENT: u64 = 1 << 12;

/// A file of a message; the bytes are in [`World::files`].
#[derive(Debug, Clone)]
pub struct Attachment {
    pub id: Id,
    pub filename: String,
    pub description: Option<String>,
    pub content_type: String,
    pub size: usize,
    /// Where it is said to lie, where that is not the stand-in itself.
    pub url: Option<String>,
}

/// A message.
#[derive(Debug, Clone)]
pub struct Message {
    pub id: Id,
    pub channel: Id,
    pub author: Id,
    pub content: String,
    pub embeds: Value,
    pub components: Value,
    pub attachments: Vec<Attachment>,
    pub flags: u64,
    pub nonce: Value,
    /// The message this one replies to.
    pub reply_to: Option<Id>,
    /// Users named in the message, as its `mentions` list them.
    pub mentions: BTreeSet<Id>,
    pub mention_everyone: bool,
    /// Who gets a notification: named, allowed to be, and able to see the channel.
    pub pings: BTreeSet<Id>,
    /// The interaction this message answers.
    pub interaction: Option<Id>,
    pub edited_at: Option<DateTime<Utc>>,
    /// Emoji and who put it there.
    pub reactions: Vec<(String, Id)>,
    /// As the sender gave it, for tests that look at it.
    pub allowed_mentions: Value,
}

impl Message {
    pub fn ephemeral(&self) -> bool {
        self.flags & EPHEMERAL != 0
    }

    pub fn loading(&self) -> bool {
        self.flags & LOADING != 0
    }
}

static NAMED: LazyLock<Regex> = LazyLock::new(|| Regex::new(r"<@!?(\d+)>").unwrap());

/// `<@id>` and `<@!id>` in a text.
fn named(content: &str) -> BTreeSet<Id> {
    NAMED.captures_iter(content).map(|found| Id::read(&found[1])).collect()
}

/// Whether a kind of mention is parsed out of the text.
fn parses(allowed: &Value, kind: &str, by_default: bool) -> bool {
    if allowed.is_null() {
        return by_default;
    }
    allowed["parse"].as_array().is_some_and(|kinds| kinds.iter().any(|named| named == kind))
}

impl World {
    /// Fills in whom a message names and whom it pings.
    pub fn work_out_pings(&self, message: &mut Message) {
        let allowed = message.allowed_mentions.clone();
        let listed = |user: &Id| {
            allowed["users"].as_array().is_some_and(|users| users.iter().any(|id| id == &user.json()))
        };
        let channel = &self.channels[&message.channel];
        let all = parses(&allowed, "users", true);
        let mut mentions: BTreeSet<Id> =
            named(&message.content).into_iter().filter(|user| all || listed(user)).collect();
        mentions.retain(|user| self.users.contains_key(user));
        if let Some(replied) = message.reply_to.and_then(|id| self.message(id)) {
            let ping = allowed["replied_user"].as_bool().unwrap_or(allowed.is_null());
            // An answer to an interaction is nobody's regular message: replying to it names no one.
            if ping && replied.interaction.is_none() {
                mentions.insert(replied.author);
            }
        }
        let may = self.permissions(message.author, channel) & permissions::MENTION_EVERYONE != 0;
        let written = message.content.contains("@everyone") || message.content.contains("@here");
        let everyone = parses(&allowed, "everyone", message.interaction.is_none());
        message.mention_everyone = may && written && everyone && channel.kind != Kind::Direct;
        let mut pings = mentions.clone();
        if message.mention_everyone {
            let guild = channel.guild.and_then(|id| self.guilds.get(&id));
            pings.extend(guild.into_iter().flat_map(|guild| guild.members.keys().copied()));
        }
        let sees = |user: &Id| match channel.kind {
            Kind::Direct => channel.owner == Some(*user) || *user == self.bot,
            _ => self.permissions(*user, channel) & permissions::VIEW_CHANNEL != 0,
        };
        pings.retain(|user| *user != message.author && sees(user));
        message.mentions = mentions;
        message.pings = if message.flags & SILENT == 0 { pings } else { BTreeSet::new() };
    }

    /// Whether the application gets the content without the privileged intent.
    pub fn readable_without_intent(&self, message: &Message) -> bool {
        let direct = self.channels.get(&message.channel).is_none_or(|channel| channel.kind == Kind::Direct);
        direct || message.author == self.bot || message.mentions.contains(&self.bot)
    }

    /// The message as the HTTP interface gives it; `content` says whether the intent is there.
    pub fn describe_message(&self, message: &Message, content: bool) -> Value {
        self.describe_message_and_reply(message, content, true)
    }

    fn describe_message_and_reply(&self, message: &Message, content: bool, with_reply: bool) -> Value {
        let shown = content || self.readable_without_intent(message);
        let mut body = json!({
            "id": message.id.json(),
            "channel_id": message.channel.json(),
            "type": if message.interaction.is_some() { 20 } else if message.reply_to.is_some() { 19 } else { 0 },
            "author": self.describe_user(message.author),
            "content": if shown { message.content.as_str() } else { "" },
            "embeds": if shown { message.embeds.clone() } else { json!([]) },
            "components": if shown { message.components.clone() } else { json!([]) },
            "attachments": if shown { self.describe_attachments(message) } else { json!([]) },
            "mentions": message.mentions.iter().map(|id| self.describe_user(*id)).collect::<Vec<_>>(),
            "mention_roles": [],
            "mention_everyone": message.mention_everyone,
            "timestamp": stamp(message.id.made_at()),
            "edited_timestamp": message.edited_at.map(stamp),
            "flags": message.flags,
            "pinned": false,
            "tts": false,
        });
        if !message.nonce.is_null() {
            body["nonce"] = message.nonce.clone();
        }
        if !message.reactions.is_empty() {
            body["reactions"] = self.describe_reactions(message);
        }
        if let Some(id) = message.interaction {
            self.describe_origin(id, message, &mut body);
        } else if let (Some(reply), true) = (message.reply_to, with_reply) {
            let replied = self.message(reply);
            body["message_reference"] = json!({
                "type": 0,
                "message_id": reply.json(),
                "channel_id": message.channel.json(),
                "guild_id": self.channels[&message.channel].guild.map(Id::json),
            });
            if self.channels[&message.channel].guild.is_none() {
                body["message_reference"].as_object_mut().unwrap().remove("guild_id");
            }
            let inner = replied.map(|inner| self.describe_message_and_reply(inner, content, false));
            body["referenced_message"] = inner.unwrap_or_default();
        }
        body
    }

    fn describe_origin(&self, id: Id, message: &Message, body: &mut Value) {
        body["application_id"] = self.application.json();
        body["webhook_id"] = self.application.json();
        let Some(interaction) = self.interactions.get(&id) else { return };
        let mut origin = json!({
            "id": id.json(),
            "type": interaction.kind,
            "user": self.describe_user(interaction.user),
            "authorizing_integration_owners": self.owners(interaction.channel),
        });
        if interaction.kind == 3 {
            origin["interacted_message_id"] = json!(interaction.source.map(Id::json));
        }
        if interaction.kind == 5 {
            origin["triggering_interaction_metadata"] = json!({
                "id": id.json(), "type": 2, "user": self.describe_user(interaction.user),
                "authorizing_integration_owners": self.owners(interaction.channel),
            });
        }
        if interaction.original.is_some_and(|original| original != message.id) {
            origin["original_response_message_id"] = json!(interaction.original.map(Id::json));
        }
        body["interaction_metadata"] = origin;
    }

    /// Whose installation let the interaction through: the server's, or "0" in a direct line.
    pub fn owners(&self, channel: Id) -> Value {
        let guild = self.channels.get(&channel).and_then(|channel| channel.guild);
        json!({ "0": guild.unwrap_or(Id(0)).json() })
    }

    fn describe_reactions(&self, message: &Message) -> Value {
        let kinds: BTreeSet<&String> = message.reactions.iter().map(|(emoji, _)| emoji).collect();
        let described = kinds.into_iter().map(|emoji| {
            let of_kind = || message.reactions.iter().filter(|(other, _)| other == emoji);
            let count = of_kind().count();
            json!({
                "emoji": { "id": null, "name": emoji },
                "count": count,
                "count_details": { "burst": 0, "normal": count },
                "burst_colors": [],
                "me_burst": false,
                "me": of_kind().any(|(_, user)| *user == self.bot),
            })
        });
        described.collect()
    }

    pub fn describe_attachments(&self, message: &Message) -> Value {
        let described =
            message.attachments.iter().map(|file| self.describe_attachment(message.channel, file));
        described.collect()
    }

    pub fn describe_attachment(&self, channel: Id, file: &Attachment) -> Value {
        // In an address there are no letters that would need to be encoded.
        let is_plain = |letter: char| letter.is_ascii_alphanumeric() || "._-".contains(letter);
        let in_address: String =
            file.filename.chars().map(|letter| if is_plain(letter) { letter } else { '_' }).collect();
        let own = || format!("{}/attachments/{channel}/{}/{in_address}", self.base, file.id);
        let url = file.url.clone().unwrap_or_else(own);
        let mut body = json!({
            "id": file.id.json(),
            "filename": file.filename,
            "size": file.size,
            "url": url,
            "proxy_url": url,
            "content_type": file.content_type,
        });
        if let Some(description) = &file.description {
            body["description"] = json!(description);
        }
        // The measures of a PNG stand in its header: bytes 16 to 23, big-endian (PNG, 11.2.2 IHDR).
        let measures = self.files.get(&file.id).and_then(|bytes| bytes.get(16..24));
        if let (Some(measures), "image/png") = (measures, file.content_type.as_str()) {
            let number = |part: &[u8]| u32::from_be_bytes(part.try_into().unwrap());
            body["width"] = json!(number(&measures[..4]));
            body["height"] = json!(number(&measures[4..]));
        }
        body
    }

    /// The message as an event brings it: with the server, and the author as its member.
    pub fn describe_message_event(&self, message: &Message, content: bool) -> Value {
        let mut body = self.describe_message(message, content);
        let guild = self.channels[&message.channel].guild;
        if let Some(guild) = guild.and_then(|id| self.guilds.get(&id)) {
            body["guild_id"] = guild.id.json();
            if let Some(member) = guild.members.get(&message.author) {
                body["member"] = describe::bare_member(member);
            }
            let mentions = body["mentions"].as_array_mut().into_iter().flatten();
            for named in mentions {
                let id = Id::read(named["id"].as_str().unwrap_or_default());
                if let Some(member) = guild.members.get(&id) {
                    named["member"] = describe::bare_member(member);
                }
            }
        }
        body
    }
}
