//! Buttons and forms: what a press stands for is read from its card, who may press is checked, and it is carried out
//! once.

use super::answering::{Asked, log_unsent};
use super::api::{First, Ticket};
use super::body::Body;
use super::buttons::{Id, Leaving, Pages, Press, Saying};
use super::form::{Form, Part};
use super::front::Front;
use super::inbound::{id, sender};
use super::layout::{page, working};
use super::threads::batch_presses;
use crate::desk::{Actor, Attention, Deed, Incoming, Said, Sender, Thing, may, table};
use crate::record::{BatchId, Card, ChatId};
use crate::reply::say;
use crate::reply::wording::is_said;
use crate::store::{Change, StoreError};
use serenity::model::application::{ComponentInteraction, ModalInteraction};
use serenity::model::channel::MessageFlags;
use std::sync::Arc;

/// A press that was understood: the card, and what the id says.
pub(super) struct Pressed {
    pub(super) card: Card,
    pub(super) id: Id,
    pub(super) sender: Sender,
}

impl Front {
    /// Deals with a press.
    pub(super) async fn on_press(self: Arc<Self>, press: ComponentInteraction) {
        if !self.is_new(id(press.id.get())) {
            return;
        }
        let ticket = Ticket { id: press.id, token: press.token.clone() };
        let who = sender((&press.user, &press.locale), press.member.as_ref(), press.guild_id, |group| {
            self.group(group)
        });
        match self.pressed(&press.data.custom_id, Sender::Chat(who)).await {
            Ok(pressed) => self.carry_out(&press, ticket, pressed).await,
            Err(sentence) => self.say_privately(&ticket, &sentence).await,
        }
    }

    /// Finds the card of a press and checks whose it is.
    pub(super) async fn pressed(&self, custom_id: &str, sender: Sender) -> Result<Pressed, String> {
        let Some(id) = Id::read(custom_id) else { return Err(say("platform.unknown_button", &[])) };
        let card = match self.store().card(id.card()).await {
            Ok(Some(card)) => card,
            Ok(None) => return Err(say("platform.unknown_button", &[])),
            Err(error) => {
                tracing::error!(%error, "a card could not be read");
                return Err(say("platform.failed", &[]));
            }
        };
        let Sender::Chat(who) = &sender else { return Err(say("platform.unknown_button", &[])) };
        if self.may_press(who.user, &card, id).await {
            return Ok(Pressed { card, id, sender });
        }
        Err(say("platform.not_your_button", &[]))
    }

    /// Buttons are for whoever asked; those that stand under a batch, to log and to look, also for who helps with it.
    async fn may_press(&self, user: ChatId, card: &Card, id: Id) -> bool {
        let Some(presser) = self.store().member_by_chat(user) else { return false };
        let actor = Actor::member(&presser);
        if may(actor, Deed::Press, &Thing::of_member(card.owner)) {
            return true;
        }
        let (Id::Button(_, place) | Id::Form(_, place)) = id else { return false };
        let Some(press) = press_of(card, place) else { return false };
        let is_a_helpers =
            |batch: &BatchId| batch_presses(*batch).iter().any(|(_, known)| known.does_as(&press));
        let Some(batch) = press.batch().filter(is_a_helpers) else { return false };
        self.desk.may_in_batch(actor, Deed::LogReading, batch).await.unwrap_or_else(|error| {
            tracing::error!(%error, "who may press could not be read");
            false
        })
    }

    async fn carry_out(self: Arc<Self>, press: &ComponentInteraction, ticket: Ticket, pressed: Pressed) {
        let Pressed { card, id, sender } = pressed;
        let channel = super::inbound::id(press.channel_id.get());
        match id {
            Id::Button(_, place) => match press_of(&card, place) {
                Some(Press::Say(saying)) => {
                    // A press is carried out once, however often it is pressed: its id stays the same.
                    let incoming = self.said_by_press(saying, sender, (id.to_string(), channel));
                    let private = is_private(&incoming.said);
                    self.answer(
                        ticket,
                        Asked {
                            incoming,
                            private,
                            form: None,
                            handed: Vec::new(),
                            may: press.app_permissions,
                        },
                        None,
                    )
                    .await;
                }
                Some(Press::Form(form)) => {
                    let unique = format!("{}.{}", Id::Form(card.id, place), press.id);
                    self.open_form(&ticket, &form, &unique).await;
                }
                Some(Press::Leave(leaving)) => {
                    self.desk.question_is_over(&sender);
                    self.leave_question(&ticket, &card, &leaving).await;
                }
                Some(Press::Left(left)) => self.say_privately(&ticket, &say(left.key(), &[])).await,
                None => self.say_privately(&ticket, &say("platform.unknown_button", &[])).await,
            },
            Id::Page(_, number) => self.turn_page(&ticket, &card, number).await,
            Id::Working(_, number) => {
                let is_working =
                    press.message.flags.is_some_and(|flags| flags.contains(MessageFlags::EPHEMERAL));
                self.show_working(&ticket, &card, number, is_working && number_is_a_turn(press)).await;
            }
            Id::Form(..) => self.say_privately(&ticket, &say("platform.unknown_button", &[])).await,
        }
    }

    pub(super) fn said_by_press(
        &self,
        saying: Saying,
        sender: Sender,
        (press, channel): (String, ChatId),
    ) -> Incoming {
        Incoming {
            id: Some(saying.request.unwrap_or(press)),
            sender,
            said: saying.said,
            at: saying.at.unwrap_or_else(|| self.clock.now()),
            confirmed: saying.confirmed,
            place: saying.batch,
            channel: Some(channel),
            file: None,
            attention: Attention::Addressed,
        }
    }

    pub(super) async fn open_form(&self, ticket: &Ticket, form: &Form, unique: &str) {
        if let Err(trouble) = self.api.first(ticket, First::Form, &form.json(unique)).await {
            log_unsent(&trouble);
        }
    }

    /// Takes the buttons of a question away, unless one of them kept something already.
    async fn leave_question(&self, ticket: &Ticket, card: &Card, leaving: &Leaving) {
        match self.left(card, leaving).await {
            Ok(None) => {
                let body = Body::words(&say(leaving.what.key(), &[]));
                if let Err(trouble) = self.api.first(ticket, First::Update, &body.json()).await {
                    log_unsent(&trouble);
                }
            }
            Ok(Some(sentence)) => self.say_privately(ticket, &sentence).await,
            Err(error) => {
                tracing::error!(%error, "a question could not be left");
                self.say_privately(ticket, &say("platform.failed", &[])).await;
            }
        }
    }

    /// What was kept under an id already, said.
    async fn kept_already(&self, request: &str) -> Result<Option<String>, StoreError> {
        let kept = self.store().events_of_request(request).await?;
        let ids: Vec<String> = kept.iter().map(|event| event.id.to_string()).collect();
        let sentence = || say("platform.left.kept_already", &[("ids", &ids.join(","))]);
        Ok((!ids.is_empty()).then(sentence))
    }

    /// What was kept already, said; else its buttons stand for nothing any more.
    async fn left(&self, card: &Card, leaving: &Leaving) -> Result<Option<String>, StoreError> {
        if let Some(sentence) = self.kept_already(&leaving.request).await? {
            return Ok(Some(sentence));
        }
        let presses: Vec<(String, Press)> = serde_json::from_str(&card.buttons).unwrap_or_default();
        let over: Vec<(String, Press)> =
            presses.into_iter().map(|(label, _)| (label, Press::Left(leaving.what))).collect();
        let buttons = serde_json::to_string(&over).unwrap_or_default();
        let cards = vec![Card { buttons, ..card.clone() }];
        self.store().commit(Change { cards, ..Change::default() }).await?;
        Ok(None)
    }

    async fn turn_page(&self, ticket: &Ticket, card: &Card, number: usize) {
        let Some(pages) = pages_of(card) else {
            return self.say_privately(ticket, &say("platform.pages_gone", &[])).await;
        };
        let actions = action_buttons(card);
        let body = page(&pages, number, card.id, actions);
        if let Err(trouble) = self.api.first(ticket, First::Update, &body.json()).await {
            log_unsent(&trouble);
        }
    }

    async fn show_working(&self, ticket: &Ticket, card: &Card, number: usize, turning: bool) {
        let Some(pages) = pages_of(card).filter(|pages| !pages.working.is_empty()) else {
            return self.say_privately(ticket, &say("platform.pages_gone", &[])).await;
        };
        let body = working(&pages, number, card.id);
        let kind = if turning { First::Update } else { First::Message };
        if let Err(trouble) = self.api.first(ticket, kind, &body.answer(true)).await {
            log_unsent(&trouble);
        }
    }

    /// Deals with a form that was sent. Each field that was altered is a line; the first one's answer is the form's.
    pub(super) async fn on_form(self: Arc<Self>, form: ModalInteraction) {
        if !self.is_new(id(form.id.get())) {
            return;
        }
        let ticket = Ticket { id: form.id, token: form.token.clone() };
        let who = sender((&form.user, &form.locale), form.member.as_ref(), form.guild_id, |group| {
            self.group(group)
        });
        let sender = Sender::Chat(who);
        let pressed = match self.pressed(&form.data.custom_id, sender).await {
            Ok(pressed) => pressed,
            Err(sentence) => return self.say_privately(&ticket, &sentence).await,
        };
        let Id::Form(_, place) = pressed.id else {
            return self.say_privately(&ticket, &say("platform.unknown_button", &[])).await;
        };
        let asked = match press_of(&pressed.card, place) {
            Some(Press::Form(asked)) => asked,
            Some(Press::Left(left)) => return self.say_privately(&ticket, &say(left.key(), &[])).await,
            _ => return self.say_privately(&ticket, &say("platform.unknown_button", &[])).await,
        };
        let said = asked.said(&form);
        if said.is_empty() {
            return self.say_privately(&ticket, &say("platform.form.unchanged", &[])).await;
        }
        if let Some((request, _)) = &asked.instead_of
            && let Ok(Some(sentence)) = self.kept_already(request).await
        {
            return self.say_privately(&ticket, &sentence).await;
        }
        let channel = id(form.channel_id.get());
        let opening = (&*form.data.custom_id, channel);
        self.answer_form(ticket, said, &asked, pressed.sender, opening).await;
    }

    async fn answer_form(
        self: Arc<Self>,
        ticket: Ticket,
        said: Vec<Part>,
        form: &Form,
        sender: Sender,
        (unique, channel): (&str, ChatId),
    ) {
        // A form that is sent twice is kept once: its id is that of its opening, or of what it takes the place of.
        let own = |place: usize| (format!("{unique}.{place}"), self.clock.now());
        let asked = |part: Part| {
            let private = is_private(&part.said);
            let (id, at) = form.instead_of.clone().unwrap_or_else(|| own(part.place));
            let incoming = Incoming {
                id: Some(id),
                sender: sender.clone(),
                said: part.said,
                at,
                confirmed: false,
                place: form.batch,
                channel: Some(channel),
                file: None,
                attention: Attention::Addressed,
            };
            Asked { incoming, private, form: Some(part.sent), handed: Vec::new(), may: None }
        };
        let mut all = said.into_iter().map(asked);
        if let Some(first) = all.next() {
            Arc::clone(&self).answer(ticket.clone(), first, None).await;
        }
        for further in all {
            let answers_privately = self.answers_privately(&further.incoming.sender);
            let ready = self.work(Asked { private: further.private || answers_privately, ..further }).await;
            let body = ready.body.answer(ready.private);
            if let Err(trouble) = self.api.further(&ticket, ready.sent(&body)).await {
                log_unsent(&trouble);
            }
        }
    }
}

/// Whether what is said is answered for the member's eyes only.
fn is_private(said: &Said) -> bool {
    let spec = match said {
        Said::Options { root, verb, .. } => table::find(root, verb),
        Said::Line(line) | Said::Sent { text: line, .. } => {
            let mut words = line.split_whitespace();
            let root = words.next().unwrap_or_default();
            table::find(root, words.next().unwrap_or_default())
        }
        Said::Edited { .. } | Said::Deleted { .. } => None,
    };
    spec.is_some_and(|spec| spec.private)
}

/// Turning a page of how it was worked out alters that message; the first look opens it.
fn number_is_a_turn(press: &ComponentInteraction) -> bool {
    // It may have been opened before the member changed their language.
    is_said("platform.working", &press.message.content)
}

pub(super) fn press_of(card: &Card, place: usize) -> Option<Press> {
    let mut presses: Vec<(String, Press)> = serde_json::from_str(&card.buttons).ok()?;
    (place < presses.len()).then(|| presses.swap_remove(place).1)
}

fn pages_of(card: &Card) -> Option<Pages> {
    serde_json::from_str(card.pages.as_deref()?).ok()
}

/// The buttons of an answer again, for its other pages.
fn action_buttons(card: &Card) -> Vec<super::body::Button> {
    let presses: Vec<(String, Press)> = serde_json::from_str(&card.buttons).unwrap_or_default();
    super::layout::action_buttons(card.id, &presses)
}
