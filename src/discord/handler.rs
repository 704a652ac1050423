//! Events of the gateway, each handed to what deals with it.

use super::edited::Deleted;
use super::front::Front;
use super::inbound::{edited, id, written};
use super::rights::Rights;
use crate::record::ChatId;
use crate::reply::spoken_in;
use serenity::async_trait;
use serenity::client::{Context, EventHandler};
use serenity::model::application::Interaction;
use serenity::model::channel::GuildChannel;
use serenity::model::channel::{Message, PartialGuildChannel};
use serenity::model::event::{GuildMemberUpdateEvent, MessageUpdateEvent, ResumedEvent};
use serenity::model::gateway::Ready;
use serenity::model::guild::{Guild, Member, PartialGuild, Role, UnavailableGuild};
use serenity::model::id::{ChannelId, GuildId, MessageId, RoleId};
use std::sync::Arc;

/// Takes the events of the library.
pub(super) struct Handler {
    pub(super) front: Arc<Front>,
}

#[async_trait]
impl EventHandler for Handler {
    async fn ready(&self, _: Context, ready: Ready) {
        tracing::info!(groups = ready.guilds.len(), "connected");
        self.front.starts().greeted();
        let there = ready.guilds.iter().map(|group| id(group.id.get())).collect();
        self.front.compare_groups(&there).await;
        Arc::clone(&self.front).catch_up().await;
    }

    async fn resume(&self, _: Context, _: ResumedEvent) {
        self.front.starts().resumed();
    }

    async fn guild_create(&self, _: Context, guild: Guild, _: Option<bool>) {
        let group = id(guild.id.get());
        self.front.name_group(group, &guild.name);
        self.front.rights().insert(group, Rights::of(&guild, self.front.me));
        self.front.enter_group(&guild).await;
    }

    async fn guild_update(&self, _: Context, _: Option<Guild>, guild: PartialGuild) {
        if let Some(rights) = self.front.rights().get_mut(&id(guild.id.get())) {
            rights.renew(&guild);
        }
    }

    /// Of members only the assistant itself is told of without a privileged intent.
    async fn guild_member_update(
        &self,
        _: Context,
        _: Option<Member>,
        _: Option<Member>,
        event: GuildMemberUpdateEvent,
    ) {
        if id(event.user.id.get()) == self.front.me
            && let Some(rights) = self.front.rights().get_mut(&id(event.guild_id.get()))
        {
            rights.set_mine(&event.roles);
        }
    }

    async fn channel_create(&self, _: Context, channel: GuildChannel) {
        self.front.set_channel(&channel);
    }

    async fn channel_update(&self, _: Context, _: Option<GuildChannel>, channel: GuildChannel) {
        self.front.set_channel(&channel);
    }

    async fn guild_role_create(&self, _: Context, role: Role) {
        self.front.set_role(&role);
    }

    async fn guild_role_update(&self, _: Context, _: Option<Role>, role: Role) {
        self.front.set_role(&role);
    }

    async fn guild_role_delete(&self, _: Context, group: GuildId, role: RoleId, _: Option<Role>) {
        if let Some(rights) = self.front.rights().get_mut(&id(group.get())) {
            rights.remove(role);
        }
    }

    /// An outage says so; without that word the assistant was removed. It may be let in again within thirty days.
    async fn guild_delete(&self, _: Context, gone: UnavailableGuild, _: Option<Guild>) {
        if gone.unavailable {
            tracing::info!(group = gone.id.get(), "a group cannot be reached for now");
        } else {
            tracing::warn!(group = gone.id.get(), "removed from a group");
            self.front.leave_group(id(gone.id.get())).await;
        }
    }

    async fn thread_delete(&self, _: Context, thread: PartialGuildChannel, _: Option<GuildChannel>) {
        self.front.thread_deleted(id(thread.id.get())).await;
    }

    async fn channel_delete(&self, _: Context, channel: GuildChannel, _: Option<Vec<Message>>) {
        if let Some(rights) = self.front.rights().get_mut(&id(channel.guild_id.get())) {
            rights.remove_channel(id(channel.id.get()));
        }
        self.front.place_deleted(id(channel.id.get())).await;
    }

    async fn message(&self, _: Context, message: Message) {
        if let Some(written) = written(&message, &self.front.to, None::<ChatId>) {
            self.front.on_written(written).await;
        }
    }

    async fn message_update(
        &self,
        _: Context,
        _: Option<Message>,
        _: Option<Message>,
        event: MessageUpdateEvent,
    ) {
        if let Some(edited) = edited(&event, &self.front.to) {
            self.front.on_edited(edited).await;
        }
    }

    async fn message_delete(
        &self,
        _: Context,
        channel: ChannelId,
        message: MessageId,
        group: Option<GuildId>,
    ) {
        self.front.on_deleted(&Deleted::of(channel, &[message], group)).await;
    }

    async fn message_delete_bulk(
        &self,
        _: Context,
        channel: ChannelId,
        messages: Vec<MessageId>,
        group: Option<GuildId>,
    ) {
        self.front.on_deleted(&Deleted::of(channel, &messages, group)).await;
    }

    async fn interaction_create(&self, _: Context, interaction: Interaction) {
        let front = Arc::clone(&self.front);
        let language = front.language_of(&interaction);
        let dealt_with = async {
            match interaction {
                Interaction::Command(command) => front.on_command(command).await,
                Interaction::Autocomplete(typing) => front.on_typing(typing).await,
                Interaction::Component(press) => front.on_press(press).await,
                Interaction::Modal(form) => front.on_form(form).await,
                _ => {}
            }
        };
        spoken_in(language, dealt_with).await;
    }
}
