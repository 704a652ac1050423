//! What every event finds: the desk, the platform, and what was dealt with lately.

use super::api::Api;
use super::enclosed::Waiting;
use super::fetched::HandedIn;
use super::inbound::{Addressee, id, sender};
use super::recent::{Cursors, Recent};
use super::rights::Rights;
use super::settings::Listen;
use super::starts::Starts;
use crate::clock::Clock;
use crate::desk::{Answered, Desk, Incoming, Sender};
use crate::record::{BatchId, ChatId, MemberId};
use crate::reply::{Language, in_language};
use crate::store::{Store, StoreError};
use serenity::model::application::Interaction;
use serenity::model::channel::GuildChannel;
use serenity::model::guild::Role;
use serenity::model::permissions::Permissions;
use std::collections::HashMap;
use std::fmt;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;
use tokio::sync::{Notify, OwnedSemaphorePermit, Semaphore};

/// Requests worked on at once. The library starts a task for every event, without a bound of its own.
const AT_ONCE: u32 = 64;

/// What every event finds.
pub(super) struct Front {
    /// Answers lines.
    pub(super) desk: Desk,
    /// The platform.
    pub(super) api: Api,
    /// The time.
    pub(super) clock: Arc<dyn Clock>,
    /// The assistant's own account.
    pub(super) me: ChatId,
    /// The same, with where files come from: whom messages are for.
    pub(super) to: Addressee,
    /// Where it reads what nobody addressed to it.
    listen: Listen,
    recent: Mutex<Recent>,
    cursors: Mutex<Cursors>,
    group_names: Mutex<HashMap<ChatId, String>>,
    rights: Mutex<HashMap<ChatId, Rights>>,
    lanes: Mutex<HashMap<ChatId, Arc<tokio::sync::Mutex<()>>>>,
    files_waiting: Mutex<Waiting>,
    handed_in: Mutex<HandedIn>,
    room: Arc<Semaphore>,
    cards_changed: Notify,
    starts: Mutex<Starts>,
}

impl fmt::Debug for Front {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Front").field("me", &self.me).field("listen", &self.listen).finish_non_exhaustive()
    }
}

impl Front {
    /// A front over a desk.
    pub(super) fn new(desk: Desk, api: Api, clock: Arc<dyn Clock>, to: Addressee, listen: Listen) -> Self {
        Self {
            desk,
            api,
            clock,
            me: to.me,
            to,
            listen,
            recent: Mutex::default(),
            cursors: Mutex::default(),
            group_names: Mutex::default(),
            rights: Mutex::default(),
            lanes: Mutex::default(),
            files_waiting: Mutex::default(),
            handed_in: Mutex::default(),
            room: Arc::new(Semaphore::new(AT_ONCE as usize)),
            cards_changed: Notify::new(),
            starts: Mutex::default(),
        }
    }

    /// The record.
    pub(super) const fn store(&self) -> &Store {
        self.desk.store()
    }

    /// Asks the desk, and in which language its answer is laid out. What was kept may be seen in a batch's card, which is
    /// looked at then.
    pub(super) async fn answered(
        &self,
        incoming: &Incoming,
        may: Option<Permissions>,
    ) -> (Answered, Language) {
        let (mut answered, language) = self.desk.answer_spoken(incoming).await;
        if let Answered::Reply(reply) = &mut answered {
            self.look_at_cards();
            in_language(language, || self.say_what_is_missing(reply, incoming, may));
        }
        (answered, language)
    }

    /// A card may have changed, or is there at last.
    pub(super) fn look_at_cards(&self) {
        self.cards_changed.notify_one();
    }

    /// Waits until a card may have changed, for so long at most.
    pub(super) async fn until_cards_change(&self, most: Duration) {
        drop(tokio::time::timeout(most, self.cards_changed.notified()).await);
    }

    /// Whether the platform gives it what nobody addressed to it.
    pub(super) const fn reads_everything(&self) -> bool {
        self.listen.anywhere()
    }

    /// Whether it reads what nobody addressed to it in a channel of a group.
    pub(super) fn listens_in(&self, place: ChatId, group: Option<ChatId>) -> bool {
        let of_group = || group.and_then(|group| self.store().group_by_chat(group));
        self.listen.channels.contains(&place)
            || self.listen.stewards && of_group().is_some_and(|group| group.settings.listen.contains(&place))
    }

    /// Whether answers to commands, presses and forms of somebody's group are for the eyes of who asked.
    pub(super) fn answers_privately(&self, sender: &Sender) -> bool {
        let Sender::Chat(sender) = sender else { return false };
        let group = sender.group.as_ref().and_then(|(group, _)| self.store().group_by_chat(*group));
        group.is_some_and(|group| group.settings.private_answers)
    }

    /// Waits until there is room to work. `None` while the front is closing.
    pub(super) async fn room(&self) -> Option<OwnedSemaphorePermit> {
        Arc::clone(&self.room).acquire_owned().await.ok()
    }

    /// Waits until nothing is worked on, and lets nothing more in.
    pub(super) async fn empty(&self) {
        let all = Arc::clone(&self.room).acquire_many_owned(AT_ONCE).await;
        self.room.close();
        drop(all);
    }

    /// Whether an event comes for the first time.
    pub(super) fn is_new(&self, id: ChatId) -> bool {
        locked(&self.recent).is_new(id)
    }

    /// An event could not be dealt with and may come again.
    pub(super) fn may_come_again(&self, id: ChatId) {
        locked(&self.recent).forget(id);
    }

    /// Which messages are in hand.
    pub(super) fn cursors(&self) -> MutexGuard<'_, Cursors> {
        locked(&self.cursors)
    }

    /// What is written in one place is dealt with one by one.
    pub(super) fn lane(&self, place: ChatId) -> Arc<tokio::sync::Mutex<()>> {
        Arc::clone(locked(&self.lanes).entry(place).or_default())
    }

    /// Files of letters that have not left yet.
    pub(super) fn files_waiting(&self) -> MutexGuard<'_, Waiting> {
        locked(&self.files_waiting)
    }

    /// Files that were handed to commands lately.
    pub(super) fn handed_in(&self) -> MutexGuard<'_, HandedIn> {
        locked(&self.handed_in)
    }

    /// When sessions with the gateway were begun.
    pub(super) fn starts(&self) -> MutexGuard<'_, Starts> {
        locked(&self.starts)
    }

    /// What members may do in the groups.
    pub(super) fn rights(&self) -> MutexGuard<'_, HashMap<ChatId, Rights>> {
        locked(&self.rights)
    }

    /// A role of a group was made or changed.
    pub(super) fn set_role(&self, role: &Role) {
        if let Some(rights) = self.rights().get_mut(&id(role.guild_id.get())) {
            rights.set(role);
        }
    }

    /// A channel of a group was made or changed.
    pub(super) fn set_channel(&self, channel: &GuildChannel) {
        if let Some(rights) = self.rights().get_mut(&id(channel.guild_id.get())) {
            rights.set_channel(channel);
        }
    }

    /// Takes a group's name down.
    pub(super) fn name_group(&self, id: ChatId, name: &str) {
        locked(&self.group_names).insert(id, name.to_owned());
    }

    /// A group with its name.
    pub(super) fn group(&self, id: ChatId) -> (ChatId, String) {
        let known = locked(&self.group_names).get(&id).cloned();
        let name = known.or_else(|| self.store().group_by_chat(id).map(|group| group.name));
        (id, name.unwrap_or_else(|| "group".to_owned()))
    }

    /// The language of a member who did not ask just now.
    pub(super) fn language_of_member(&self, member: MemberId) -> Language {
        Language::of_memberships(&self.store().memberships_of(member))
    }

    /// The language of whoever used a command, a button or a form.
    pub(super) fn language_of(&self, interaction: &Interaction) -> Language {
        let (user, locale) = match interaction {
            Interaction::Command(used) | Interaction::Autocomplete(used) => (&used.user, &used.locale),
            Interaction::Component(press) => (&press.user, &press.locale),
            Interaction::Modal(form) => (&form.user, &form.locale),
            _ => return Language::default(),
        };
        let who = sender((user, locale), None, None, |group| self.group(group));
        self.desk.language_of(&Sender::Chat(who))
    }

    /// The batch whose own thread a place is.
    pub(super) async fn batch_of_place(&self, place: ChatId) -> Result<Option<BatchId>, StoreError> {
        Ok(self.store().place(place).await?.and_then(|place| place.batch))
    }
}

fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
