//! Who and what an event of the platform brings, in the desk's words.

use super::attached::{CameWith, Handed, Origins};
use crate::desk::{ChatSender, Files};
use crate::record::ChatId;
use chrono::{DateTime, Utc};
use serenity::model::channel::{Message, MessageType};
use serenity::model::event::MessageUpdateEvent;
use serenity::model::guild::{Member, PartialMember};
use serenity::model::id::GuildId;
use serenity::model::permissions::Permissions;
use serenity::model::user::User;

/// Whom messages are for: the assistant's account, and where the files of its platform lie.
#[derive(Debug, Clone)]
pub(super) struct Addressee {
    /// Its number.
    pub(super) me: ChatId,
    /// Where files come from.
    pub(super) origins: Origins,
}

/// A message that somebody wrote.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Written {
    /// Its number.
    pub(super) id: ChatId,
    /// Where.
    pub(super) place: ChatId,
    /// Who.
    pub(super) user: ChatId,
    /// Their name as shown.
    pub(super) name: String,
    /// The group; `None` in a direct conversation.
    pub(super) group: Option<ChatId>,
    /// What they wrote, without the mention of the assistant.
    pub(super) text: String,
    /// Whether they spoke to the assistant: by mention, or by a reply that pings.
    pub(super) to_us: bool,
    /// The message they replied to.
    pub(super) answers: Option<ChatId>,
    /// When.
    pub(super) at: DateTime<Utc>,
    /// The pictures and other files that came with it.
    pub(super) files: Files,
    /// The same, as they may be handed to a command.
    pub(super) handed: Vec<Handed>,
    /// Their roles in the group; `None` where it does not say, as of a message that was fetched.
    pub(super) roles: Option<Vec<ChatId>>,
}

/// The platform's number as the record keeps it. Its numbers begin with the time and stay below 2^63 for a century.
pub(super) fn id(number: u64) -> ChatId {
    ChatId(i64::try_from(number).unwrap_or(i64::MAX))
}

/// Milliseconds from 1970 to the moment the platform counts from, the first of 2015 (its reference, "Snowflakes").
const FIRST_MILLISECOND: i64 = 1_420_070_400_000;

/// The lowest number the platform gives at a moment; lower ones were given before.
pub(super) fn first_id_at(moment: DateTime<Utc>) -> ChatId {
    ChatId(((moment.timestamp_millis() - FIRST_MILLISECOND).max(0) << 22).max(1))
}

/// A message, if a person wrote it. `group` is the group of its place, which a message that was fetched does not name.
pub(super) fn written(message: &Message, to: &Addressee, group: Option<ChatId>) -> Option<Written> {
    let me = to.me;
    let by_a_person = !message.author.bot && message.webhook_id.is_none();
    let ordinary = matches!(message.kind, MessageType::Regular | MessageType::InlineReply);
    if !by_a_person || !ordinary {
        return None;
    }
    let answers = message.message_reference.as_ref().and_then(|reference| reference.message_id);
    let group = message.guild_id.map(|group| id(group.get())).or(group);
    let came_with = CameWith { group, place: id(message.channel_id.get()), message: id(message.id.get()) };
    Some(Written {
        id: came_with.message,
        place: came_with.place,
        user: id(message.author.id.get()),
        name: name_of(&message.author),
        group,
        text: without_mention(&message.content, me),
        to_us: message.mentions.iter().any(|user| id(user.id.get()) == me),
        answers: answers
            .filter(|_| message.kind == MessageType::InlineReply)
            .map(|answers| id(answers.get())),
        at: *message.timestamp,
        files: to.origins.files(&message.attachments, came_with),
        handed: to.origins.handed(&message.attachments),
        roles: message.member.as_deref().map(roles_of),
    })
}

/// A message that its writer edited.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Edited {
    /// The message as it is by now.
    pub(super) written: Written,
    /// When it was last edited.
    pub(super) at: DateTime<Utc>,
    /// Whether it says what is attached to it by now.
    pub(super) says_files: bool,
}

impl Edited {
    /// The number the edit would have, had it one of its own: its moment, and what tells the message from others.
    pub(super) fn id(&self) -> ChatId {
        const BELOW_THE_TIME: i64 = (1 << 22) - 1;
        ChatId((first_id_at(self.at).0 & !BELOW_THE_TIME) | (self.written.id.0 & BELOW_THE_TIME))
    }
}

/// An edit, if a person made it. The platform also tells of a message whose link it resolved, with no moment of an edit
/// in it; only a writer can edit the words.
pub(super) fn edited(event: &MessageUpdateEvent, to: &Addressee) -> Option<Edited> {
    let me = to.me;
    let at = *event.edited_timestamp?;
    let author = event.author.as_ref()?;
    let by_a_person = !author.bot && event.webhook_id.flatten().is_none();
    let ordinary = matches!(event.kind, None | Some(MessageType::Regular | MessageType::InlineReply));
    if !by_a_person || !ordinary {
        return None;
    }
    let mentions = event.mentions.iter().flatten();
    let group = event.guild_id.map(|group| id(group.get()));
    let came_with = CameWith { group, place: id(event.channel_id.get()), message: id(event.id.get()) };
    let written = Written {
        id: came_with.message,
        place: came_with.place,
        user: id(author.id.get()),
        name: name_of(author),
        group,
        text: without_mention(event.content.as_deref()?, me),
        to_us: mentions.into_iter().any(|user| id(user.id.get()) == me),
        answers: None,
        at: *event.timestamp?,
        files: to.origins.files(event.attachments.as_deref().unwrap_or_default(), came_with),
        // What was edited hands nothing over again.
        handed: Vec::new(),
        roles: event.member.as_ref().and_then(|member| member.as_deref()).map(roles_of),
    };
    Some(Edited { written, at, says_files: event.attachments.is_some() })
}

/// Who used a command or a button.
pub(super) fn sender(
    (user, locale): (&User, &str),
    member: Option<&Member>,
    group: Option<GuildId>,
    named: impl Fn(ChatId) -> (ChatId, String),
) -> ChatSender {
    let permissions = member.and_then(|member| member.permissions).filter(|_| group.is_some());
    let may = |right: Permissions| {
        permissions.map(|permissions| permissions.intersects(Permissions::ADMINISTRATOR | right))
    };
    ChatSender {
        user: id(user.id.get()),
        name: name_of(user),
        group: group.map(|group| named(id(group.get()))),
        manages: may(Permissions::MANAGE_GUILD),
        locale: (!locale.is_empty()).then(|| locale.to_owned()),
        moderates: may(Permissions::MANAGE_MESSAGES).unwrap_or_default(),
    }
}

fn roles_of(member: &PartialMember) -> Vec<ChatId> {
    member.roles.iter().map(|role| id(role.get())).collect()
}

/// The name others see; a nickname is left out, because not every event brings it.
fn name_of(user: &User) -> String {
    user.global_name.clone().unwrap_or_else(|| user.name.clone())
}

fn without_mention(text: &str, me: ChatId) -> String {
    let plain = format!("<@{me}>");
    let nick = format!("<@!{me}>");
    text.replace(&plain, " ").replace(&nick, " ").trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};

    fn to() -> Addressee {
        Addressee { me: ChatId(77), origins: Origins::of(&crate::discord::Address::Platform) }
    }

    fn message(change: impl Fn(&mut Value)) -> Message {
        let mut value = json!({
            "id": "1100000000000000001", "channel_id": "1100000000000000002", "guild_id": "1100000000000000003",
            "author": { "id": "1100000000000000004", "username": "mara", "global_name": "Mara",
                        "discriminator": "0", "avatar": null },
            "content": "<@77> pH 5.08", "timestamp": "2026-03-01T10:00:00.000000+00:00", "edited_timestamp": null,
            "tts": false, "mention_everyone": false, "mention_roles": [], "attachments": [], "embeds": [],
            "pinned": false, "type": 0,
            "mentions": [{ "id": "77", "username": "tallyhook", "discriminator": "0000", "avatar": null }],
        });
        change(&mut value);
        serde_json::from_value(value).unwrap()
    }

    #[test]
    fn a_mention_speaks_to_us_and_is_no_part_of_the_line() {
        let written = written(&message(|_| {}), &to(), None).unwrap();
        assert_eq!(written.text, "pH 5.08");
        assert!(written.to_us);
        assert_eq!(written.name, "Mara");
        assert_eq!(written.group, Some(ChatId(1_100_000_000_000_000_003)));
        assert_eq!(written.at.to_rfc3339(), "2026-03-01T10:00:00+00:00");
    }

    /// The reference's own example: the id 175928847299117063 was made on 30 April 2016 at 11:18:25.796 UTC.
    #[test]
    fn numbers_begin_with_the_time() {
        let first = first_id_at("2016-04-30T11:18:25.796Z".parse().unwrap());
        let example = 175_928_847_299_117_063;
        assert!(first.0 <= example && example - first.0 < 1 << 22, "{first}");
        assert_eq!(first_id_at(DateTime::UNIX_EPOCH), ChatId(1));
    }

    #[test]
    fn machines_and_notices_are_not_members() {
        assert_eq!(written(&message(|value| value["author"]["bot"] = json!(true)), &to(), None), None);
        assert_eq!(written(&message(|value| value["webhook_id"] = json!("5")), &to(), None), None);
        assert_eq!(written(&message(|value| value["type"] = json!(6)), &to(), None), None);
    }

    #[test]
    fn a_fetched_message_gets_its_group_from_its_place() {
        let fetched = message(|value| {
            value.as_object_mut().unwrap().remove("guild_id");
        });
        assert_eq!(written(&fetched, &to(), Some(ChatId(3))).unwrap().group, Some(ChatId(3)));
    }
}
