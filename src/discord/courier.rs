//! Takes reminders and letters to where they belong; where that fails for good, to the next best place, with one
//! notice.

use super::body::Body;
use super::buttons::{Press, Saying};
use super::escape::escaped;
use super::front::Front;
use super::limits;
use super::notices::{About, store_failed};
use super::threads::{ThreadWanted, batch_presses, card};
use super::trouble::{Meaning, Trouble};
use crate::desk::Said;
use crate::record::{ChatId, Letter, MemberId, Place, PlaceKind, ReminderKind};
use crate::remind::courier::{Courier, Delivery, Parcel};
use crate::reply::say;
use crate::store::{Change, StoreError};
use tokio::sync::watch;

impl Courier for Front {
    async fn deliver(&self, parcel: &Parcel) -> Delivery {
        let sent = match &parcel.letter {
            Some(letter) => self.deliver_letter(letter, parcel).await,
            None => self.deliver_reminder(parcel).await,
        };
        match sent {
            Ok(()) => Delivery::Delivered,
            Err(trouble) if trouble.passes() => {
                Delivery::Later { after: trouble.asks_to_wait(), reason: trouble.to_string() }
            }
            // Nothing can be delivered with a token that was withdrawn; with the next one it can.
            Err(trouble) if trouble.meaning() == Meaning::WrongToken => {
                Delivery::Closed { reason: trouble.to_string() }
            }
            Err(trouble) => Delivery::Never { reason: trouble.to_string() },
        }
    }
}

/// The courier of the loop: with the front end closing, what is due stays for the next start, instead of being broken
/// off between its sending and its being kept as sent.
pub(super) struct UntilClosed<'a> {
    pub(super) front: &'a Front,
    pub(super) closed: watch::Receiver<bool>,
}

impl Courier for UntilClosed<'_> {
    async fn deliver(&self, parcel: &Parcel) -> Delivery {
        if *self.closed.borrow() {
            return Delivery::Closed { reason: "the front end is closing".to_owned() };
        }
        self.front.deliver(parcel).await
    }
}

impl Front {
    async fn deliver_letter(&self, letter: &Letter, parcel: &Parcel) -> Result<(), Trouble> {
        let wanted = serde_json::from_str::<ThreadWanted>(&letter.body).ok().zip(parcel.batch);
        if let Some((wanted, batch)) = wanted {
            return Box::pin(self.open_wanted(&wanted, letter.place, batch)).await;
        }
        if let Some(message) = self.letter_arrived(letter, parcel).await? {
            self.remember_letter(letter, message, parcel.batch).await;
            return Ok(());
        }
        let trouble = match self.post_letter(letter).await {
            Ok(message) => {
                self.remember_letter(letter, message, parcel.batch).await;
                return Ok(());
            }
            Err(trouble) => trouble,
        };
        if trouble.passes() {
            return Err(trouble);
        }
        self.mark_unreachable(letter.place, &trouble).await;
        // An answer that cannot be given where it was asked for is given to the member directly.
        match self.direct_of(parcel.member).await? {
            Some(direct) if direct != letter.place => {
                let letter = Letter { place: direct, answers: None, ..letter.clone() };
                let message = self.post_letter(&letter).await?;
                self.remember_posted(message, parcel.batch).await;
                Ok(())
            }
            _ => Err(trouble),
        }
    }

    /// To the batch's thread, else directly to the member.
    async fn deliver_reminder(&self, parcel: &Parcel) -> Result<(), Trouble> {
        let thread = match parcel.batch {
            Some(batch) => self.store().place_of_batch(batch).await.map_err(|error| store_failed(&error))?,
            None => None,
        };
        let Some(place) = thread else { return self.remind_directly(parcel).await };
        let why = if place.reachable {
            match self.remind_in(place.id, parcel).await {
                Err(trouble) if !trouble.passes() && trouble.meaning() != Meaning::WrongToken => {
                    trouble.meaning()
                }
                sent => return sent,
            }
        } else {
            Meaning::PlaceGone
        };
        if why.loses_the_place() {
            // This very tick's look at the outbox sends the notice.
            self.leave_place(&place, why, About { member: parcel.member, batch: parcel.batch }).await?;
        }
        self.remind_directly(parcel).await
    }

    async fn remind_directly(&self, parcel: &Parcel) -> Result<(), Trouble> {
        let nowhere = || Trouble::Refused { status: 0, code: 0, message: "on no chat platform".to_owned() };
        let direct = self.direct_of(parcel.member).await?.ok_or_else(nowhere)?;
        let sent = self.remind_in(direct, parcel).await;
        match &sent {
            Ok(()) => self.note_direct(direct, parcel.member, true).await,
            Err(trouble) if trouble.meaning() == Meaning::DirectClosed => {
                self.note_direct(direct, parcel.member, false).await;
            }
            Err(_) => {}
        }
        sent
    }

    /// Remembers a member's direct conversation: what they write there while nobody listens is to be caught up with,
    /// and whoever takes no direct messages is told so at their next command.
    async fn note_direct(&self, direct: ChatId, member: MemberId, reachable: bool) {
        let known = self.store().place(direct).await.ok().flatten();
        if known.is_some_and(|known| known.reachable == reachable) {
            return;
        }
        let Some(membership) = self.store().memberships_of(member).into_iter().next() else { return };
        let place = Place {
            id: direct,
            group: membership.group,
            kind: PlaceKind::Direct,
            member: Some(member),
            batch: None,
            seen: direct,
            reachable,
        };
        if let Err(error) = self.store().commit(Change { places: vec![place], ..Change::default() }).await {
            tracing::warn!(%error, "a direct conversation could not be kept");
        }
    }

    /// A reminder pings whom it is for, and can be answered by a tap.
    async fn remind_in(&self, place: ChatId, parcel: &Parcel) -> Result<(), Trouble> {
        if self.reminder_arrived(place, parcel).await? {
            return Ok(());
        }
        let user = self.chat_of(parcel.member);
        let who = user.map(|user| format!("<@{user}>")).unwrap_or_default();
        let text = say("platform.reminder", &[("who", &who), ("text", &escaped(&parcel.text()))]);
        let presses = self.presses_of(parcel).await.map_err(|error| store_failed(&error))?;
        let id = self.store().next_card_id();
        if !presses.is_empty() {
            let card = card(id, parcel.member, &presses, self.clock.now());
            self.store()
                .commit(Change { cards: vec![card], ..Change::default() })
                .await
                .map_err(|error| store_failed(&error))?;
        }
        let body = Body {
            content: limits::shortened(text.trim(), limits::CONTENT),
            buttons: super::layout::action_buttons(id, &presses),
            pings: user,
            frame: None,
            picture: None,
            files: Vec::new(),
        };
        let posted = self.api.post(place, &body.json(), &parcel.nonce).await?;
        self.remember_posted(posted, parcel.batch).await;
        Ok(())
    }

    /// What can be done about a message with wet hands. Whoever was asked to help says yes or no.
    async fn presses_of(&self, parcel: &Parcel) -> Result<Vec<(String, Press)>, StoreError> {
        let Some(batch) = parcel.batch else { return Ok(snooze_press(parcel).into_iter().collect()) };
        let helpers = self.store().helpers_of(batch).await?;
        let asked = helpers.iter().find(|helper| helper.member == parcel.member);
        if asked.is_some_and(|helper| helper.accepted_at.is_none()) {
            let line = |answer: &str| format!("batch helper batch:{batch} accept:{answer}");
            return Ok(vec![
                (say("platform.button.accept", &[]), say_line(line("yes"))),
                (say("platform.button.decline", &[]), say_line(line("no"))),
            ]);
        }
        let mut presses = batch_presses(batch);
        presses.extend(snooze_press(parcel));
        Ok(presses)
    }

    /// A member's direct conversation; opened where there is none. `None`: they are on no chat platform.
    pub(super) async fn direct_of(&self, member: MemberId) -> Result<Option<ChatId>, Trouble> {
        if let Ok(Some(place)) = self.store().direct_place(member).await {
            return Ok(Some(place.id));
        }
        match self.chat_of(member) {
            Some(user) => self.api.direct(user).await.map(Some),
            None => Ok(None),
        }
    }

    fn chat_of(&self, member: MemberId) -> Option<ChatId> {
        self.store().memberships_of(member).into_iter().find_map(|member| member.chat)
    }
}

/// Being reminded once more, of the one thing a message is about. The warning about degree-hours is not put off.
fn snooze_press(parcel: &Parcel) -> Option<(String, Press)> {
    let [part] = parcel.parts.as_slice() else { return None };
    let (id, _) = part.reminder.filter(|(_, kind)| *kind != ReminderKind::DegreeHoursNearlySpent)?;
    Some((say("platform.button.snooze", &[]), say_line(format!("remind snooze id:{id} for:1 h"))))
}

const fn say_line(line: String) -> Press {
    let said = Said::Line(line);
    Press::Say(Saying { said, at: None, confirmed: false, batch: None, request: None })
}
