//! An answer to an interaction: at once if it is ready, otherwise deferred and put in its place.

use super::api::{First, Sent, Ticket, is_too_late};
use super::attached::Handed;
use super::body::{Body, EPHEMERAL};
use super::enclosed::Upload;
use super::form::Form;
use super::front::Front;
use super::layout::{Ground, Laid, laid};
use super::post::erased;
use super::threads::{OPENS, Opening};
use super::trouble::{Meaning, Trouble};
use crate::desk::{Answered, Incoming, Sender};
use crate::record::{BatchId, ChatId, MemberId, Place};
use crate::reply::{Language, in_language, say, spoken_in};
use crate::store::Change;
use serde_json::{Value, json};
use serenity::model::permissions::Permissions;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::OwnedSemaphorePermit;

/// An answer that is ready by then is the first one; later ones take the place of a deferral.
const AT_ONCE: Duration = Duration::from_millis(700);

/// What was said by a command, a press or a form, and what its answer depends on.
#[derive(Debug)]
pub(super) struct Asked {
    pub(super) incoming: Incoming,
    /// Whether the answer is for the member's eyes only.
    pub(super) private: bool,
    /// The form it was sent in, filled in as it was sent.
    pub(super) form: Option<Form>,
    /// Files that were handed over with it.
    pub(super) handed: Vec<Handed>,
    /// What the assistant may do there, as the platform says with every command, press and form.
    pub(super) may: Option<Permissions>,
}

/// An answer, and whether it is for the member's eyes only.
#[derive(Debug)]
pub(super) struct Ready {
    pub(super) body: Body,
    pub(super) private: bool,
    /// The files that the body names.
    uploads: Vec<Upload>,
    /// The batch that should have a thread, and who started it.
    thread_for: Option<(BatchId, MemberId)>,
    /// Kept until everything has left: a stop waits for it.
    _room: Option<OwnedSemaphorePermit>,
}

impl Ready {
    const fn private(body: Body) -> Self {
        Self { body, private: true, uploads: Vec::new(), thread_for: None, _room: None }
    }

    /// As an answer to a command or a press, with its files.
    pub(super) fn sent<'a>(&'a self, json: &'a Value) -> Sent<'a> {
        Sent::with(json, &self.uploads)
    }

    /// Without its files, where the platform takes none in that place.
    fn without_files(&mut self, sent: &Result<(), Trouble>) -> bool {
        let refused = sent.as_ref().is_err_and(|trouble| trouble.meaning() == Meaning::NotPermitted);
        let lost = refused && !self.uploads.is_empty();
        if lost {
            self.uploads.clear();
            self.body.lose_uploads();
        }
        lost
    }
}

impl Front {
    /// Answers at once if it can, else says that the answer follows. The work goes on even if the platform is slow to
    /// take the deferral: what was said is kept in any case.
    pub(super) async fn answer(self: Arc<Self>, ticket: Ticket, asked: Asked, opening: Option<Opening>) {
        let private = asked.private || self.answers_privately(&asked.incoming.sender);
        let asked = Asked { private, ..asked };
        let front = Arc::clone(&self);
        let user = match &asked.incoming.sender {
            Sender::Chat(sender) => Some(sender.user),
            Sender::Named { .. } => None,
        };
        // A task of its own does not inherit the language.
        let language = Language::in_force();
        let mut work = tokio::spawn(spoken_in(language, async move { front.work(asked).await }));
        let (ready, sent) = match tokio::time::timeout(AT_ONCE, &mut work).await {
            Ok(done) => {
                let mut ready = done.unwrap_or_else(|_| failed());
                let mut sent = self.first_answer(&ticket, &ready).await;
                if ready.without_files(&sent) {
                    sent = self.first_answer(&ticket, &ready).await;
                }
                (ready, sent)
            }
            Err(_) => self.answer_later(&ticket, private, work).await,
        };
        match sent {
            Ok(()) => self.tell_direct_closed(&ticket, user).await,
            Err(trouble) => log_unsent(&trouble),
        }
        // The answer has left; a thread takes several requests.
        if let (Some((batch, member)), Some(opening)) = (ready.thread_for, opening) {
            self.open_thread_for(batch, member, opening).await;
        }
    }

    /// Says once, beside an answer, that the member could not be written to directly, and how to allow it.
    async fn tell_direct_closed(&self, ticket: &Ticket, user: Option<ChatId>) {
        let Some(member) = user.and_then(|user| self.store().member_by_chat(user)) else { return };
        let Ok(Some(place)) = self.store().direct_place(member.id).await else { return };
        if place.reachable {
            return;
        }
        let body = Body::words(&say("platform.direct_closed", &[])).answer(true);
        if let Err(trouble) = self.api.further(ticket, &body).await {
            return log_unsent(&trouble);
        }
        let place = Place { reachable: true, ..place };
        if let Err(error) = self.store().commit(Change { places: vec![place], ..Change::default() }).await {
            tracing::warn!(%error, "that a member was told could not be kept");
        }
    }

    async fn answer_later(
        &self,
        ticket: &Ticket,
        private: bool,
        work: tokio::task::JoinHandle<Ready>,
    ) -> (Ready, Result<(), Trouble>) {
        let flags = if private { json!({ "flags": EPHEMERAL }) } else { json!({}) };
        let deferred = self.api.first(ticket, First::Later, &flags).await;
        let mut ready = work.await.unwrap_or_else(|_| failed());
        if let Err(trouble) = deferred {
            return (ready, Err(trouble));
        }
        let mut sent = self.api.edit(ticket, ready.sent(&ready.body.json())).await;
        if ready.without_files(&sent) {
            sent = self.api.edit(ticket, ready.sent(&ready.body.json())).await;
        }
        (ready, sent)
    }

    async fn first_answer(&self, ticket: &Ticket, ready: &Ready) -> Result<(), Trouble> {
        self.api.first(ticket, First::Message, ready.sent(&ready.body.answer(ready.private))).await
    }

    /// Asks the desk and lays its answer out; what its buttons stand for is kept before it leaves.
    pub(super) async fn work(&self, asked: Asked) -> Ready {
        let Asked { incoming, private, form, handed, may } = asked;
        let Some(room) = self.room().await else {
            return Ready::private(Body::words(&say("platform.closing", &[])));
        };
        let (incoming, answered, language) = self.answered_with(incoming, &handed, may).await;
        let Sender::Chat(sender) = &incoming.sender else { return failed() };
        // Where a message may stay without an answer, a command or a press may not.
        if matches!(answered, Answered::NotForUs) {
            return Ready::private(Body::words(&say("platform.nothing_done", &[])));
        }
        // Errors and questions are between the assistant and the member.
        let private = private || !matches!(answered, Answered::Reply(_));
        let Some(member) = self.store().member_by_chat(sender.user) else {
            if erased(&answered) {
                self.close_the_past().await;
            }
            let text = in_language(language, || answered.text());
            let body = Body::words(&super::escape::escaped(&text));
            return Ready { body, private, uploads: Vec::new(), thread_for: None, _room: Some(room) };
        };
        let ground = Ground {
            card: self.store().next_card_id(),
            owner: member.id,
            now: self.clock.now(),
            incoming: &incoming,
            form: form.as_ref(),
        };
        let Laid { mut body, card } = in_language(language, || laid(&answered, ground));
        let change = Change { cards: card.into_iter().collect(), ..Change::default() };
        if let Err(error) = self.store().commit(change).await {
            tracing::error!(%error, "the buttons of an answer could not be kept");
            body.buttons.clear();
        }
        let thread_for = match &answered {
            Answered::Reply(reply) if OPENS.contains(&reply.command) => reply.batch,
            _ => None,
        };
        let uploads = match &answered {
            Answered::Reply(reply) if !body.files.is_empty() => Upload::all_of(&reply.files),
            _ => Vec::new(),
        };
        let uploads = body.uploads(uploads).await;
        let thread_for = thread_for.map(|batch| (batch, member.id));
        Ready { body, private, uploads, thread_for, _room: Some(room) }
    }

    /// One sentence, for the member's eyes only.
    pub(super) async fn say_privately(&self, ticket: &Ticket, sentence: &str) {
        if let Err(trouble) =
            self.api.first(ticket, First::Message, &Body::words(sentence).answer(true)).await
        {
            log_unsent(&trouble);
        }
    }
}

/// The command's work stopped in the middle; its cause is in the log.
fn failed() -> Ready {
    Ready::private(Body::words(&say("platform.failed", &[])))
}

pub(super) fn log_unsent(trouble: &Trouble) {
    if is_too_late(trouble) {
        tracing::info!(%trouble, "an answer came too late to be shown");
    } else {
        tracing::warn!(%trouble, "an answer could not be shown");
    }
}
