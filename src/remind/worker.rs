//! Sends what is due: one tick claims, delivers, marks.
//!
//! Every message is delivered at least once: it is marked after it arrived, and a claim that was not marked within
//! its lease is taken again. Claims keep two workers from sending the same reminder. Messages in the outbox are not
//! claimed; one worker empties it, and a second one would repeat a message under the same nonce.

mod bundle;
mod outbox;

use super::courier::{Courier, Undelivered};
use super::{quiet, repeat, wall};
use crate::clock::Clock;
use crate::record::{
    BatchId, MemberId, Outgoing, OutgoingState, Reminder, ReminderId, ReminderKind, ReminderState,
};
use crate::reply::say;
use crate::store::{Change, Store, StoreError};
use bundle::{Bundle, bundles};
use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;
use std::time::Duration;

/// How often the loop ticks: a reminder is at most this late while it runs.
const EVERY: Duration = Duration::from_secs(30);
/// Reminders claimed at once; few enough that a crash repeats few.
const CLAIM: u32 = 200;
/// Tries before a message is given up.
const TRIES: u32 = 5;
/// More than this after its time, a reminder says so.
const LATE: TimeDelta = TimeDelta::hours(1);

/// A message that arrived.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sent {
    /// The reminder, or `None` for a message of the outbox.
    pub reminder: Option<(ReminderId, ReminderKind)>,
    /// Who got it.
    pub member: MemberId,
    /// About which batch.
    pub batch: Option<BatchId>,
    /// When it was due.
    pub due: DateTime<Utc>,
    /// What it said, with the label of a late one.
    pub text: String,
}

/// What one tick did.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TickReport {
    /// What arrived, in order.
    pub sent: Vec<Sent>,
    /// How many wait for the end of the quiet hours.
    pub held: usize,
    /// How many could not be delivered and will be tried again.
    pub failed: usize,
    /// How many were given up.
    pub gave_up: usize,
}

/// The worker's loop, for as long as it is let run. Nothing else in the program sleeps.
#[expect(clippy::disallowed_methods, reason = "this is the one loop that sleeps")]
pub async fn run<C: Courier>(store: &Store, courier: &C, clock: &dyn Clock) -> ! {
    loop {
        if let Err(error) = tick(store, courier, clock.now()).await {
            tracing::error!(%error, "reminders could not be sent");
        }
        tokio::time::sleep(EVERY).await;
    }
}

/// Sends what is due at `now`.
///
/// # Errors
/// The store's. What was claimed and not marked is sent by a later tick.
pub async fn tick<C: Courier>(
    store: &Store,
    courier: &C,
    now: DateTime<Utc>,
) -> Result<TickReport, StoreError> {
    tick_for(store, courier, now, None).await
}

/// As [`tick`], for one member only: a shell reaches nobody else.
///
/// # Errors
/// The store's, as for [`tick`].
pub async fn tick_for<C: Courier>(
    store: &Store,
    courier: &C,
    now: DateTime<Utc>,
    only: Option<MemberId>,
) -> Result<TickReport, StoreError> {
    let mut round = Round { store, courier, now, only, report: TickReport::default() };
    loop {
        let claimed = store.claim_due(now, CLAIM, only).await?;
        if claimed.is_empty() {
            break;
        }
        for bundle in bundles(claimed) {
            round.send(&bundle).await?;
        }
    }
    round.empty_outbox().await?;
    Ok(round.report)
}

/// One tick under way.
struct Round<'a, C> {
    store: &'a Store,
    courier: &'a C,
    now: DateTime<Utc>,
    only: Option<MemberId>,
    report: TickReport,
}

/// What is known of how a member wants to be reminded.
#[derive(Clone, Copy)]
struct Hours {
    zone: Tz,
    at_night: bool,
}

impl<C: Courier> Round<'_, C> {
    async fn send(&mut self, bundle: &Bundle) -> Result<(), StoreError> {
        let hours = self.hours(bundle.member());
        if self.is_night(hours) && !bundle.is_meant_for_the_night(hours.zone) {
            return self.hold(bundle, hours.zone).await;
        }
        let parcel = bundle.parcel(|reminder| labelled(reminder, self.now, hours.zone));
        match self.courier.deliver(&parcel).await {
            Ok(()) => self.arrived(bundle, hours.zone).await,
            Err(undelivered) => self.failed(bundle, undelivered, hours.zone).await,
        }
    }

    /// A member's zone, else their group's, else UTC; the first group that they are in speaks.
    fn hours(&self, member: MemberId) -> Hours {
        let memberships = self.store.memberships_of(member);
        let own = memberships.iter().find_map(|member| member.settings.timezone.clone());
        let group = || {
            let groups = memberships.iter().filter_map(|member| self.store.group(member.group));
            groups.into_iter().find_map(|group| group.settings.timezone)
        };
        let named = own.or_else(group);
        Hours {
            zone: named.and_then(|name| name.parse().ok()).unwrap_or(Tz::UTC),
            at_night: memberships.iter().any(|member| member.settings.reminders_at_night),
        }
    }

    /// Whether nothing may go out now that the member did not set into the night themselves.
    fn is_night(&self, hours: Hours) -> bool {
        !hours.at_night && quiet::is_quiet(self.now, hours.zone)
    }

    async fn arrived(&mut self, bundle: &Bundle, zone: Tz) -> Result<(), StoreError> {
        let mut change = Change::default();
        for reminder in bundle.all() {
            self.done(reminder, zone, &mut change).await?;
        }
        self.store.commit(change).await?;
        self.report.sent.extend(bundle.speaking().map(|reminder| Sent {
            reminder: Some((reminder.id, reminder.kind)),
            member: reminder.member,
            batch: reminder.batch,
            due: reminder.due,
            text: labelled(reminder, self.now, zone),
        }));
        Ok(())
    }

    /// Marks a reminder, or moves one that repeats to its next time, unless it was cancelled while it was sent.
    async fn done(&self, reminder: &Reminder, zone: Tz, change: &mut Change) -> Result<(), StoreError> {
        match self.next(reminder, zone) {
            None => change.reminders_sent.push((reminder.id, self.now)),
            Some(due) => {
                let kept = self.store.reminder(reminder.id).await?;
                if kept.is_some_and(|kept| kept.state == ReminderState::Claimed) {
                    change.reminders.push(scheduled(reminder, due));
                }
            }
        }
        Ok(())
    }

    fn next(&self, reminder: &Reminder, zone: Tz) -> Option<DateTime<Utc>> {
        repeat::next(reminder.due, reminder.every_days?, self.now, zone)
    }

    /// Left as it is, a claim is taken again when its lease is over. After the last try a reminder that repeats goes
    /// on to its next time; every other one is given up.
    async fn failed(&mut self, bundle: &Bundle, why: Undelivered, zone: Tz) -> Result<(), StoreError> {
        let mut change = Change::default();
        for reminder in bundle.all() {
            let again = why == Undelivered::TryAgain;
            if again && reminder.tries < TRIES {
                self.report.failed += 1;
                continue;
            }
            tracing::warn!(reminder = reminder.id.0, %why, "a reminder was given up");
            self.report.gave_up += 1;
            let next = self.next(reminder, zone).filter(|_| again);
            let given_up = || Reminder { state: ReminderState::GaveUp, ..reminder.clone() };
            change.reminders.push(next.map_or_else(given_up, |due| scheduled(reminder, due)));
        }
        self.store.commit(change).await?;
        Ok(())
    }

    /// Waits for the end of the quiet hours. A batch's reminder moves there, where a new plan can still withdraw it;
    /// a member's own one may repeat from its time, so it leaves a message there and goes on.
    async fn hold(&mut self, bundle: &Bundle, zone: Tz) -> Result<(), StoreError> {
        let morning = quiet::later(self.now, zone);
        let mut change = Change::default();
        for reminder in bundle.all() {
            let text = labelled(reminder, morning, zone);
            if reminder.kind == ReminderKind::Own {
                change.outgoing.push(self.message(reminder, morning, text));
                self.done(reminder, zone, &mut change).await?;
            } else {
                change.reminders.push(Reminder { text, ..scheduled(reminder, morning) });
            }
        }
        self.report.held += bundle.speaking().count();
        self.store.commit(change).await?;
        Ok(())
    }

    fn message(&self, reminder: &Reminder, due: DateTime<Utc>, text: String) -> Outgoing {
        Outgoing {
            id: self.store.next_outgoing_id(),
            member: reminder.member,
            batch: reminder.batch,
            due,
            text,
            state: OutgoingState::Waiting,
            letter: None,
        }
    }
}

/// The same reminder, waiting for another time.
fn scheduled(reminder: &Reminder, due: DateTime<Utc>) -> Reminder {
    Reminder { due, state: ReminderState::Scheduled, tries: 0, ..reminder.clone() }
}

/// What a reminder says when it goes out at a moment: one that is late says so.
fn labelled(reminder: &Reminder, moment: DateTime<Utc>, zone: Tz) -> String {
    if moment - reminder.due <= LATE {
        return reminder.text.clone();
    }
    let time = wall::clock(reminder.due, zone);
    say("remind.late", &[("time", &time), ("text", &reminder.text)])
}
