//! Who and what exists: users, servers, channels, threads, messages, interactions.

use std::collections::BTreeMap;

use chrono::{DateTime, Utc};
use serde_json::Value;

use super::clock::{Clock, Id};
use super::message::Message;
use super::permissions;

/// A person, or the application's own user.
#[derive(Debug, Clone)]
pub struct User {
    pub id: Id,
    pub name: String,
    pub display_name: String,
    pub bot: bool,
    /// Takes no direct messages from the application (code 50007).
    pub direct_messages_closed: bool,
    /// The language of the person's app.
    pub locale: String,
}

/// A user in a server.
#[derive(Debug, Clone)]
pub struct Member {
    pub user: Id,
    pub nick: Option<String>,
    pub permissions: u64,
    /// The role that carries exactly `permissions`.
    pub role: Id,
    pub joined_at: DateTime<Utc>,
}

/// A server.
#[derive(Debug, Clone)]
pub struct Guild {
    pub id: Id,
    pub name: String,
    pub owner: Id,
    pub members: BTreeMap<Id, Member>,
    /// False during an outage.
    pub available: bool,
    /// The channel for the platform's own notices.
    pub system_channel: Option<Id>,
    /// The language it is in.
    pub locale: String,
}

/// What sort of channel; the number is the platform's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Text = 0,
    Direct = 1,
    Thread = 11,
    Forum = 15,
}

/// A tag of a forum.
#[derive(Debug, Clone)]
pub struct Tag {
    pub id: Id,
    pub name: String,
    /// Only for who may manage threads.
    pub moderated: bool,
}

/// A text channel, a direct line, a thread or a forum.
#[derive(Debug, Clone)]
pub struct Channel {
    pub id: Id,
    pub kind: Kind,
    pub name: String,
    pub guild: Option<Id>,
    pub parent: Option<Id>,
    /// Who made the thread; the other end of a direct line.
    pub owner: Option<Id>,
    pub archived: bool,
    pub locked: bool,
    pub archive_changed_at: DateTime<Utc>,
    pub auto_archive_minutes: u64,
    /// A forum's tags.
    pub tags: Vec<Tag>,
    /// A forum takes no post without a tag.
    pub requires_tag: bool,
    /// The tags of a post.
    pub applied_tags: Vec<Id>,
    /// Bits taken from the application's user in this channel.
    pub denied_to_bot: u64,
    pub messages: BTreeMap<Id, Message>,
}

/// An interaction and what became of it.
#[derive(Debug, Clone)]
pub struct Interaction {
    pub id: Id,
    pub token: String,
    /// 2 command, 3 component, 4 autocomplete, 5 form submitted.
    pub kind: u8,
    pub user: Id,
    pub channel: Id,
    pub made_at: DateTime<Utc>,
    /// The name of the command, or the `custom_id`.
    pub name: String,
    /// The message whose button was pressed, also behind a form that such a press opened.
    pub source: Option<Id>,
    /// The callback's type, once answered.
    pub callback: Option<u8>,
    /// The message that is the answer.
    pub original: Option<Id>,
    pub modal: Option<Value>,
    pub choices: Option<Vec<Value>>,
    pub followups: Vec<Id>,
}

/// Everything there is.
#[derive(Debug)]
pub struct World {
    pub clock: Clock,
    pub bot: Id,
    pub application: Id,
    pub users: BTreeMap<Id, User>,
    pub guilds: BTreeMap<Id, Guild>,
    pub channels: BTreeMap<Id, Channel>,
    pub commands: Vec<Value>,
    pub interactions: BTreeMap<Id, Interaction>,
    /// The paths of files that somebody asked for.
    pub fetched: Vec<String>,
    /// Bytes of files, by attachment.
    pub files: BTreeMap<Id, Vec<u8>>,
    /// Where attachments are fetched from.
    pub base: String,
    /// Open threads a server may have.
    pub most_open_threads: usize,
    /// Edits of messages older than an hour that are still taken; `None`: any number.
    pub old_edits_left: Option<usize>,
}

impl World {
    pub fn new(clock: Clock, base: String) -> Self {
        let mut world = Self {
            clock,
            bot: Id(0),
            application: Id(0),
            users: BTreeMap::new(),
            guilds: BTreeMap::new(),
            channels: BTreeMap::new(),
            commands: Vec::new(),
            interactions: BTreeMap::new(),
            files: BTreeMap::new(),
            base,
            fetched: Vec::new(),
            most_open_threads: 1000,
            old_edits_left: None,
        };
        let bot = world.user("tallyhook", "Tallyhook");
        world.users.get_mut(&bot).unwrap().bot = true;
        world.bot = bot;
        // An application made today has the same id as its user.
        world.application = bot;
        world
    }

    pub fn user(&mut self, name: &str, display_name: &str) -> Id {
        let id = self.clock.next_id();
        let user = User {
            id,
            name: name.to_owned(),
            display_name: display_name.to_owned(),
            bot: false,
            direct_messages_closed: false,
            locale: "en-US".to_owned(),
        };
        self.users.insert(id, user);
        id
    }

    /// A server with its owner and the application's user in it, who joined a day ago.
    pub fn guild(&mut self, name: &str, owner: Id) -> Id {
        let id = self.clock.next_id();
        let guild = Guild {
            id,
            name: name.to_owned(),
            owner,
            members: BTreeMap::new(),
            available: true,
            system_channel: None,
            locale: "en-US".to_owned(),
        };
        self.guilds.insert(id, guild);
        self.member(id, owner, permissions::STEWARD);
        self.member(id, self.bot, permissions::BOT);
        // It has been there for a while: one that lets it in just now is made with `StandIn::joins`.
        let bot = self.guilds.get_mut(&id).unwrap().members.get_mut(&self.bot).unwrap();
        bot.joined_at -= chrono::TimeDelta::days(1);
        id
    }

    /// Puts a user into a server, or changes the permissions there.
    pub fn member(&mut self, guild: Id, user: Id, bits: u64) {
        let (role, joined_at) = (self.clock.next_id(), self.clock.now());
        let members = &mut self.guilds.get_mut(&guild).expect("no such server").members;
        let entry =
            members.entry(user).or_insert(Member { user, nick: None, permissions: bits, role, joined_at });
        entry.permissions = bits;
    }

    pub fn channel(&mut self, kind: Kind, name: &str, guild: Option<Id>) -> Id {
        let id = self.clock.next_id();
        self.channel_with_id(id, kind, name, guild);
        id
    }

    /// A channel under a given id: a thread on a message carries the message's id.
    pub fn channel_with_id(&mut self, id: Id, kind: Kind, name: &str, guild: Option<Id>) {
        let channel = Channel {
            id,
            kind,
            name: name.to_owned(),
            guild,
            parent: None,
            owner: None,
            archived: false,
            locked: false,
            archive_changed_at: self.clock.now(),
            auto_archive_minutes: 4320,
            tags: Vec::new(),
            requires_tag: false,
            applied_tags: Vec::new(),
            denied_to_bot: 0,
            messages: BTreeMap::new(),
        };
        self.channels.insert(id, channel);
    }

    /// The direct line between the application and a user, made when first used.
    pub fn direct_line(&mut self, user: Id) -> Id {
        let known = self.channels.values().find(|c| c.kind == Kind::Direct && c.owner == Some(user));
        if let Some(known) = known {
            return known.id;
        }
        let id = self.channel(Kind::Direct, "", None);
        self.channels.get_mut(&id).unwrap().owner = Some(user);
        id
    }

    /// What a user may do in a channel. In a direct line nothing is withheld.
    pub fn permissions(&self, user: Id, channel: &Channel) -> u64 {
        let Some(guild) = channel.guild.and_then(|id| self.guilds.get(&id)) else {
            return permissions::MEMBER;
        };
        let Some(member) = guild.members.get(&user) else { return 0 };
        let mut bits = member.permissions;
        if guild.owner == user || bits & permissions::ADMINISTRATOR != 0 {
            return u64::MAX >> 13;
        }
        if user == self.bot {
            let parent = channel.parent.and_then(|id| self.channels.get(&id));
            bits &= !(channel.denied_to_bot | parent.map_or(0, |parent| parent.denied_to_bot));
        }
        bits
    }

    /// Every message with its id, wherever it stands.
    pub fn message(&self, id: Id) -> Option<&Message> {
        self.channels.values().find_map(|channel| channel.messages.get(&id))
    }

    pub fn message_mut(&mut self, id: Id) -> Option<&mut Message> {
        self.channels.values_mut().find_map(|channel| channel.messages.get_mut(&id))
    }
}
