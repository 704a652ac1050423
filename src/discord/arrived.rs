//! Whether a message arrived at an earlier try whose end is not known. The platform recognises a nonce for a few minutes
//! only; after a longer absence it is looked for where it would stand.

use super::body::Body;
use super::escape::escaped;
use super::front::Front;
use super::inbound::first_id_at;
use super::trouble::Trouble;
use crate::record::{ChatId, Letter};
use crate::remind::courier::Parcel;
use chrono::{DateTime, TimeDelta, Utc};
use serde_json::Value;

/// How far the platform's clock may be behind.
const SKEW: TimeDelta = TimeDelta::minutes(1);

impl Front {
    /// The message that a letter became, where it stands in its place: as the answer to what it answers, else with its
    /// own words.
    pub(super) async fn letter_arrived(
        &self,
        letter: &Letter,
        parcel: &Parcel,
    ) -> Result<Option<ChatId>, Trouble> {
        let words = serde_json::from_str::<Body>(&letter.body).map(|body| body.content);
        let answers = letter.answers.map(|message| message.to_string());
        self.arrived(letter.place, parcel, |message| match &answers {
            Some(answers) => message["message_reference"]["message_id"] == **answers,
            None => words.as_ref().is_ok_and(|words| message["content"] == **words),
        })
        .await
    }

    /// Whether a reminder stands in a place, labelled as late or not.
    pub(super) async fn reminder_arrived(&self, place: ChatId, parcel: &Parcel) -> Result<bool, Trouble> {
        let Some(last) = parcel.parts.last().map(|part| escaped(&part.unlabelled)) else { return Ok(false) };
        let found = self.arrived(place, parcel, |message| {
            message["content"].as_str().is_some_and(|content| content.ends_with(&last))
        });
        Ok(found.await?.is_some())
    }

    async fn arrived(
        &self,
        place: ChatId,
        parcel: &Parcel,
        is_it: impl Fn(&Value) -> bool + Send,
    ) -> Result<Option<ChatId>, Trouble> {
        let first: Option<DateTime<Utc>> = parcel.parts.iter().map(|part| part.due).min();
        let Some(first) = first.filter(|_| parcel.again) else { return Ok(None) };
        let fetched = match self.api.messages_after(place, first_id_at(first - SKEW)).await {
            // Where nothing can be read, the try itself shows what is wrong.
            Err(trouble) if !trouble.passes() => return Ok(None),
            fetched => fetched?,
        };
        let me = self.me.to_string();
        let mut ours = fetched.as_array().into_iter().flatten().filter(|it| it["author"]["id"] == *me);
        let found = ours.find(|message| is_it(message));
        Ok(found.and_then(|message| message["id"].as_str()?.parse().ok()).map(ChatId))
    }
}
