//! Requests about channels, threads and forum posts, and edits of messages that stand in them.

use super::{Api, id_of, number};
use crate::discord::trouble::Trouble;
use crate::record::ChatId;
use serde_json::{Value, json};
use serenity::http::{LightMethod, Route};
use serenity::model::id::{ChannelId, GuildId, MessageId};

/// Minutes without a word after which a thread is archived: the most that the platform offers, a week.
const ARCHIVED_AFTER: u32 = 10_080;

impl Api {
    /// Opens a thread. Not repeated: a second one would look the same and be another.
    pub(in crate::discord) async fn open_thread(
        &self,
        channel: ChatId,
        name: &str,
    ) -> Result<ChatId, Trouble> {
        let body = json!({ "name": name, "type": 11, "auto_archive_duration": ARCHIVED_AFTER });
        let route = Route::ChannelThreads { channel_id: ChannelId::new(number(channel)) };
        let thread = self.once(LightMethod::Post, route, Some((&body).into()), &[]).await?;
        id_of(&thread)
    }

    /// Opens a post in a forum with its first message, which has the number of the post. Not repeated: the platform
    /// knows no nonce here.
    pub(in crate::discord) async fn open_post(
        &self,
        forum: ChatId,
        name: &str,
        tags: &[String],
        message: &Value,
    ) -> Result<ChatId, Trouble> {
        let body = json!({
            "name": name,
            "auto_archive_duration": ARCHIVED_AFTER,
            "applied_tags": tags,
            "message": message,
        });
        let route = Route::ChannelForumPosts { channel_id: ChannelId::new(number(forum)) };
        let post = self.once(LightMethod::Post, route, Some((&body).into()), &[]).await?;
        id_of(&post)
    }

    /// The threads of a group that are open.
    pub(in crate::discord) async fn open_threads(&self, group: ChatId) -> Result<Value, Trouble> {
        let route = Route::GuildThreadsActive { guild_id: GuildId::new(number(group)) };
        self.repeated(LightMethod::Get, route, None, &[]).await
    }

    /// A channel or a thread.
    pub(in crate::discord) async fn channel(&self, place: ChatId) -> Result<Value, Trouble> {
        let route = Route::Channel { channel_id: ChannelId::new(number(place)) };
        self.repeated(LightMethod::Get, route, None, &[]).await
    }

    /// Changes a channel or a thread; carried out twice it is the same.
    pub(in crate::discord) async fn change_channel(
        &self,
        place: ChatId,
        change: &Value,
    ) -> Result<(), Trouble> {
        let route = Route::Channel { channel_id: ChannelId::new(number(place)) };
        self.repeated(LightMethod::Patch, route, Some(change.into()), &[]).await.map(|_| ())
    }

    /// Edits a message of ours. Not repeated: whoever asks for it knows better when the next edit is due.
    pub(in crate::discord) async fn edit_message(
        &self,
        place: ChatId,
        message: ChatId,
        body: &Value,
    ) -> Result<(), Trouble> {
        let route = Route::ChannelMessage {
            channel_id: ChannelId::new(number(place)),
            message_id: MessageId::new(number(message)),
        };
        self.once(LightMethod::Patch, route, Some(body.into()), &[]).await.map(|_| ())
    }
}
