//! Reminders that are due together and become one message.

use crate::record::{BatchId, MemberId, QuietHours, Reminder, ReminderKind};
use crate::remind::courier::{Parcel, Part};
use crate::remind::quiet;
use crate::reply::{calendar, say};
use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;

/// More than this after its time, a reminder says so.
const LATE: TimeDelta = TimeDelta::hours(1);

/// Reminders for one member: those of one kind about one batch, or all that a pause held back. Never empty.
#[derive(Debug)]
pub(super) struct Bundle {
    first: Reminder,
    /// Sorted by time, like everything that is claimed.
    more: Vec<Reminder>,
    /// A pause held them back.
    after_pause: bool,
}

/// Puts together what belongs together. A member's own reminders each stand alone, but for those that came due in a
/// pause.
pub(super) fn bundles(claimed: Vec<Reminder>, came_in_pause: impl Fn(&Reminder) -> bool) -> Vec<Bundle> {
    let mut bundles: Vec<Bundle> = Vec::new();
    for reminder in claimed {
        let after_pause = came_in_pause(&reminder);
        match bundles.iter_mut().find(|bundle| bundle.takes(&reminder, after_pause)) {
            Some(bundle) => bundle.more.push(reminder),
            None => bundles.push(Bundle { first: reminder, more: Vec::new(), after_pause }),
        }
    }
    bundles
}

impl Bundle {
    fn takes(&self, reminder: &Reminder, after_pause: bool) -> bool {
        if self.after_pause || after_pause {
            return self.after_pause && after_pause && self.first.member == reminder.member;
        }
        reminder.kind != ReminderKind::Own && key(&self.first) == key(reminder)
    }

    /// Whether no pause holds it back.
    pub(super) const fn cannot_wait(&self) -> bool {
        self.first.kind.cannot_wait()
    }

    pub(super) const fn member(&self) -> MemberId {
        self.first.member
    }

    /// Everything that is done once the message has arrived.
    pub(super) fn all(&self) -> impl Iterator<Item = &Reminder> {
        std::iter::once(&self.first).chain(&self.more)
    }

    /// What is said: every piece that reached its target, but of what comes again and again only the last, so that
    /// nobody is asked five times to weigh when the assistant was away.
    pub(super) fn speaking(&self) -> impl Iterator<Item = &Reminder> {
        self.all().enumerate().filter(|(place, reminder)| self.speaks(*place, reminder)).map(|(_, one)| one)
    }

    fn speaks(&self, place: usize, reminder: &Reminder) -> bool {
        let each_counts = matches!(reminder.kind, ReminderKind::TargetReached | ReminderKind::Own);
        each_counts || !self.all().skip(place + 1).any(|later| key(later) == key(reminder))
    }

    /// Whether a member set it into the quiet hours themselves.
    pub(super) fn is_meant_for_the_night(&self, zone: Tz, quiet: Option<QuietHours>) -> bool {
        !self.after_pause
            && self.first.kind == ReminderKind::Own
            && quiet::is_quiet(self.first.due, zone, quiet)
    }

    /// The message, going out at a moment.
    pub(super) fn parcel(&self, now: DateTime<Utc>, zone: Tz) -> Parcel {
        let part = |reminder: &Reminder| Part {
            reminder: Some((reminder.id, reminder.kind)),
            due: reminder.wanted_at(),
            text: if self.after_pause { held_back(reminder, zone) } else { labelled(reminder, now, zone) },
            unlabelled: reminder.text.clone(),
        };
        let is_of_one = self.more.iter().all(|other| other.batch == self.first.batch);
        Parcel {
            nonce: self.nonce(),
            member: self.first.member,
            batch: self.first.batch.filter(|_| is_of_one),
            parts: self.speaking().map(part).collect(),
            letter: None,
            again: self.all().any(|reminder| reminder.tries > 1),
        }
    }

    /// Made from everything the message settles and when it was wanted. A reminder keeps its number when it comes again,
    /// and at the next try others may have joined it: were the nonce the same then, a platform would take the new
    /// message for the old one, and what is new in it would be lost.
    fn nonce(&self) -> String {
        let numbers =
            self.all().flat_map(|reminder| [reminder.id.0, reminder.wanted_at().timestamp_millis()]);
        format!("r{:016x}", fingerprint(numbers.flat_map(i64::to_le_bytes)))
    }
}

/// What has to be the same for reminders to be of the same thing.
fn key(reminder: &Reminder) -> (MemberId, Option<BatchId>, ReminderKind) {
    (reminder.member, reminder.batch, reminder.kind)
}

/// What a reminder says when it goes out at a moment: one that is late says so, one that was put off is not late.
fn labelled(reminder: &Reminder, moment: DateTime<Utc>, zone: Tz) -> String {
    if moment - reminder.wanted_at() <= LATE {
        return reminder.text.clone();
    }
    let time = calendar::clock(reminder.wanted_at(), zone);
    say("remind.late", &[("time", &time), ("text", &reminder.text)])
}

/// What a reminder says that a pause held back.
fn held_back(reminder: &Reminder, zone: Tz) -> String {
    let time = calendar::clock(reminder.wanted_at(), zone);
    say("remind.held_back", &[("time", &time), ("text", &reminder.text)])
}

/// FNV-1a with 64 bits (Fowler, Noll and Vo): short, and the same in every version of the program.
fn fingerprint(bytes: impl Iterator<Item = u8>) -> u64 {
    const OFFSET_BASIS: u64 = 0xcbf2_9ce4_8422_2325;
    const PRIME: u64 = 0x0000_0100_0000_01b3;
    bytes.fold(OFFSET_BASIS, |sum, byte| (sum ^ u64::from(byte)).wrapping_mul(PRIME))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::ReminderId;

    fn weigh(id: i64, day: i64) -> Reminder {
        let due = DateTime::from_timestamp(1_790_000_000 + day * 86_400, 0).expect("a moment");
        let own = Reminder::own(ReminderId(id), MemberId(1), due, "weigh".to_owned());
        Reminder { kind: ReminderKind::Weigh, ..own }
    }

    fn nonces(claimed: Vec<Reminder>) -> Vec<String> {
        let now = weigh(1, 0).due;
        bundles(claimed, |_| false).iter().map(|bundle| bundle.parcel(now, Tz::UTC).nonce).collect()
    }

    #[test]
    fn the_fingerprint_is_the_published_one() {
        // The authors' test vectors for 64-bit FNV-1a, from memory.
        for (text, sum) in
            [("", 0xcbf2_9ce4_8422_2325), ("a", 0xaf63_dc4c_8601_ec8c), ("foobar", 0x8594_4171_f739_67e8)]
        {
            assert_eq!(fingerprint(text.bytes()), sum, "{text}");
        }
    }

    #[test]
    fn a_nonce_is_the_messages_own_and_stays_with_it() {
        let once = nonces(vec![weigh(1, 0)]);
        let later_try = Reminder { tries: 7, not_before: Some(weigh(1, 1).due), ..weigh(1, 0) };
        assert_eq!(nonces(vec![later_try]), once);
        let mut different = [
            once,
            nonces(vec![weigh(2, 0)]),
            nonces(vec![weigh(1, 1)]),
            nonces(vec![weigh(1, 0), weigh(2, 0)]),
            nonces(vec![weigh(i64::MAX, 2_000_000)]),
        ]
        .concat();
        assert!(different.iter().all(|nonce| nonce.len() <= 25 && nonce.is_ascii()), "{different:?}");
        different.sort();
        different.dedup();
        assert_eq!(different.len(), 5);
    }
}
