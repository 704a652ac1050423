//! The world as the platform writes it: users, members, channels, servers.

use serde_json::{Value, json};

use super::clock::{Id, stamp};
use super::world::{Channel, Guild, Kind, Member, Tag, User, World};

pub fn user(user: &User) -> Value {
    let mut body = json!({
        "id": user.id.json(),
        "username": user.name,
        "global_name": user.display_name,
        "discriminator": "0",
        "avatar": null,
        "public_flags": 0,
        "flags": 0,
        "primary_guild": null,
    });
    if user.bot {
        body["bot"] = json!(true);
    }
    body
}

/// The application's own user, with what only the owner of an account sees.
pub fn own_user(user_: &User) -> Value {
    let mut body = user(user_);
    body["mfa_enabled"] = json!(true);
    body["verified"] = json!(true);
    body["email"] = Value::Null;
    body["locale"] = json!("en-US");
    body
}

/// A member without the user, as it accompanies a message.
pub fn bare_member(member: &Member) -> Value {
    json!({
        "avatar": null,
        "banner": null,
        "communication_disabled_until": null,
        "flags": 0,
        "joined_at": stamp(member.joined_at),
        "nick": member.nick,
        "pending": false,
        "premium_since": null,
        "roles": [member.role.json()],
        "mute": false,
        "deaf": false,
    })
}

/// The server as `GET /guilds/{id}` answers.
pub fn guild(guild: &Guild) -> Value {
    json!({
        "id": guild.id.json(),
        "name": guild.name,
        "icon": null,
        "description": null,
        "home_header": null,
        "splash": null,
        "discovery_splash": null,
        "features": [],
        "banner": null,
        "owner_id": guild.owner.json(),
        "application_id": null,
        "region": "deprecated",
        "afk_channel_id": null,
        "afk_timeout": 300,
        "system_channel_id": guild.system_channel.map(Id::json),
        "system_channel_flags": 0,
        "widget_enabled": false,
        "widget_channel_id": null,
        "verification_level": 1,
        "roles": roles(guild),
        "default_message_notifications": 1,
        "mfa_level": 0,
        "explicit_content_filter": 0,
        "max_presences": null,
        "max_members": 500_000,
        "max_stage_video_channel_users": 50,
        "max_video_channel_users": 25,
        "vanity_url_code": null,
        "premium_tier": 0,
        "premium_subscription_count": 0,
        "preferred_locale": guild.locale,
        "rules_channel_id": null,
        "safety_alerts_channel_id": null,
        "public_updates_channel_id": null,
        "premium_progress_bar_enabled": false,
        "nsfw": false,
        "nsfw_level": 0,
        "emojis": [],
        "stickers": [],
        "incidents_data": null,
    })
}

impl World {
    pub fn describe_user(&self, id: Id) -> Value {
        user(&self.users[&id])
    }

    pub fn describe_member(&self, member: &Member) -> Value {
        let mut body = bare_member(member);
        body["user"] = self.describe_user(member.user);
        body
    }

    pub fn describe_channel(&self, channel: &Channel) -> Value {
        let last = channel.messages.keys().next_back().map(|id| id.json());
        let mut body = json!({
            "id": channel.id.json(),
            "type": channel.kind as u8,
            "flags": 0,
            "last_message_id": last,
        });
        if channel.kind == Kind::Direct {
            body["recipients"] = json!([self.describe_user(channel.owner.unwrap())]);
            return body;
        }
        body["guild_id"] = channel.guild.unwrap().json();
        body["name"] = json!(channel.name);
        body["parent_id"] = json!(channel.parent.map(Id::json));
        body["rate_limit_per_user"] = json!(0);
        if channel.kind == Kind::Thread {
            describe_thread(channel, &mut body);
            let parent = channel.parent.and_then(|id| self.channels.get(&id));
            if parent.is_some_and(|parent| parent.kind == Kind::Forum) {
                body["applied_tags"] = channel.applied_tags.iter().map(|id| id.json()).collect();
            }
        } else {
            if channel.kind == Kind::Forum {
                describe_forum(channel, &mut body);
            }
            body["position"] = json!(0);
            body["nsfw"] = json!(false);
            body["topic"] = Value::Null;
            body["permission_overwrites"] = self.overwrites(channel);
        }
        body
    }

    fn overwrites(&self, channel: &Channel) -> Value {
        if channel.denied_to_bot == 0 {
            return json!([]);
        }
        json!([{ "id": self.bot.json(), "type": 1, "allow": "0", "deny": channel.denied_to_bot.to_string() }])
    }

    /// The server as the event `GUILD_CREATE` brings it: with channels and active threads.
    pub fn describe_guild_create(&self, guild: &Guild) -> Value {
        let mut body = self::guild(guild);
        let of_guild = || self.channels.values().filter(|channel| channel.guild == Some(guild.id));
        let (threads, channels): (Vec<_>, Vec<_>) =
            of_guild().partition(|channel| channel.kind == Kind::Thread);
        body["joined_at"] = json!(stamp(guild.members[&self.bot].joined_at));
        body["large"] = json!(false);
        body["unavailable"] = json!(false);
        body["member_count"] = json!(guild.members.len());
        body["voice_states"] = json!([]);
        body["presences"] = json!([]);
        body["stage_instances"] = json!([]);
        body["guild_scheduled_events"] = json!([]);
        body["soundboard_sounds"] = json!([]);
        // Without the privileged intents for presences and members only the application itself is listed.
        body["members"] = json!([self.describe_member(&guild.members[&self.bot])]);
        body["channels"] = channels.into_iter().map(|channel| self.describe_channel(channel)).collect();
        let active = threads.into_iter().filter(|thread| !thread.archived);
        body["threads"] = active.map(|thread| self.describe_channel(thread)).collect();
        body
    }

    /// The application as `GET /applications/@me` answers.
    pub fn describe_application(&self, flags: u64) -> Value {
        let owner = self.guilds.values().next().map_or(self.bot, |guild| guild.owner);
        json!({
            "id": self.application.json(),
            "name": self.users[&self.bot].display_name,
            "icon": null,
            "description": "",
            "type": null,
            "bot": self.describe_user(self.bot),
            "bot_public": true,
            "bot_require_code_grant": false,
            "verify_key": "0".repeat(64),
            "flags": flags,
            "flags_new": flags.to_string(),
            "redirect_uris": [],
            "interactions_endpoint_url": null,
            "role_connections_verification_url": null,
            "owner": self.describe_user(owner),
            "approximate_guild_count": self.guilds.len(),
            "approximate_user_install_count": 0,
            "approximate_user_authorization_count": 0,
            "explicit_content_filter": 0,
            "team": null,
            "eligible_oauth2_scopes": [],
            "integration_types_config": { "0": {} },
        })
    }
}

/// The flag of a forum that takes no post without a tag (the platform's reference, "Channel Flags").
const REQUIRE_TAG: u64 = 1 << 4;

fn describe_forum(channel: &Channel, body: &mut Value) {
    body["flags"] = json!(if channel.requires_tag { REQUIRE_TAG } else { 0 });
    let tag = |tag: &Tag| json!({ "id": tag.id.json(), "name": tag.name, "moderated": tag.moderated, "emoji_id": null, "emoji_name": null });
    body["available_tags"] = channel.tags.iter().map(tag).collect();
    body["default_reaction_emoji"] = Value::Null;
    body["default_sort_order"] = Value::Null;
    body["default_forum_layout"] = json!(0);
}

fn describe_thread(channel: &Channel, body: &mut Value) {
    let count = channel.messages.len();
    body["owner_id"] = channel.owner.unwrap().json();
    body["message_count"] = json!(count);
    body["total_message_sent"] = json!(count);
    body["member_count"] = json!(1);
    body["thread_metadata"] = json!({
        "archived": channel.archived,
        "archive_timestamp": stamp(channel.archive_changed_at),
        "auto_archive_duration": channel.auto_archive_minutes,
        "locked": channel.locked,
        "create_timestamp": stamp(channel.id.made_at()),
    });
}

/// Everyone's role allows nothing; each member has a role with exactly its bits.
fn roles(guild: &Guild) -> Value {
    let own = guild.members.values().enumerate().map(|(place, member)| role(member, place + 1));
    std::iter::once(one_role(guild.id, "@everyone", 0, 0)).chain(own).collect()
}

/// A member's own role.
pub fn role(member: &Member, position: usize) -> Value {
    one_role(member.role, &format!("role {}", member.role), member.permissions, position)
}

fn one_role(id: Id, name: &str, bits: u64, position: usize) -> Value {
    json!({
        "id": id.json(),
        "name": name,
        "permissions": bits.to_string(),
        "position": position,
        "color": 0,
        "colors": { "primary_color": 0, "secondary_color": null, "tertiary_color": null },
        "hoist": false,
        "managed": false,
        "mentionable": false,
        "icon": null,
        "unicode_emoji": null,
        "flags": 0,
    })
}
