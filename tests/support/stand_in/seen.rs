//! What a member sees of an answer, now.

use std::fmt;
use std::sync::Arc;
use std::time::Duration;

use serde_json::Value;

use super::clock::Id;
use super::message::Message;
use super::record::dump;
use super::{Inner, StandIn, State};

/// A button on a message.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Button {
    pub label: String,
    /// Empty for a link.
    pub custom_id: String,
    /// 1 primary, 2 secondary, 3 success, 4 danger, 5 link.
    pub style: u64,
    pub disabled: bool,
    pub url: Option<String>,
}

/// An answer as it looks now.
#[expect(clippy::struct_excessive_bools, reason = "each is a thing a member sees or doesn't")]
#[derive(Debug, Clone, Default)]
pub struct Seen {
    /// The message, where there is one.
    pub message: Option<Id>,
    pub content: String,
    pub embeds: Vec<Value>,
    /// Rows as they were sent.
    pub components: Value,
    pub buttons: Vec<Button>,
    /// Names of the files.
    pub attachments: Vec<String>,
    /// Only this member sees it.
    pub ephemeral: bool,
    /// The answer was deferred before it came.
    pub deferred: bool,
    /// Still "thinking".
    pub thinking: bool,
    /// The form that opened instead of a message.
    pub modal: Option<Value>,
    /// The answer changed the message whose button was pressed (or left it as it is).
    pub in_place: bool,
    /// Further messages.
    pub follow_ups: Vec<Seen>,
}

impl Seen {
    /// A message as its readers see it.
    pub fn of(message: &Message) -> Self {
        let parts = message.components.as_array().into_iter().flatten();
        let parts = parts.flat_map(|row| row["components"].as_array().into_iter().flatten());
        let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
        let buttons = parts.filter(|part| part["type"] == 2).map(|part| Button {
            label: text(&part["label"]),
            custom_id: text(&part["custom_id"]),
            style: part["style"].as_u64().unwrap_or_default(),
            disabled: part["disabled"] == true,
            url: part["url"].as_str().map(str::to_owned),
        });
        Self {
            message: Some(message.id),
            content: message.content.clone(),
            embeds: message.embeds.as_array().cloned().unwrap_or_default(),
            components: message.components.clone(),
            buttons: buttons.collect(),
            attachments: message.attachments.iter().map(|file| file.filename.clone()).collect(),
            ephemeral: message.ephemeral(),
            thinking: message.loading(),
            ..Self::default()
        }
    }

    /// Everything written in it: content and embeds, a line each.
    pub fn text(&self) -> String {
        let mut lines = vec![self.content.clone()];
        for embed in &self.embeds {
            let mut add = |text: &Value| lines.extend(text.as_str().map(str::to_owned));
            add(&embed["author"]["name"]);
            add(&embed["title"]);
            add(&embed["description"]);
            for field in embed["fields"].as_array().into_iter().flatten() {
                add(&field["name"]);
                add(&field["value"]);
            }
            add(&embed["footer"]["text"]);
        }
        lines.retain(|line| !line.is_empty());
        lines.join("\n")
    }

    /// The button with this label.
    pub fn button(&self, label: &str) -> &Button {
        let found = self.buttons.iter().find(|button| button.label == label);
        found.unwrap_or_else(|| panic!("no button `{label}`; there are {:?}", self.buttons))
    }
}

/// An interaction somebody started.
#[derive(Clone)]
pub struct Handle {
    pub id: Id,
    pub(super) inner: Arc<Inner>,
}

impl fmt::Debug for Handle {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "interaction {}", self.id)
    }
}

impl Handle {
    /// What the member sees now; `None` while nothing was answered.
    pub fn now(&self) -> Option<Seen> {
        self.inner.with_quietly(|state| look(state, self.id))
    }

    /// Waits for the answer itself, past "thinking".
    pub async fn answer(&self, timeout: Duration) -> Seen {
        self.until(timeout, |seen| !seen.thinking).await
    }

    /// Waits until the answer looks a certain way, following edits and further messages.
    pub async fn until(&self, timeout: Duration, fits: impl Fn(&Seen) -> bool) -> Seen {
        let found = self.inner.until(timeout, |state| look(state, self.id).filter(|seen| fits(seen))).await;
        found.unwrap_or_else(|| {
            panic!(
                "no such answer within {timeout:?}; seen now: {:#?}\nrequests:\n{}",
                self.now(),
                self.dump()
            )
        })
    }

    /// The interaction's token, which a test that answers by itself needs.
    pub fn token(&self) -> String {
        self.inner.with_quietly(|state| state.world.interactions[&self.id].token.clone())
    }

    /// Whether anything was answered at all.
    pub fn acknowledged(&self) -> bool {
        self.inner.with_quietly(|state| state.world.interactions[&self.id].callback.is_some())
    }

    /// The requests so far, for a failed test.
    pub fn dump(&self) -> String {
        self.inner.with_quietly(|state| dump(&state.records))
    }
}

fn look(state: &State, id: Id) -> Option<Seen> {
    let interaction = &state.world.interactions[&id];
    let callback = interaction.callback?;
    if let Some(modal) = &interaction.modal {
        return Some(Seen { modal: Some(modal.clone()), ..Seen::default() });
    }
    // A deleted answer is nothing to see.
    let original = interaction.original.and_then(|id| state.world.message(id));
    let mut seen = original.map(Seen::of).unwrap_or_default();
    seen.deferred = matches!(callback, 5 | 6);
    seen.in_place = matches!(callback, 6 | 7);
    let further = interaction.followups.iter().filter_map(|id| state.world.message(*id));
    seen.follow_ups = further.map(Seen::of).collect();
    Some(seen)
}

impl StandIn {
    /// Waits for a message in a channel, also one already there; panics with what is there.
    pub async fn message_in(
        &self,
        channel: Id,
        timeout: Duration,
        fits: impl Fn(&Message) -> bool,
    ) -> Message {
        let found = self.inner.until(timeout, |state| {
            let place = state.world.channels.get(&channel)?;
            place.messages.values().find(|message| fits(message)).cloned()
        });
        if let Some(found) = found.await {
            return found;
        }
        let there: Vec<String> =
            self.messages(channel).iter().map(|message| message.content.clone()).collect();
        panic!(
            "no such message in the channel within {timeout:?}; there are {there:#?}\n{}",
            dump(&self.records())
        );
    }

    /// Waits for the application's next message after `after` in the channel.
    pub async fn reply_after(&self, after: Id, timeout: Duration) -> Message {
        let (bot, channel) = (self.bot(), self.message(after).expect("no such message").channel);
        self.message_in(channel, timeout, |message| message.author == bot && message.id > after).await
    }
}
