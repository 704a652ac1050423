//! Takes a line from any front end: finds the group and the member, calls the command, and turns what went wrong
//! into the member's words. A failure of ours is logged here, once, with a number the member is given.

mod access;
mod answer;
mod door;
mod farewell;
mod incoming;
mod open_question;
mod pace;
pub mod restore;
pub mod suggestions;

pub use crate::command::FileSent;
pub use crate::command::access::{Actor, Deed, Thing, may};
pub use crate::command::forms::log as log_form;
pub use crate::command::log::import::MOST_FILE_BYTES;
pub use crate::command::pictures::{Files, Refusal, Refused};
pub use crate::command::table;
pub use answer::{Answered, DeskError};
use door::{Door, Entered};
pub use farewell::TOMBSTONE;
pub use incoming::{Attention, ChatSender, Incoming, Said, Sender};
use open_question::OpenQuestions;
use pace::{Allowed, Pace};

use crate::clock::to_milliseconds;
use crate::command;
use crate::command::line;
use crate::command::pictures::with_error;
use crate::command::{Answer, Asking, Code, CommandError, Meant, Request, Seen, Services, UserError};
use crate::record::{BatchId, BatchState, Group, Member, MemberId};
use crate::reply::form::Form;
use crate::reply::{Language, Question, Reply, say, spoken_in};
use crate::store::{Store, StoreError};
use chrono::{DateTime, Utc};
use std::sync::PoisonError;
use std::sync::atomic::{AtomicU64, Ordering};

/// Where lines arrive.
#[derive(Debug)]
pub struct Desk {
    services: Services,
    failures: AtomicU64,
    door: Door,
    pace: std::sync::Mutex<Pace>,
    open: std::sync::Mutex<OpenQuestions>,
}

impl Desk {
    /// A desk over a store.
    pub fn new(store: Store) -> Self {
        Self {
            services: Services::new(store),
            failures: AtomicU64::new(1),
            door: Door::default(),
            pace: std::sync::Mutex::default(),
            open: std::sync::Mutex::default(),
        }
    }

    /// The store behind it.
    pub const fn store(&self) -> &Store {
        &self.services.store
    }

    /// The language somebody is spoken to in: the one they set; else the one their platform says it is in; else the
    /// one it last said; else English. The one place that decides it.
    pub fn language_of(&self, sender: &Sender) -> Language {
        access::language(self.store(), sender)
    }

    /// Answers a line, in the language of whoever says it.
    pub async fn answer(&self, incoming: &Incoming) -> Answered {
        self.answer_spoken(incoming).await.0
    }

    /// Answers a line, and says in which language the answer is to be laid out: where the line was `me set language:…`,
    /// that is another one than it was read in.
    pub async fn answer_spoken(&self, incoming: &Incoming) -> (Answered, Language) {
        let sender = &incoming.sender;
        let language = self.language_of(sender);
        let answered = spoken_in(language, self.replied(incoming)).await;
        // Who just erased everything is answered as they were spoken to.
        let is_known = access::known_at_all(self.store(), sender).is_some();
        (answered, if is_known { self.language_of(sender) } else { language })
    }

    async fn answered(&self, incoming: &Incoming) -> Answered {
        match self.carry_out(incoming).await {
            Ok(None | Some(Answer::Nothing)) => Answered::NotForUs,
            Ok(Some(Answer::Reply(reply))) => Answered::Reply(reply),
            Ok(Some(Answer::Question(question))) => {
                Answered::Question(Question { line: incoming.typed(), ..question })
            }
            Err(CommandError::User(error)) => Answered::Error(DeskError::of_member(&error)),
            Err(CommandError::Store(cause @ (StoreError::NotSaved { .. } | StoreError::Closed))) => {
                tracing::error!(%cause, "a change could not be kept");
                Answered::Error(DeskError::not_saved())
            }
            Err(error) => Answered::Error(self.log(&error)),
        }
    }

    /// The status card of a batch, as its owner would be shown it at a moment. `None`: there is nothing to show, and why
    /// is in the log.
    pub async fn card_of(&self, batch: &BatchState, now: DateTime<Utc>) -> Option<Box<Reply>> {
        let store = self.store();
        let member = store.member(batch.plan.owner, batch.plan.group)?;
        let group = store.group(batch.plan.group)?;
        let line = format!("batch show batch:{}", batch.id);
        let incoming = Incoming {
            id: None,
            sender: Sender::Named { group: group.name.clone(), member: member.name.clone() },
            said: Said::Line(line),
            at: now,
            confirmed: false,
            place: Some(batch.id),
            channel: None,
            file: None,
            attention: Attention::Addressed,
        };
        let asking = asked(&incoming, group, member);
        let request = read(&incoming, &asking).map_err(CommandError::User);
        let answered = match request {
            Ok(request) => command::perform(&request, &self.services, &asking).await,
            Err(error) => Err(error),
        };
        match answered {
            Ok(Answer::Reply(reply)) => Some(reply),
            Ok(Answer::Question(_) | Answer::Nothing) => None,
            Err(error) => {
                tracing::error!(batch = batch.id.0, cause = %error, "a status card could not be made");
                None
            }
        }
    }

    /// What could be typed for an option of a command, by what was typed of it so far.
    pub async fn suggest(
        &self,
        sender: &Sender,
        root: &str,
        verb: &str,
        option: &str,
        typed: &str,
    ) -> Vec<suggestions::Suggestion> {
        suggestions::of(self.store(), sender, (root, verb), option, typed).await
    }

    /// The form for a reading, filled in with the batch that was named, else with that of a place they may log in, else
    /// with the open one the member wrote into last; and whose form it is. `None` for somebody who never spoke to the
    /// assistant: who they are is not known yet.
    pub async fn log_form(
        &self,
        sender: &Sender,
        named: Option<String>,
        place: Option<BatchId>,
    ) -> Option<(MemberId, Form)> {
        let (_, member) = access::known_at_all(self.store(), sender)?;
        if named.is_some() {
            return Some((member.id, log_form(named)));
        }
        if let Some(batch) = place {
            let actor = Actor::member(&member);
            if self.may_in_batch(actor, Deed::LogReading, batch).await.unwrap_or_default() {
                return Some((member.id, log_form(Some(batch.to_string()))));
            }
        }
        let open = self.store().open_batches(member.id).await.unwrap_or_default();
        let last = open.iter().max_by_key(|batch| (batch.last_at, batch.id));
        Some((member.id, log_form(last.map(|batch| batch.id.to_string()))))
    }

    /// `None`: it was said between people.
    async fn carry_out(&self, incoming: &Incoming) -> Result<Option<Answer>, CommandError> {
        if let Some(reply) = command::emergency::answer(&incoming.typed()) {
            return Ok(Some(Answer::Reply(Box::new(reply))));
        }
        if !self.is_for_us(incoming).await? {
            return Ok(None);
        }
        match self.allowed(incoming) {
            Allowed::Yes => {}
            Allowed::TooMuch { wait_s } => return Err(too_much(incoming, wait_s).into()),
            Allowed::Silence => return Ok(None),
        }
        let entered = self.enter(incoming).await?;
        let answered = self.perform(incoming, &entered).await;
        // Whoever is refused, or said nothing that was for us, has not become a member by it.
        if !matches!(answered, Ok(Some(Answer::Reply(_) | Answer::Question(_)))) {
            self.turn_away(entered).await;
        }
        answered
    }

    async fn perform(
        &self,
        incoming: &Incoming,
        entered: &Entered<'_>,
    ) -> Result<Option<Answer>, CommandError> {
        let asking = asked(incoming, entered.group.clone(), entered.member.clone());
        let refused = |error: UserError| CommandError::User(with_error(error, &asking));
        let request = read(incoming, &asking).map_err(refused)?;
        let mut answer = match command::perform(&request, &self.services, &asking).await {
            Err(CommandError::User(error)) if is_between_people(incoming, &error) => return Ok(None),
            Err(CommandError::User(error)) => return Err(refused(error)),
            answered => answered?,
        };
        if let Answer::Reply(reply) = &mut answer
            && entered.is_new
            && !request.welcomes()
        {
            reply.welcome = Some(say("desk.welcome", &[]));
            if reply.forms.is_empty() {
                reply.forms.push(command::forms::settings(&asking));
            }
        }
        Ok(Some(answer))
    }

    /// What nobody addressed to the assistant must speak for itself; in a batch's thread whoever may log may be less plain.
    /// Nobody becomes a member by talking to others.
    async fn is_for_us(&self, incoming: &Incoming) -> Result<bool, CommandError> {
        if incoming.attention == Attention::Addressed {
            return Ok(true);
        }
        let known = access::known_at_all(self.store(), &incoming.sender);
        let asking = known.map(|(group, member)| asked(incoming, group, member));
        let in_thread = incoming.attention == Attention::InThread;
        let has_pictures = !incoming.said.files().pictures.is_empty();
        let meant = command::meant(&incoming.typed(), asking.as_ref());
        Ok(match meant {
            Meant::Plainly => true,
            Meant::Perhaps | Meant::No if in_thread && (meant == Meant::Perhaps || has_pictures) => {
                match asking.and_then(|asking| Some((asking.place?, Actor::of(&asking)))) {
                    Some((batch, actor)) => self.may_in_batch(actor, Deed::LogReading, batch).await?,
                    None => false,
                }
            }
            Meant::Perhaps | Meant::No => false,
        })
    }

    fn allowed(&self, incoming: &Incoming) -> Allowed {
        let Sender::Chat(sender) = &incoming.sender else { return Allowed::Yes };
        let mut pace = self.pace.lock().unwrap_or_else(PoisonError::into_inner);
        pace.take(sender.user, sender.group.as_ref().map(|(group, _)| *group), incoming.at)
    }

    /// Whether somebody may do a deed to a batch.
    ///
    /// # Errors
    /// The store's.
    pub async fn may_in_batch(&self, actor: Actor, deed: Deed, batch: BatchId) -> Result<bool, StoreError> {
        let Some((state, _)) = self.store().batch(batch).await? else { return Ok(false) };
        let thing = command::access::batch(&self.services, actor, &state).await?;
        Ok(may(actor, deed, &thing))
    }

    fn log(&self, error: &CommandError) -> DeskError {
        let number = self.failures.fetch_add(1, Ordering::Relaxed);
        tracing::error!(number, cause = %error, "a request failed on our side");
        DeskError::ours(&say("error.internal", &[("id", &number.to_string())]))
    }
}

fn asked(incoming: &Incoming, group: Group, member: Member) -> Asking {
    Asking {
        member,
        group,
        now: to_milliseconds(incoming.at),
        request: incoming.id.clone(),
        confirmed: incoming.confirmed,
        moderates: matches!(&incoming.sender, Sender::Chat(sender) if sender.moderates),
        place: incoming.place,
        typed: incoming.typed(),
        file: incoming.file.clone(),
        files: incoming.said.files(),
        seen: Seen::default(),
    }
}

fn read(incoming: &Incoming, asking: &Asking) -> Result<Request, UserError> {
    match &incoming.said {
        Said::Line(text) | Said::Sent { text, .. } => command::read(text, asking),
        Said::Options { root, verb, options } => {
            command::read_options(&line::of_options(root, verb, options)?, asking)
        }
        Said::Edited { of, written, text, files } => {
            Ok(command::read_edited(of, to_milliseconds(*written), (text, files.as_ref()), asking))
        }
        Said::Deleted { of } => Ok(command::read_deleted(of)),
    }
}

fn too_much(incoming: &Incoming, wait_s: i64) -> UserError {
    let sentence = say("desk.too_much", &[("seconds", &wait_s.to_string())]);
    let again = Some(incoming.typed()).filter(|typed| !typed.is_empty());
    UserError::new(Code::TooMuch, sentence, again.unwrap_or_else(|| "help".to_owned()))
}

/// In a batch's thread, what is neither a reading nor a command is not ours to comment on.
fn is_between_people(incoming: &Incoming, error: &UserError) -> bool {
    incoming.attention == Attention::InThread && error.code == Code::UnknownCommand
}

/// A length of time in hours, for front ends that move a clock.
pub fn hours(text: &str) -> Option<f64> {
    command::hours(text)
}
