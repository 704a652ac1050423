//! What was dealt with lately, so that nothing is dealt with twice and nothing is passed over.

use crate::record::ChatId;
use std::collections::{BTreeSet, HashMap, HashSet, VecDeque};

/// How many ids are remembered.
const REMEMBERED: usize = 10_000;

/// The ids of the last messages and interactions.
#[derive(Debug, Default)]
pub(super) struct Recent {
    known: HashSet<i64>,
    order: VecDeque<i64>,
}

impl Recent {
    /// Whether an id comes for the first time; from now on it does not.
    pub(super) fn is_new(&mut self, id: ChatId) -> bool {
        if !self.known.insert(id.0) {
            return false;
        }
        self.order.push_back(id.0);
        if self.order.len() > REMEMBERED
            && let Some(oldest) = self.order.pop_front()
        {
            self.known.remove(&oldest);
        }
        true
    }

    /// Forgets an id: it could not be dealt with and may come again.
    pub(super) fn forget(&mut self, id: ChatId) {
        self.known.remove(&id.0);
        self.order.retain(|known| *known != id.0);
    }
}

/// Up to which message every place is dealt with, while several are in hand at once.
///
/// After a fresh connection every place counts as left behind until it is caught up with: what is written now must not
/// move its cursor past what was written meanwhile and was not read yet.
#[derive(Debug, Default)]
pub(super) struct Cursors {
    places: HashMap<ChatId, InHand>,
    round: u64,
    caught_up: HashMap<ChatId, i64>,
}

#[derive(Debug, Default)]
struct InHand {
    begun: BTreeSet<i64>,
    done: i64,
}

impl Cursors {
    /// Every place is left behind from now on; gives the number of this round of catching up.
    pub(super) fn fall_behind(&mut self) -> u64 {
        self.round += 1;
        self.caught_up.clear();
        self.round
    }

    /// A place is caught up with: up to a message, or wholly. `false` where another round has begun meanwhile.
    pub(super) fn catch_up(&mut self, round: u64, place: ChatId, upto: Option<ChatId>) -> bool {
        if round == self.round {
            self.caught_up.insert(place, upto.map_or(i64::MAX, |upto| upto.0));
        }
        round == self.round
    }

    /// A place that is known from now on: there is nothing to catch up with.
    pub(super) fn begin_place(&mut self, place: ChatId) {
        self.caught_up.insert(place, i64::MAX);
    }

    /// A message is taken in hand.
    pub(super) fn begin(&mut self, place: ChatId, message: ChatId) {
        self.places.entry(place).or_default().begun.insert(message.0);
    }

    /// A message would be dealt with: up to which one everything would be then, if that is known.
    pub(super) fn would_be(&self, place: ChatId, message: ChatId) -> Option<ChatId> {
        let caught_up = self.caught_up.get(&place).copied().unwrap_or_default();
        let place = self.places.get(&place)?;
        let done = place.done.max(message.0);
        let waiting = place.begun.iter().copied().find(|begun| *begun != message.0);
        let upto = waiting.map_or(done, |waiting| done.min(waiting - 1)).min(caught_up);
        (upto > 0).then_some(ChatId(upto))
    }

    /// A message is dealt with.
    pub(super) fn end(&mut self, place: ChatId, message: ChatId) {
        if let Some(place) = self.places.get_mut(&place) {
            place.begun.remove(&message.0);
            place.done = place.done.max(message.0);
        }
    }

    /// A message was not dealt with and is not in hand any more: it holds the cursor back no longer than the process
    /// lives, and what was kept of the cursor lies before it.
    pub(super) fn drop_message(&mut self, place: ChatId, message: ChatId) {
        if let Some(place) = self.places.get_mut(&place) {
            place.begun.remove(&message.0);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_is_new_once() {
        let mut recent = Recent::default();
        assert!(recent.is_new(ChatId(1)));
        assert!(!recent.is_new(ChatId(1)));
        recent.forget(ChatId(1));
        assert!(recent.is_new(ChatId(1)));
        for id in (2_i64..).take(REMEMBERED) {
            assert!(recent.is_new(ChatId(id)));
        }
        assert!(recent.is_new(ChatId(1)), "the oldest is forgotten, and no more than that is kept");
        assert_eq!(recent.known.len(), REMEMBERED);
    }

    #[test]
    fn a_later_message_does_not_hide_an_earlier_one_in_hand() {
        let (place, mut cursors) = (ChatId(9), Cursors::default());
        let round = cursors.fall_behind();
        cursors.catch_up(round, place, None);
        cursors.begin(place, ChatId(4));
        cursors.begin(place, ChatId(5));
        assert_eq!(cursors.would_be(place, ChatId(5)), Some(ChatId(3)));
        cursors.end(place, ChatId(5));
        assert_eq!(cursors.would_be(place, ChatId(4)), Some(ChatId(5)));
        cursors.end(place, ChatId(4));
        cursors.begin(place, ChatId(7));
        assert_eq!(cursors.would_be(place, ChatId(7)), Some(ChatId(7)));
    }

    #[test]
    fn a_message_of_now_does_not_hide_what_is_not_caught_up_with() {
        let (place, mut cursors) = (ChatId(9), Cursors::default());
        cursors.begin(place, ChatId(50));
        assert_eq!(cursors.would_be(place, ChatId(50)), None);
        let first = cursors.fall_behind();
        let second = cursors.fall_behind();
        assert!(!cursors.catch_up(first, place, None), "another connection was made meanwhile");
        assert!(cursors.catch_up(second, place, Some(ChatId(20))));
        assert_eq!(cursors.would_be(place, ChatId(50)), Some(ChatId(20)));
        cursors.catch_up(second, place, None);
        assert_eq!(cursors.would_be(place, ChatId(50)), Some(ChatId(50)));
    }
}
