//! Groups that let the assistant in, and that let it go.

use super::body::Body;
use super::front::Front;
use super::inbound::id;
use super::needs::{lacking, names};
use crate::record::{ChatId, Errand, Task};
use crate::reply::{Language, in_language, say};
use crate::store::StoreError;
use chrono::{DateTime, TimeDelta, Utc};
use serenity::model::channel::{ChannelType, GuildChannel};
use serenity::model::guild::Guild;
use serenity::model::permissions::Permissions;
use std::collections::BTreeSet;

/// A group is described after every connection too; only what was joined so lately was joined just now.
const JUST_NOW: TimeDelta = TimeDelta::minutes(5);

/// How the assistant stands to a group it is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Met {
    /// For the first time.
    New,
    /// Again, after a removal.
    Again,
    /// It was there all the time.
    Before,
}

impl Front {
    /// A group let the assistant go: its places are left alone, and what is the group's waits for its return.
    pub(super) async fn leave_group(&self, group: ChatId) {
        if let Err(error) = self.leave(group).await {
            tracing::error!(%error, "that a group was left could not be kept");
        }
    }

    async fn leave(&self, chat: ChatId) -> Result<(), StoreError> {
        let Some(group) = self.desk.leave(chat, self.clock.now()).await? else { return Ok(()) };
        for place in self.store().places_of_group(group).await? {
            if place.reachable {
                self.place_deleted(place.id).await;
            }
        }
        Ok(())
    }

    /// A group is there. One that let the assistant in just now is greeted; after a removal it has everything back.
    pub(super) async fn enter_group(&self, guild: &Guild) {
        let chat = id(guild.id.get());
        let lane = self.lane(chat);
        let _alone = lane.lock().await;
        let met = match self.store().group_by_chat(chat) {
            None => Met::New,
            Some(group) if group.left.is_some() => Met::Again,
            Some(_) => Met::Before,
        };
        let joined: DateTime<Utc> = *guild.joined_at;
        let just_now = (self.clock.now() - joined).abs() < JUST_NOW;
        let greeting = if just_now && met != Met::Before { self.greeting(guild, met) } else { None };
        let greeted = greeting.is_some();
        let kept = match met {
            Met::New if just_now => self.desk.meet(chat, &guild.name, greeting).await,
            Met::Again => self.desk.come_back(chat, greeting).await,
            Met::New | Met::Before => Ok(()),
        };
        if let Err(error) = kept {
            tracing::error!(%error, "that a group let the assistant in could not be kept");
        } else if greeted {
            self.look_at_cards();
        }
    }

    /// What a group is told once when it lets the assistant in, in its own language, and where.
    fn greeting(&self, guild: &Guild, met: Met) -> Option<Errand> {
        let chat = id(guild.id.get());
        let Some((place, may)) = self.place_to_greet_in(guild) else {
            tracing::warn!(group = chat.0, "not greeted: there is no text channel in which it may write");
            return None;
        };
        let language = Language::of_tag(&guild.preferred_locale).unwrap_or_default();
        let body = in_language(language, || {
            let mut lines = match met {
                Met::Again => vec![say("platform.greeting.back", &[])],
                Met::New | Met::Before => vec![
                    say("platform.greeting.purpose", &[]),
                    say("platform.greeting.newcomers", &[]),
                    say("platform.greeting.steward", &[]),
                ],
            };
            let missing = lacking(may);
            if !missing.is_empty() {
                lines.push(say("platform.greeting.lacking", &[("permissions", &names(&missing))]));
            }
            Body::words(&lines.join("\n"))
        });
        let nonce = format!("g{:x}.{:x}", chat.0, guild.joined_at.unix_timestamp().div_euclid(60));
        Some(Errand { nonce, task: Task::Post { place, body: serde_json::json!(body).to_string() } })
    }

    /// The channel for the group's notices where it may write there, else the first text channel where it may.
    fn place_to_greet_in(&self, guild: &Guild) -> Option<(ChatId, Permissions)> {
        let may_write = Permissions::VIEW_CHANNEL | Permissions::SEND_MESSAGES;
        let is_text = |channel: &&GuildChannel| matches!(channel.kind, ChannelType::Text | ChannelType::News);
        let mut channels: Vec<&GuildChannel> = guild.channels.values().filter(is_text).collect();
        let for_notices = |channel: &GuildChannel| Some(channel.id) == guild.system_channel_id;
        channels.sort_by_key(|channel| (!for_notices(channel), channel.position, channel.id));
        let rights = self.rights();
        let rights = rights.get(&id(guild.id.get()))?;
        let mut places = channels.into_iter().filter_map(|channel| {
            let place = id(channel.id.get());
            Some((place, rights.mine_in(place)?.1))
        });
        places.find(|(_, may)| may.contains(may_write))
    }

    /// What happened while nobody listened: a connection begins with every group there is, also those that cannot be
    /// reached for now. One that is missing let the assistant go.
    pub(super) async fn compare_groups(&self, there: &BTreeSet<ChatId>) {
        let known = self.store().groups().into_iter().filter_map(|group| group.chat);
        // A member's own conversation stands under their own number.
        let gone = known.filter(|chat| !there.contains(chat) && self.store().member_by_chat(*chat).is_none());
        for chat in gone.collect::<Vec<_>>() {
            tracing::warn!(group = chat.0, "removed from a group meanwhile");
            self.leave_group(chat).await;
        }
    }
}
