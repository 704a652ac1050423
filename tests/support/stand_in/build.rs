//! The world made by code, and the gateway's faults.

use serde_json::{Value, json};

use super::clock::Id;
use super::message::Message;
use super::sessions::{GUILDS, Order};
use super::world::{Kind, User};
use super::{SOON, StandIn, messages, threads};

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
        self.inner.with(|state| state.world.bot)
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

    /// Puts a person (or the application) into a server with permission bits, or changes the bits.
    pub fn member(&self, guild: Id, user: Id, bits: u64) {
        self.inner.with(|state| {
            state.world.member(guild, user, bits);
            // A new member brings a role; the application's cache learns both by the whole server.
            let described = state.world.describe_guild_create(&state.world.guilds[&guild]);
            state.emit("GUILD_CREATE", GUILDS, described);
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
        self.inner.with(|state| {
            state
                .world
                .channels
                .get(&channel)
                .into_iter()
                .flat_map(|channel| channel.messages.values().cloned())
                .collect()
        })
    }

    pub fn message(&self, id: Id) -> Option<Message> {
        self.inner.with(|state| state.world.message(id).cloned())
    }

    /// The bytes of an attachment.
    pub fn file(&self, attachment: Id) -> Vec<u8> {
        self.inner.with(|state| state.world.files.get(&attachment).cloned().unwrap_or_default())
    }

    /// The names of the channels and threads of a server, with their ids.
    pub fn channels(&self, guild: Id) -> Vec<(String, Id)> {
        self.inner.with(|state| {
            let of_guild = state.world.channels.values().filter(|channel| channel.guild == Some(guild));
            of_guild.map(|channel| (channel.name.clone(), channel.id)).collect()
        })
    }

    /// Waits until the application has a session.
    pub async fn ready(&self) {
        let ready = self.inner.until(4 * SOON, |state| state.gateway.ready().then_some(())).await;
        assert!(ready.is_some(), "the application did not identify or resume in time");
    }

    /// Waits until something about the gateway holds: `|gateway| gateway.resumes.len() == 1`.
    pub async fn gateway_until(&self, fits: impl Fn(&super::sessions::Gateway) -> bool) {
        let found = self.inner.until(4 * SOON, |state| fits(&state.gateway).then_some(())).await;
        assert!(
            found.is_some(),
            "the gateway did not come to that: {:?}",
            self.inner.with(|s| format!("{:?}", s.gateway.resumes))
        );
    }

    /// A close frame, with or without a code.
    pub fn close(&self, code: Option<u16>) {
        self.inner.with(|state| {
            // 4007 and 4009 end the session (platform's close codes); a code-less frame leaves it.
            if matches!(code, Some(4007 | 4009)) {
                state.gateway.forget_sessions();
            }
            state.gateway.order(|| Order::Close(code));
        });
    }

    /// The connection breaks without a close frame; the session can be resumed.
    pub fn drop_tcp(&self) {
        self.inner.with(|state| state.gateway.order(|| Order::Drop));
    }

    /// Op 7: reconnect and resume.
    pub fn reconnect(&self) {
        self.raw(&json!({ "op": 7, "s": null, "t": null, "d": null }));
    }

    /// Op 9: the session is invalid, resumable or not.
    pub fn invalidate(&self, resumable: bool) {
        self.inner.with(|state| {
            if !resumable {
                state.gateway.forget_sessions();
            }
        });
        self.raw(&json!({ "op": 9, "s": null, "t": null, "d": resumable }));
    }

    /// Heartbeats are not acknowledged any more (or again).
    pub fn ignore_heartbeats(&self, ignore: bool) {
        self.inner.with(|state| state.gateway.ignore_heartbeats = ignore);
    }

    /// Sends a payload as it is.
    pub fn raw(&self, payload: &Value) {
        self.raw_text(&payload.to_string());
    }

    /// Sends text that need not be JSON.
    pub fn raw_text(&self, text: &str) {
        self.inner.with(|state| state.gateway.order(|| Order::Raw(text.to_owned())));
    }

    /// Gives an event its number and sends it, whatever it says: unknown names, malformed data.
    pub fn event(&self, name: &'static str, data: Value) {
        self.inner.with(|state| state.emit(name, 0, data));
    }

    /// The next RESUME brings this many delivered events once more.
    pub fn repeat_on_resume(&self, events: usize) {
        self.inner.with(|state| state.gateway.repeat_on_resume = events);
    }

    /// Delivers the last events once more, with new numbers.
    pub fn repeat_last(&self, events: usize) {
        self.inner.with(|state| {
            let Some(session) = state.gateway.sessions.iter_mut().rev().find(|session| session.valid) else {
                return;
            };
            let from = session.log.len().saturating_sub(events);
            let again: Vec<Value> = session.log[from..].iter().map(|(_, payload)| payload.clone()).collect();
            for mut payload in again {
                session.sequence += 1;
                payload["s"] = json!(session.sequence);
                session.log.push((session.sequence, payload.clone()));
                if let Some(live) =
                    state.gateway.live.iter().find(|live| Some(live.number) == session.connection)
                {
                    let _ = live.orders.send(Order::Send(payload));
                }
            }
        });
    }

    /// Holds events back until [`Self::release`].
    pub fn hold(&self) {
        self.inner.with(|state| state.gateway.held = Some(Vec::new()));
    }

    /// Delivers what was held back, in order or last first.
    pub fn release(&self, last_first: bool) {
        self.inner.with(|state| {
            let mut held = state.gateway.held.take().unwrap_or_default();
            if last_first {
                held.reverse();
            }
            for event in held {
                state.gateway.emit(event);
            }
        });
    }

    /// Keeps the application off the gateway while `happens` runs. What happened is replayed on RESUME if
    /// `resumable`; otherwise it can only be fetched over HTTP after a fresh IDENTIFY.
    pub fn offline(&self, resumable: bool, happens: impl FnOnce(&Self)) {
        self.inner.open.send_replace(false);
        self.drop_tcp();
        if !resumable {
            self.inner.with(|state| state.gateway.forget_sessions());
        }
        happens(self);
        self.inner.open.send_replace(true);
    }

    /// How many connections the gateway has seen.
    pub fn connections(&self) -> u64 {
        self.inner.with(|state| state.gateway.connections)
    }

    /// The data of every IDENTIFY.
    pub fn identifies(&self) -> Vec<Value> {
        self.inner.with(|state| state.gateway.identifies.clone())
    }

    /// The data of every RESUME.
    pub fn resumes(&self) -> Vec<Value> {
        self.inner.with(|state| state.gateway.resumes.clone())
    }

    /// A person deletes a message.
    pub fn delete(&self, message: Id) {
        self.inner.with(|state| messages::remove(state, message));
    }

    /// A person puts a reaction on a message, or takes it off.
    pub fn react(&self, user: Id, message: Id, emoji: &str, add: bool) {
        self.inner.with(|state| messages::set_reaction(state, message, user, emoji, add));
    }
}
