//! A batch's own thread: opened once, found again where the answer to its opening was lost.

use super::body::Body;
use super::buttons::{Field, Form, Press, Saying};
use super::escape::escaped;
use super::front::Front;
use super::limits;
use super::trouble::Trouble;
use crate::desk::{Actor, Deed, Said, Thing, may};
use crate::record::{BatchId, BatchState, Card, ChatId, Letter, MemberId, Place, PlaceKind};
use crate::reply::say;
use crate::store::{Change, StoreError};
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

/// Commands after which a batch without a thread gets one.
pub(super) const OPENS: [&str; 2] = ["batch start", "batch show"];

/// Where a command was used.
#[derive(Debug, Clone, Copy)]
pub(super) struct Opening {
    /// In which group.
    pub(super) group: ChatId,
    /// In which channel or thread.
    pub(super) place: ChatId,
    /// Whether that is a thread.
    pub(super) is_thread: bool,
}

/// A letter that asks for a thread instead of a message.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct ThreadWanted {
    /// Its name.
    pub(super) thread: String,
    /// The group of its channel.
    pub(super) group: i64,
}

impl Front {
    /// Opens a thread for a batch that was just started or looked at by its owner, where it has none yet. What cannot
    /// be opened now is tried again by the loop of reminders.
    pub(super) async fn open_thread_for(&self, batch: BatchId, member: MemberId, opening: Opening) {
        if let Err(error) = self.want_thread(batch, member, opening).await {
            tracing::warn!(%error, "a thread could not be prepared");
        }
    }

    async fn want_thread(
        &self,
        batch: BatchId,
        member: MemberId,
        opening: Opening,
    ) -> Result<(), StoreError> {
        let store = self.store();
        let Some((state, _)) = store.batch(batch).await? else { return Ok(()) };
        let is_known = store.place_of_batch(batch).await?.is_some();
        let asker = store.memberships_of(member).into_iter().next();
        let owned = Thing::of_member(state.plan.owner);
        let may_open = asker.is_some_and(|asker| may(Actor::member(&asker), Deed::Run, &owned));
        if is_known || !may_open || state.stage().0.is_over() {
            return Ok(());
        }
        if opening.is_thread {
            // A command used in a thread that is nobody's makes it the batch's.
            let there = store.place(opening.place).await?;
            if there.is_some_and(|place| place.batch.is_some()) {
                return Ok(());
            }
            return self.take_thread(opening.place, &state, opening.place).await;
        }
        let name = limits::shortened(&format!("{batch} {}", state.plan.name), limits::THREAD_NAME);
        let wanted = ThreadWanted { thread: name.clone(), group: opening.group.0 };
        let letter = Letter {
            place: opening.place,
            answers: None,
            body: json!(wanted).to_string(),
            nonce: format!("t{}", batch.0),
        };
        let outgoing = self.outgoing(letter, member, Some(batch), name);
        let id = outgoing.id;
        store.commit(Change { outgoing: vec![outgoing], ..Change::default() }).await?;
        self.send_now(id).await
    }

    /// Opens the thread that a letter asks for, or finds the one that was opened before and whose answer was lost.
    pub(super) async fn open_wanted(
        &self,
        wanted: &ThreadWanted,
        channel: ChatId,
        batch: BatchId,
    ) -> Result<(), Trouble> {
        let Ok(Some((state, _))) = self.store().batch(batch).await else { return Ok(()) };
        if matches!(self.store().place_of_batch(batch).await, Ok(Some(_))) {
            return Ok(());
        }
        let open = self.api.open_threads(ChatId(wanted.group)).await?;
        let thread = match self.ours_among(&open, channel, &wanted.thread) {
            Some(thread) => thread,
            None => self.api.open_thread(channel, &wanted.thread).await?,
        };
        self.take_thread(thread, &state, thread)
            .await
            .map_err(|error| Trouble::Unclear(format!("the record failed: {error}")))
    }

    /// A thread that this account opened in a channel under a name.
    fn ours_among(&self, open: &Value, channel: ChatId, name: &str) -> Option<ChatId> {
        let is_ours = |thread: &&Value| {
            thread["name"] == name
                && thread["parent_id"] == channel.to_string()
                && thread["owner_id"] == self.me.to_string()
        };
        let found = open["threads"].as_array()?.iter().find(is_ours)?;
        found["id"].as_str()?.parse().ok().map(ChatId)
    }

    /// Makes a thread a batch's own and says in it how to post readings.
    async fn take_thread(&self, thread: ChatId, state: &BatchState, seen: ChatId) -> Result<(), StoreError> {
        let store = self.store();
        let owner = state.plan.owner;
        let (body, card) = self.hello(state);
        let letter = Letter {
            place: thread,
            answers: None,
            body: json!(body).to_string(),
            nonce: format!("h{}", state.id.0),
        };
        let outgoing = self.outgoing(letter, owner, Some(state.id), body.content);
        let id = outgoing.id;
        let place = Place {
            id: thread,
            group: state.plan.group,
            kind: PlaceKind::Thread,
            member: None,
            batch: Some(state.id),
            seen,
            reachable: true,
        };
        let change =
            Change { places: vec![place], cards: vec![card], outgoing: vec![outgoing], ..Change::default() };
        store.commit(change).await?;
        self.cursors().begin_place(thread);
        self.send_now(id).await
    }

    /// The first message of a thread: a regular one, because only to such a message a reply with a ping is heard.
    fn hello(&self, state: &BatchState) -> (Body, Card) {
        let (batch, name, me) = (state.id.to_string(), escaped(&state.plan.name), format!("<@{}>", self.me));
        let key =
            if self.reads_everything() { "platform.thread.hello_listening" } else { "platform.thread.hello" };
        let content = say(key, &[("batch", &batch), ("name", &name), ("me", &me)]);
        let presses = batch_presses(state.id);
        let id = self.store().next_card_id();
        let body = Body { content, buttons: super::layout::action_buttons(id, &presses), ..Body::default() };
        (body, card(id, state.plan.owner, &presses, self.clock.now()))
    }
}

/// What can be done about a batch with wet hands: log a reading in a form, look where it stands.
pub(super) fn batch_presses(batch: BatchId) -> Vec<(String, Press)> {
    let field = Field {
        label: say("platform.form.reading", &[]),
        filled: String::new(),
        hint: say("platform.form.reading_hint", &[]),
        before: String::new(),
    };
    let form = Form { title: say("platform.form.log", &[]), fields: vec![field], batch: Some(batch) };
    let saying = Saying {
        said: Said::Line(format!("batch show batch:{batch}")),
        at: None,
        confirmed: false,
        batch: Some(batch),
        request: None,
    };
    vec![
        (say("platform.button.log", &[]), Press::Form(form)),
        (say("platform.button.card", &[]), Press::Say(saying)),
    ]
}

/// What a message's buttons stand for.
pub(super) fn card(
    id: crate::record::CardId,
    owner: MemberId,
    presses: &[(String, Press)],
    made: chrono::DateTime<chrono::Utc>,
) -> Card {
    Card { id, owner, made, buttons: serde_json::to_string(presses).unwrap_or_default(), pages: None }
}
