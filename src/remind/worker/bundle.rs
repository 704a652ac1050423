//! Reminders that are due together and become one message.

use crate::record::{MemberId, Reminder, ReminderKind};
use crate::remind::courier::Parcel;
use crate::remind::quiet;
use chrono_tz::Tz;

/// Reminders of one kind for one member about one batch; never empty.
#[derive(Debug)]
pub(super) struct Bundle {
    first: Reminder,
    /// Sorted by time, like everything that is claimed.
    more: Vec<Reminder>,
}

/// Puts together what belongs together. A member's own reminders each stand alone.
pub(super) fn bundles(claimed: Vec<Reminder>) -> Vec<Bundle> {
    let mut bundles: Vec<Bundle> = Vec::new();
    for reminder in claimed {
        match bundles.iter_mut().find(|bundle| bundle.takes(&reminder)) {
            Some(bundle) => bundle.more.push(reminder),
            None => bundles.push(Bundle { first: reminder, more: Vec::new() }),
        }
    }
    bundles
}

impl Bundle {
    fn takes(&self, reminder: &Reminder) -> bool {
        let key = |reminder: &Reminder| (reminder.member, reminder.batch, reminder.kind);
        reminder.kind != ReminderKind::Own && key(&self.first) == key(reminder)
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
        let silent = match self.first.kind {
            ReminderKind::TargetReached => 0,
            _ => self.more.len(),
        };
        self.all().skip(silent)
    }

    /// Whether a member set it into the quiet hours themselves.
    pub(super) fn is_meant_for_the_night(&self, zone: Tz) -> bool {
        self.first.kind == ReminderKind::Own && quiet::is_quiet(self.first.due, zone)
    }

    /// The message. A reminder that repeats keeps its number, so its time is part of the nonce.
    pub(super) fn parcel(&self, text_of: impl Fn(&Reminder) -> String) -> Parcel {
        let lines: Vec<String> = self.speaking().map(text_of).collect();
        Parcel {
            nonce: format!("r{}.{}", self.first.id.0, self.first.due.timestamp()),
            member: self.first.member,
            letter: None,
            batch: self.first.batch,
            text: lines.join("\n"),
        }
    }
}
