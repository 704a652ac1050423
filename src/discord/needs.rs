//! The rights the assistant needs on the platform, and what does not work without each: the one table that the
//! operator's check, the greeting and the group's settings speak from.

use super::front::Front;
use crate::desk::{ChatSender, Incoming, Sender};
use crate::record::ChatId;
use crate::reply::{Reply, say};
use serenity::model::permissions::Permissions;

/// A right it needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Right {
    bit: Permissions,
    word: &'static str,
}

/// See a place, write in it and in its threads, frame, show charts, read on, open threads; in the order in which they
/// matter.
pub(super) const NEEDED: [Right; 7] = [
    Right { bit: Permissions::VIEW_CHANNEL, word: "view_channel" },
    Right { bit: Permissions::SEND_MESSAGES, word: "send_messages" },
    Right { bit: Permissions::EMBED_LINKS, word: "embed_links" },
    Right { bit: Permissions::ATTACH_FILES, word: "attach_files" },
    Right { bit: Permissions::READ_MESSAGE_HISTORY, word: "read_history" },
    Right { bit: Permissions::CREATE_PUBLIC_THREADS, word: "create_threads" },
    Right { bit: Permissions::SEND_MESSAGES_IN_THREADS, word: "send_in_threads" },
];

/// The permissions an invitation asks for.
pub(super) const ALL: u64 = {
    let mut all = 0;
    let mut at = 0;
    while at < NEEDED.len() {
        all |= NEEDED[at].bit.bits();
        at += 1;
    }
    all
};

impl Right {
    /// What it is called on the platform.
    pub(super) fn name(self) -> String {
        say(&format!("platform.permission.{}", self.word), &[])
    }

    /// What does not work without it in a place.
    pub(super) fn without(self, place: &str) -> String {
        say(&format!("platform.lacks.{}", self.word), &[("place", place)])
    }
}

/// What is missing of what is needed. Whoever runs a group may everything; who does not see a place may nothing there,
/// and that alone is said.
pub(super) fn lacking(may: Permissions) -> Vec<Right> {
    if may.contains(Permissions::ADMINISTRATOR) {
        return Vec::new();
    }
    let mut lacking: Vec<Right> = NEEDED.into_iter().filter(|right| !may.contains(right.bit)).collect();
    if !may.contains(Permissions::VIEW_CHANNEL) {
        lacking.truncate(1);
    }
    lacking
}

impl Front {
    /// Adds to an answer that asks for it what the assistant may not do where it was asked and in the places it names.
    /// `may` is what the platform says of where it was asked; without it what is known of the channel counts. Where
    /// nothing is known, nothing is said.
    pub(super) fn say_what_is_missing(
        &self,
        reply: &mut Reply,
        incoming: &Incoming,
        may: Option<Permissions>,
    ) {
        let Some(places) = reply.looks_at.take() else { return };
        let Sender::Chat(ChatSender { group: Some((group, _)), .. }) = &incoming.sender else { return };
        let rights = self.rights();
        let known = rights.get(group);
        let of = |place: ChatId| known.and_then(|rights| rights.mine_in(place));
        let here = may.or_else(|| of(incoming.channel?).map(|(_, may)| may));
        let place = say("platform.lacks.here", &[]);
        let mut lines: Vec<String> =
            here.into_iter().flat_map(lacking).map(|right| right.without(&place)).collect();
        let others = places.into_iter().map(ChatId).filter(|place| incoming.channel != Some(*place));
        for place in others.filter(|_| known.is_some()) {
            match of(place) {
                Some((name, may)) => {
                    let name = format!("#{name}");
                    lines.extend(lacking(may).into_iter().map(|right| right.without(&name)));
                }
                None => {
                    lines.push(say("platform.lacks.unknown", &[("channel", &place.to_string())]));
                }
            }
        }
        reply.lines.extend(lines);
    }
}

/// The names of rights, as a list.
pub(super) fn names(rights: &[Right]) -> String {
    rights.iter().map(|right| right.name()).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_invitation_asks_for_no_more_than_is_needed() {
        assert_eq!(ALL & Permissions::ADMINISTRATOR.bits(), 0, "never administrator");
        assert_eq!(ALL & Permissions::MENTION_EVERYONE.bits(), 0, "never to ping everyone");
        assert_eq!(ALL.count_ones() as usize, NEEDED.len());
    }

    /// The bits of the platform's reference ("Permissions"), read there: 10, 11, 14, 15, 16, 35 and 38.
    #[test]
    fn the_bits_are_the_platforms() {
        assert_eq!(ALL, [10, 11, 14, 15, 16, 35, 38].into_iter().map(|bit| 1_u64 << bit).sum::<u64>());
    }

    #[test]
    fn what_is_missing_is_named_and_nothing_follows_from_not_seeing() {
        let all = Permissions::from_bits_truncate(ALL);
        assert_eq!(lacking(all), []);
        assert_eq!(lacking(Permissions::ADMINISTRATOR), []);
        let words = |may| lacking(may).iter().map(|right| right.word).collect::<Vec<_>>();
        assert_eq!(words(all - Permissions::CREATE_PUBLIC_THREADS), ["create_threads"]);
        assert_eq!(words(Permissions::empty()), ["view_channel"]);
    }

    #[test]
    fn every_right_has_a_name_and_a_consequence() {
        for right in NEEDED {
            assert!(right.name().len() > 3 && right.without("#log").starts_with("#log: "), "{right:?}");
        }
    }
}
