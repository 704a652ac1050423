//! How much one member, and one group together, may say at once. What goes over it is refused in a sentence, so that one
//! who floods the desk does not keep it from the others.
//!
//! Only chats are paced: a shell is its owner's.

use crate::record::ChatId;
use chrono::{DateTime, TimeDelta, Utc};
use std::collections::HashMap;

/// How much may be said at once, and how fast that comes back. Our choice: nobody with a scale in hand reaches it.
#[derive(Debug, Clone, Copy)]
struct Allowance {
    at_once: f64,
    per_second: f64,
}

const OF_MEMBER: Allowance = Allowance { at_once: 30.0, per_second: 0.5 };
const OF_GROUP: Allowance = Allowance { at_once: 200.0, per_second: 4.0 };

/// So often it is said why nothing is answered, before there is silence.
const TOLD: u32 = 3;
/// Those who said nothing lately are let go above so many.
const MOST_KNOWN: usize = 10_000;

/// What was said lately, by whom.
#[derive(Debug, Default)]
pub(super) struct Pace {
    members: HashMap<ChatId, Left>,
    groups: HashMap<ChatId, Left>,
}

/// What is left to somebody.
#[derive(Debug, Clone, Copy)]
struct Left {
    lines: f64,
    at: DateTime<Utc>,
    refused: u32,
}

/// Whether a line may be carried out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Allowed {
    /// It may.
    Yes,
    /// It is too much now.
    TooMuch {
        /// After so many seconds it may.
        wait_s: i64,
    },
    /// It is too much, and was said often enough.
    Silence,
}

impl Pace {
    /// Takes a line of a member in a group, said at a moment. What was written while nobody listened was written at its
    /// own pace, so the moment is the line's own.
    pub(super) fn take(&mut self, user: ChatId, group: Option<ChatId>, at: DateTime<Utc>) -> Allowed {
        let of_member = taken(&mut self.members, user, OF_MEMBER, at);
        match group {
            Some(group) if of_member == Allowed::Yes => taken(&mut self.groups, group, OF_GROUP, at),
            _ => of_member,
        }
    }
}

fn taken(
    known: &mut HashMap<ChatId, Left>,
    whose: ChatId,
    allowance: Allowance,
    at: DateTime<Utc>,
) -> Allowed {
    if known.len() >= MOST_KNOWN && !known.contains_key(&whose) {
        known.retain(|_, left| left.at_moment(allowance, at) < allowance.at_once);
    }
    let left = known.entry(whose).or_insert(Left { lines: allowance.at_once, at, refused: 0 });
    left.lines = left.at_moment(allowance, at);
    left.at = left.at.max(at);
    if left.lines >= 1.0 {
        *left = Left { lines: left.lines - 1.0, refused: 0, ..*left };
        return Allowed::Yes;
    }
    left.refused = left.refused.saturating_add(1);
    if left.refused > TOLD {
        return Allowed::Silence;
    }
    Allowed::TooMuch { wait_s: ((1.0 - left.lines) / allowance.per_second).ceil() as i64 }
}

impl Left {
    /// What is left at a moment: no more than may be said at once.
    fn at_moment(self, allowance: Allowance, at: DateTime<Utc>) -> f64 {
        let passed = (at - self.at).max(TimeDelta::zero()).as_seconds_f64();
        (self.lines + passed * allowance.per_second).min(allowance.at_once)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ANNA: ChatId = ChatId(1);
    const CELLAR: Option<ChatId> = Some(ChatId(9));

    fn second(second: i64) -> DateTime<Utc> {
        DateTime::from_timestamp(1_772_000_000 + second, 0).expect("a moment")
    }

    #[test]
    fn thirty_lines_at_once_then_one_in_two_seconds() {
        let mut pace = Pace::default();
        for _ in 0..30 {
            assert_eq!(pace.take(ANNA, CELLAR, second(0)), Allowed::Yes);
        }
        assert_eq!(pace.take(ANNA, CELLAR, second(0)), Allowed::TooMuch { wait_s: 2 });
        assert_eq!(pace.take(ANNA, None, second(1)), Allowed::TooMuch { wait_s: 1 }, "wherever it is said");
        assert_eq!(pace.take(ANNA, CELLAR, second(2)), Allowed::Yes);
        assert_eq!(pace.take(ChatId(2), CELLAR, second(2)), Allowed::Yes, "another member");
    }

    #[test]
    fn after_three_refusals_there_is_silence_until_it_goes_on() {
        let mut pace = Pace::default();
        let said: Vec<Allowed> = (0..40).map(|_| pace.take(ANNA, None, second(0))).collect();
        assert_eq!(said.iter().filter(|allowed| matches!(allowed, Allowed::TooMuch { .. })).count(), 3);
        assert_eq!(said.iter().filter(|allowed| **allowed == Allowed::Silence).count(), 7);
        assert_eq!(pace.take(ANNA, None, second(60)), Allowed::Yes);
    }

    #[test]
    fn a_group_has_its_own() {
        let mut pace = Pace::default();
        let many = (0..250).map(|member| pace.take(ChatId(member), CELLAR, second(0)));
        assert_eq!(many.filter(|allowed| *allowed == Allowed::Yes).count(), 200);
        assert_eq!(pace.take(ChatId(500), None, second(0)), Allowed::Yes, "directly");
    }

    #[test]
    fn what_was_written_over_an_hour_is_let_in_at_once() {
        let mut pace = Pace::default();
        assert!((0..200).all(|line| pace.take(ANNA, CELLAR, second(line * 18)) == Allowed::Yes));
        // Out of its order it gives nothing back.
        let late = (0..40).filter(|_| pace.take(ANNA, CELLAR, second(0)) == Allowed::Yes).count();
        assert_eq!(late, 29);
    }

    #[test]
    fn who_said_nothing_lately_is_let_go() {
        let mut pace = Pace::default();
        for member in 0..25_000 {
            pace.take(ChatId(member), None, second(member));
        }
        assert!(pace.members.len() <= MOST_KNOWN, "{}", pace.members.len());
    }
}
