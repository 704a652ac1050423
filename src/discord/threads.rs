//! A batch's own thread: opened once, found again where the answer to its opening was lost.

use super::buttons::{Press, Saying};
use super::form::Form;
use super::front::Front;
use super::limits;
use super::live_card::Composed;
use super::notices::{About, store_failed};
use super::trouble::{Meaning, Trouble};
use crate::desk::{self, Actor, Deed, Said, Thing, may};
use crate::record::{BatchId, BatchState, Card, ChatId, Letter, LiveCard, MemberId, Place, PlaceKind};
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
    /// Whether its channel is a forum, and the thread a post in it.
    #[serde(default)]
    pub(super) is_post: bool,
    /// The channel to open an ordinary thread in where the forum cannot be used.
    #[serde(default)]
    pub(super) instead: Option<i64>,
}

impl Front {
    /// Opens a thread for a batch that was just started or looked at by its owner, where it has none yet. What cannot
    /// be opened now is tried again by the loop of reminders.
    pub(super) async fn open_thread_for(&self, batch: BatchId, member: MemberId, opening: Opening) {
        if let Err(error) = Box::pin(self.want_thread(batch, member, opening)).await {
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
        let asker = store.memberships_of(member).into_iter().next();
        let owned = Thing::of_member(state.plan.owner);
        let may_open = asker.is_some_and(|asker| may(Actor::member(&asker), Deed::Run, &owned));
        if !may_open || state.stage().0.is_over() {
            return Ok(());
        }
        if let Some(place) = store.place_of_batch(batch).await? {
            return self.want_card(&place, batch).await;
        }
        let forum = self.forum_of(state.plan.group, opening.group);
        if opening.is_thread {
            // A command used in a thread that is nobody's makes it the batch's.
            let there = store.place(opening.place).await?;
            if there.is_none_or(|place| place.batch.is_none()) {
                let Some(composed) = self.composed(batch).await? else { return Ok(()) };
                return self.take_thread(opening.place, &composed).await;
            }
            if forum.is_none() {
                return Ok(());
            }
        }
        let name = limits::shortened(&format!("{batch} {}", state.plan.name), limits::THREAD_NAME);
        let instead = forum.map(|_| opening.place.0).filter(|_| !opening.is_thread);
        let wanted =
            ThreadWanted { thread: name.clone(), group: opening.group.0, is_post: forum.is_some(), instead };
        let Some(nonce) = self.nonce_to_open(batch).await? else { return Ok(()) };
        let place = forum.unwrap_or(opening.place);
        let letter = Letter { place, answers: None, body: json!(wanted).to_string(), nonce };
        let outgoing = self.outgoing(letter, member, Some(batch), name);
        let id = outgoing.id;
        store.commit(Change { outgoing: vec![outgoing], ..Change::default() }).await?;
        self.send_now(id).await
    }

    /// A thread of a time before there were cards, or whose card was given up, gets one when its batch is looked at.
    async fn want_card(&self, place: &Place, batch: BatchId) -> Result<(), StoreError> {
        let known = self.store().live_card(batch).await?;
        let is_there = match &known {
            Some(live) if live.message.is_some() => true,
            // It is on its way.
            Some(live) => self.store().letter_waits(&card_nonce(batch, live.posts)).await? == Some(true),
            None => false,
        };
        if is_there || !place.reachable {
            return Ok(());
        }
        let Some(composed) = self.composed(batch).await? else { return Ok(()) };
        let live = if let Some(live) = known {
            live
        } else {
            // The greeting of a time before there were cards had the nonce of a first card.
            let posts = u32::from(self.store().has_letter(&card_nonce(batch, 1)).await?);
            LiveCard { posts, ..self.new_card(place.id, &composed) }
        };
        self.post_card_anew(&live, &composed).await.map(|_| ())
    }

    /// The nonce to open a batch's thread under; `None` while it is being opened. What was given up is tried again at
    /// most once a day.
    async fn nonce_to_open(&self, batch: BatchId) -> Result<Option<String>, StoreError> {
        let first = format!("t{}", batch.0);
        match self.store().letter_waits(&first).await? {
            None => Ok(Some(first)),
            Some(true) => Ok(None),
            Some(false) => {
                let day = self.clock.now().timestamp().div_euclid(86_400);
                let again = format!("{first}.{day}");
                Ok((!self.store().has_letter(&again).await?).then_some(again))
            }
        }
    }

    /// Opens the thread that a letter asks for, or finds the one that was opened before and whose answer was lost.
    pub(super) async fn open_wanted(
        &self,
        wanted: &ThreadWanted,
        channel: ChatId,
        batch: BatchId,
    ) -> Result<(), Trouble> {
        let Ok(Some(composed)) = self.composed(batch).await else { return Ok(()) };
        if matches!(self.store().place_of_batch(batch).await, Ok(Some(_))) {
            return Ok(());
        }
        let open = self.api.open_threads(ChatId(wanted.group)).await?;
        let about = About { member: composed.state.plan.owner, batch: Some(batch) };
        let instead = wanted.instead.map(ChatId);
        if wanted.is_post {
            let post = match self.ours_among(&open, channel, &wanted.thread) {
                Some(post) => Ok((post, None)),
                None if instead.is_some_and(|it| self.ours_among(&open, it, &wanted.thread).is_some()) => {
                    Err(None)
                }
                None => {
                    let opened = self.open_post(wanted, channel, &composed).await;
                    opened.map(|(post, card)| (post, Some(card))).map_err(Some)
                }
            };
            match post {
                Ok(post) => {
                    let taken = self.take_post(post, &composed).await;
                    return taken.map_err(|error| store_failed(&error));
                }
                Err(Some(trouble)) if trouble.passes() || trouble.meaning() == Meaning::WrongToken => {
                    return Err(trouble);
                }
                Err(Some(trouble)) => {
                    self.tell_no_thread(wanted, channel, &trouble, about).await;
                    if instead.is_none() || trouble.meaning() == Meaning::ThreadsFull {
                        return Err(trouble);
                    }
                }
                Err(None) => {}
            }
        }
        // Where the forum cannot be used, an ordinary thread is better than none.
        let wanted = ThreadWanted { is_post: false, ..wanted.clone() };
        self.open_plain(&wanted, instead.unwrap_or(channel), &open, &composed, about).await
    }

    async fn open_plain(
        &self,
        wanted: &ThreadWanted,
        channel: ChatId,
        open: &Value,
        composed: &Composed,
        about: About,
    ) -> Result<(), Trouble> {
        let opened = match self.ours_among(open, channel, &wanted.thread) {
            Some(thread) => Ok(thread),
            None => self.api.open_thread(channel, &wanted.thread).await,
        };
        match opened {
            Ok(thread) => {
                let taken = self.take_thread(thread, composed).await;
                taken.map_err(|error| store_failed(&error))
            }
            Err(trouble) => {
                if !trouble.passes() && trouble.meaning() != Meaning::WrongToken {
                    self.tell_no_thread(wanted, channel, &trouble, about).await;
                }
                Err(trouble)
            }
        }
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

    /// Makes a thread a batch's own and posts the batch's card in it, which says how to post readings.
    async fn take_thread(&self, thread: ChatId, composed: &Composed) -> Result<(), StoreError> {
        let (live, change) = self.card_to_post(&self.new_card(thread, composed), composed);
        let letter = change.outgoing.first().map(|outgoing| outgoing.id);
        let place = own_place(thread, &composed.state, thread);
        let change = Change { places: vec![place], live_cards: vec![live], ..change };
        self.store().commit(change).await?;
        self.cursors().begin_place(thread);
        match letter {
            Some(letter) => self.send_now(letter).await,
            None => Ok(()),
        }
    }

    /// A card that was not posted yet.
    fn new_card(&self, place: ChatId, composed: &Composed) -> LiveCard {
        LiveCard {
            batch: composed.state.id,
            place,
            message: None,
            card: None,
            shown: String::new(),
            changes: 0,
            shown_changes: 0,
            not_before: self.clock.now(),
            ages: composed.ages(),
            failures: 0,
            posts: 0,
            tagged: None,
        }
    }

    /// Remembers which batch a letter that was posted is about, and the number of a card.
    pub(super) async fn remember_letter(&self, letter: &Letter, message: ChatId, batch: Option<BatchId>) {
        self.remember_posted(message, batch).await;
        let Some(batch) = batch else { return };
        if let Err(error) = self.remember_card(letter, message, batch).await {
            tracing::warn!(%error, "the number of a status card could not be kept");
        }
    }

    async fn remember_card(
        &self,
        letter: &Letter,
        message: ChatId,
        batch: BatchId,
    ) -> Result<(), StoreError> {
        let Some(live) = self.store().live_card(batch).await? else { return Ok(()) };
        if letter.nonce != card_nonce(batch, live.posts) || letter.place != live.place {
            return Ok(());
        }
        let live = LiveCard { message: Some(message), ..live };
        self.store().commit(Change { live_cards: vec![live], ..Change::default() }).await?;
        self.look_at_cards();
        Ok(())
    }
}

/// What makes every try to post a batch's card for the first, second, … time the same.
pub(super) fn card_nonce(batch: BatchId, posts: u32) -> String {
    match posts {
        0 | 1 => format!("h{}", batch.0),
        more => format!("h{}.{more}", batch.0),
    }
}

/// A batch's own thread as a place, dealt with up to a message.
pub(super) const fn own_place(thread: ChatId, state: &BatchState, seen: ChatId) -> Place {
    Place {
        id: thread,
        group: state.plan.group,
        kind: PlaceKind::Thread,
        member: None,
        batch: Some(state.id),
        seen,
        reachable: true,
    }
}

/// What can be done about a batch with wet hands: log a reading in a form, look where it stands.
pub(super) fn batch_presses(batch: BatchId) -> Vec<(String, Press)> {
    let log = desk::log_form(Some(batch.to_string()));
    let form = Form::of(&log, Some(batch));
    let saying = Saying {
        said: Said::Line(format!("batch show batch:{batch}")),
        at: None,
        confirmed: false,
        batch: Some(batch),
        request: None,
    };
    vec![(log.label, Press::Form(form)), (say("platform.button.card", &[]), Press::Say(saying))]
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
