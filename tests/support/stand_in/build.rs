//! The world made by code.

use serde_json::{Value, json};

use super::clock::Id;
use super::message::Message;
use super::sessions::GUILDS;
use super::world::{Channel, Guild, Kind, Tag, User};
use super::{StandIn, describe, messages, reactions, threads};

impl StandIn {
    /// A person with a user name and a display name.
    pub fn user(&self, name: &str, display_name: &str) -> Id {
        self.inner.with(|state| state.world.user(name, display_name))
    }

    /// Changes a person: language, closed direct messages, names.
    pub fn change_user(&self, user: Id, change: impl FnOnce(&mut User)) {
        self.inner.with(|state| change(state.world.users.get_mut(&user).expect("no such user")));
    }

    /// The application's own user; the application has the same id.
    pub fn bot(&self) -> Id {
        self.inner.with_quietly(|state| state.world.bot)
    }

    /// A server with its owner and the application in it.
    pub fn guild(&self, name: &str, owner: Id) -> Id {
        self.inner.with(|state| {
            let id = state.world.guild(name, owner);
            let described = state.world.describe_guild_create(&state.world.guilds[&id]);
            state.emit("GUILD_CREATE", GUILDS, described);
            id
        })
    }

    /// The application joins a server just now; `change` says what is its channel for notices, and its language.
    pub fn joins(&self, guild: Id, change: impl FnOnce(&mut Guild)) {
        self.inner.with(|state| {
            let (bot, now) = (state.world.bot, state.world.clock.now());
            let known = state.world.guilds.get_mut(&guild).expect("no such server");
            known.members.get_mut(&bot).unwrap().joined_at = now;
            change(known);
            let described = state.world.describe_guild_create(&state.world.guilds[&guild]);
            state.emit("GUILD_CREATE", GUILDS, described);
        });
    }

    /// Puts a person (or the application) into a server with permission bits, or changes the bits.
    pub fn member(&self, guild: Id, user: Id, bits: u64) {
        self.inner.with(|state| {
            let known = state.world.guilds[&guild].members.contains_key(&user);
            state.world.member(guild, user, bits);
            // Who comes and goes is told only with a privileged intent; the role that is made or changed always is.
            let role = describe::role(&state.world.guilds[&guild].members[&user], 1);
            let name = if known { "GUILD_ROLE_UPDATE" } else { "GUILD_ROLE_CREATE" };
            state.emit(name, GUILDS, json!({ "guild_id": guild.json(), "role": role }));
        });
    }

    /// A member's nickname in a server.
    pub fn nickname(&self, guild: Id, user: Id, nick: &str) {
        self.inner.with(|state| {
            let member = state.world.guilds.get_mut(&guild).unwrap().members.get_mut(&user).unwrap();
            member.nick = Some(nick.to_owned());
        });
    }

    pub fn channel(&self, guild: Id, name: &str) -> Id {
        self.any_channel(guild, name, Kind::Text)
    }

    pub fn forum(&self, guild: Id, name: &str) -> Id {
        self.any_channel(guild, name, Kind::Forum)
    }

    /// Gives a forum its tags, and says whether every post needs one; gives their ids.
    pub fn tag_forum(&self, forum: Id, names: &[&str], required: bool) -> Vec<Id> {
        self.inner.with(|state| {
            let ids: Vec<Id> = names.iter().map(|_| state.world.clock.next_id()).collect();
            let known = state.world.channels.get_mut(&forum).expect("no such channel");
            let tag = |(id, name): (&Id, &&str)| Tag { id: *id, name: (*name).to_owned(), moderated: false };
            known.tags = ids.iter().zip(names).map(tag).collect();
            known.requires_tag = required;
            state.emit_channel("CHANNEL_UPDATE", forum);
            ids
        })
    }

    /// Makes a forum's tags such that only who may manage threads gives them.
    pub fn moderate_tags(&self, forum: Id) {
        self.inner.with(|state| {
            let known = state.world.channels.get_mut(&forum).expect("no such channel");
            known.tags.iter_mut().for_each(|tag| tag.moderated = true);
            state.emit_channel("CHANNEL_UPDATE", forum);
        });
    }

    /// The names of a post's tags.
    pub fn tags(&self, post: Id) -> Vec<String> {
        self.inner.with_quietly(|state| {
            let post = &state.world.channels[&post];
            let forum = &state.world.channels[&post.parent.expect("no thread")];
            let name = |id: &Id| forum.tags.iter().find(|tag| tag.id == *id).map(|tag| tag.name.clone());
            post.applied_tags.iter().filter_map(name).collect()
        })
    }

    /// A member tags a post, or takes its tags away.
    pub fn apply_tags(&self, post: Id, tags: &[Id]) {
        self.inner.with(|state| {
            state.world.channels.get_mut(&post).expect("no such post").applied_tags = tags.to_vec();
            state.emit_channel("THREAD_UPDATE", post);
        });
    }

    /// So many threads may be open in a server.
    pub fn most_open_threads(&self, most: usize) {
        self.inner.with(|state| state.world.most_open_threads = most);
    }

    /// So many more edits of messages older than an hour are taken; `None`: any number.
    pub fn old_edits_left(&self, left: Option<usize>) {
        self.inner.with(|state| state.world.old_edits_left = left);
    }

    fn any_channel(&self, guild: Id, name: &str, kind: Kind) -> Id {
        self.inner.with(|state| {
            let id = state.world.channel(kind, name, Some(guild));
            state.emit_channel("CHANNEL_CREATE", id);
            id
        })
    }

    /// A thread a member opens.
    pub fn thread(&self, parent: Id, name: &str, owner: Id) -> Id {
        self.inner.with(|state| {
            let id = state.world.clock.next_id();
            threads::open(state, id, parent, owner, &json!({ "name": name }));
            id
        })
    }

    /// Archives or wakes, locks or unlocks, renames: `json!({ "archived": true, "locked": true })`.
    pub fn change_channel(&self, channel: Id, change: &Value) {
        self.inner.with(|state| threads::set(state, channel, change));
    }

    /// Looks at a channel or a thread.
    pub fn with_channel<T>(&self, channel: Id, look: impl FnOnce(&Channel) -> T) -> T {
        self.inner.with_quietly(|state| look(&state.world.channels[&channel]))
    }

    /// Deletes a channel with its threads, or a thread.
    pub fn delete_channel(&self, channel: Id) {
        self.inner.with(|state| threads::remove(state, channel));
    }

    /// Takes permission bits from the application in a channel (and its threads).
    pub fn deny_bot(&self, channel: Id, bits: u64) {
        self.inner.with(|state| {
            state.world.channels.get_mut(&channel).expect("no such channel").denied_to_bot = bits;
            let thread = state.world.channels[&channel].kind == Kind::Thread;
            state.emit_channel(if thread { "THREAD_UPDATE" } else { "CHANNEL_UPDATE" }, channel);
        });
    }

    /// The direct line between a user and the application.
    pub fn direct_line(&self, user: Id) -> Id {
        self.inner.with(|state| state.world.direct_line(user))
    }

    /// An outage (`unavailable`) or the application's removal from the server.
    pub fn guild_delete(&self, guild: Id, unavailable: bool) {
        self.inner.with(|state| {
            let mut data = json!({ "id": guild.json() });
            if unavailable {
                data["unavailable"] = json!(true);
                state.world.guilds.get_mut(&guild).expect("no such server").available = false;
            } else {
                state.world.guilds.remove(&guild);
            }
            state.emit("GUILD_DELETE", GUILDS, data);
        });
    }

    /// The end of an outage.
    pub fn guild_returns(&self, guild: Id) {
        self.inner.with(|state| {
            state.world.guilds.get_mut(&guild).expect("no such server").available = true;
            let described = state.world.describe_guild_create(&state.world.guilds[&guild]);
            state.emit("GUILD_CREATE", GUILDS, described);
        });
    }

    /// The messages of a channel, oldest first, with everything kept about them.
    pub fn messages(&self, channel: Id) -> Vec<Message> {
        self.inner.with_quietly(|state| {
            state
                .world
                .channels
                .get(&channel)
                .into_iter()
                .flat_map(|channel| channel.messages.values().cloned())
                .collect()
        })
    }

    /// Every message anywhere, oldest first.
    pub fn all_messages(&self) -> Vec<Message> {
        let mut all: Vec<Message> = self.inner.with_quietly(|state| {
            state.world.channels.values().flat_map(|channel| channel.messages.values().cloned()).collect()
        });
        all.sort_by_key(|message| message.id);
        all
    }

    /// A user's display name.
    pub fn name(&self, user: Id) -> String {
        self.inner.with_quietly(|state| state.world.users[&user].display_name.clone())
    }

    /// A text with names in place of `<@id>`, as the app shows it.
    pub fn readable(&self, text: &str) -> String {
        self.inner.with_quietly(|state| {
            let named = |text: String, user: &User| {
                text.replace(&format!("<@{}>", user.id), &format!("@{}", user.display_name))
            };
            state.world.users.values().fold(text.to_owned(), named)
        })
    }

    /// Who wrote a message and where, by name.
    pub fn names(&self, message: &Message) -> (String, String) {
        self.inner.with_quietly(|state| {
            let author = state.world.users[&message.author].display_name.clone();
            let channel = &state.world.channels[&message.channel];
            let other = channel.owner.filter(|_| channel.kind == Kind::Direct);
            let other =
                other.map(|user| format!("the direct line with {}", state.world.users[&user].display_name));
            (author, other.unwrap_or_else(|| format!("#{}", channel.name)))
        })
    }

    pub fn message(&self, id: Id) -> Option<Message> {
        self.inner.with_quietly(|state| state.world.message(id).cloned())
    }

    /// The bytes of an attachment.
    pub fn file(&self, attachment: Id) -> Vec<u8> {
        self.inner.with_quietly(|state| state.world.files.get(&attachment).cloned().unwrap_or_default())
    }

    /// The paths of files that somebody asked for.
    pub fn fetched(&self) -> Vec<String> {
        self.inner.with_quietly(|state| state.world.fetched.clone())
    }

    /// The server a channel belongs to.
    pub fn guild_of(&self, channel: Id) -> Id {
        self.inner
            .with(|state| state.world.channels[&channel].guild.expect("a direct line belongs to no server"))
    }

    /// The names of the channels and threads of a server, with their ids.
    pub fn channels(&self, guild: Id) -> Vec<(String, Id)> {
        self.inner.with_quietly(|state| {
            let of_guild = state.world.channels.values().filter(|channel| channel.guild == Some(guild));
            of_guild.map(|channel| (channel.name.clone(), channel.id)).collect()
        })
    }

    /// A person deletes a message.
    pub fn delete(&self, message: Id) {
        self.inner.with(|state| messages::remove(state, message));
    }

    /// A person puts a reaction on a message, or takes it off.
    pub fn react(&self, user: Id, message: Id, emoji: &str, add: bool) {
        self.inner.with(|state| reactions::set(state, message, user, emoji, add));
    }
}
