//! Sends what is due: claims, delivers, settles.
//!
//! Every message is delivered at least once: it is settled after it arrived, and a claim that was not settled within
//! its lease is taken again. Claims keep two workers from sending the same thing. What failed waits longer after each
//! try, and is given up after many; why it failed is kept beside it.

mod bundle;
mod outbox;
mod wishes;

use super::courier::{Courier, Delivery, Parcel, within};
use super::repeat;
use crate::clock::Clock;
use crate::record::{BatchId, MemberId, OutgoingId, Reminder, ReminderId, ReminderKind};
use crate::reply::spoken_in;
use crate::store::{Change, Claimant, Claimed, Settled, Settlement, Store, StoreError};
use bundle::{Bundle, bundles};
use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;
use std::future::Future;
use std::pin::pin;
use std::time::Duration;
use wishes::Wishes;

/// How often the loop ticks as a rule: a reminder is at most this late while it runs.
pub const EVERY: Duration = Duration::from_secs(30);
/// How long a courier may take over one message; less than a claim lasts.
pub const PATIENCE: Duration = Duration::from_secs(20);
/// Claimed at once; few enough that a crash repeats few.
const CLAIM: u32 = 100;
/// Tries before a message is given up: with the pauses between them about a day.
const TRIES: u32 = 30;
/// The pause after the first try that failed; each later one is twice as long.
const FIRST_PAUSE: TimeDelta = TimeDelta::seconds(30);
/// The longest pause.
const LONGEST_PAUSE: TimeDelta = TimeDelta::hours(1);
/// The shortest and the longest wait that a platform may ask for.
const ASKED: (TimeDelta, TimeDelta) = (TimeDelta::seconds(1), TimeDelta::days(1));

/// A thing that was said and arrived.
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
    /// How many wait for the end of the quiet hours or of a pause.
    pub held: usize,
    /// How many could not be delivered and will be tried again.
    pub failed: usize,
    /// How many were given up.
    pub gave_up: usize,
    /// The courier said that nothing can be delivered through it now.
    pub closed: bool,
}

/// The worker's loop, until `stop` is ready; the round that is under way then is finished, so that what was sent is also
/// kept as sent. Nothing else in the program sleeps.
#[expect(clippy::disallowed_methods, reason = "this is the one loop that sleeps")]
pub async fn run<C: Courier>(
    store: &Store,
    courier: &C,
    clock: &dyn Clock,
    every: Duration,
    stop: impl Future<Output = ()> + Send,
) {
    let mut stop = pin!(stop);
    loop {
        let mut may_be_more = true;
        while may_be_more {
            let mut round = Round::new(store, courier, clock.now(), None);
            may_be_more = round.go().await.unwrap_or_else(|error| {
                tracing::error!(%error, "reminders could not be sent");
                false
            });
        }
        tokio::select! {
            () = tokio::time::sleep(every) => {}
            () = &mut stop => return,
        }
    }
}

/// Sends what is due at `now`.
///
/// # Errors
/// The store's. What was claimed and not settled is sent by a later tick.
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
    let mut round = Round::new(store, courier, now, only);
    while round.go().await? {}
    Ok(round.report)
}

/// Sends one message that was just kept, so that it need not wait for a tick; what fails is left to the ticks.
///
/// # Errors
/// The store's, as for [`tick`].
pub async fn send_now<C: Courier>(
    store: &Store,
    courier: &C,
    now: DateTime<Utc>,
    message: OutgoingId,
) -> Result<(), StoreError> {
    Round::new(store, courier, now, None).send_only(message).await
}

/// One round under way.
struct Round<'a, C> {
    store: &'a Store,
    courier: &'a C,
    by: Claimant,
    now: DateTime<Utc>,
    only: Option<MemberId>,
    report: TickReport,
}

/// How a delivery ended, as far as it decides what becomes of the claims.
enum Ended {
    Arrived,
    PutBack,
    AskedToWait { until: DateTime<Utc> },
    Failed { reason: String, for_good: bool },
}

impl<'a, C: Courier> Round<'a, C> {
    fn new(store: &'a Store, courier: &'a C, now: DateTime<Utc>, only: Option<MemberId>) -> Self {
        Self { store, courier, by: store.next_claimant(), now, only, report: TickReport::default() }
    }

    /// Claims once, delivers all of it, settles; answers whether there may be more.
    async fn go(&mut self) -> Result<bool, StoreError> {
        let claimed = self.store.claim_reminders(self.by, self.now, CLAIM, self.only).await?;
        let more_reminders = claimed.len() == CLAIM as usize;
        let came_in_pause =
            |reminder: &Reminder| Wishes::of(self.store, reminder.member).held_it(reminder, self.now);
        for bundle in bundles(claimed, came_in_pause) {
            let language = Wishes::of(self.store, bundle.member()).language;
            spoken_in(language, self.send(&bundle)).await?;
        }
        let more_messages = self.empty_outbox().await?;
        Ok((more_reminders || more_messages) && !self.report.closed)
    }

    async fn send(&mut self, bundle: &Bundle) -> Result<(), StoreError> {
        let wishes = Wishes::of(self.store, bundle.member());
        if let Some(not_before) = wishes.wait(bundle, self.now) {
            self.report.held += bundle.speaking().count();
            let not_before = Some(not_before);
            return self.settle_each(bundle, |_, _| Settlement::Wait { not_before }).await;
        }
        let parcel = bundle.parcel(self.now, wishes.zone);
        match self.deliver(&parcel).await {
            Ended::Arrived => {
                self.settle_each(bundle, |round, reminder| round.done(reminder, wishes.zone)).await?;
                self.report_sent(parcel);
                Ok(())
            }
            Ended::PutBack => self.settle_each(bundle, |_, _| Settlement::Wait { not_before: None }).await,
            Ended::AskedToWait { until } => {
                self.settle_each(bundle, |_, _| Settlement::Wait { not_before: Some(until) }).await
            }
            Ended::Failed { reason, for_good } => {
                self.settle_each(bundle, |round, reminder| {
                    round.reminder_failed(reminder, for_good, &reason, wishes.zone)
                })
                .await
            }
        }
    }

    /// Hands a message to the courier, unless the courier was found closed before.
    async fn deliver(&mut self, parcel: &Parcel) -> Ended {
        if self.report.closed {
            return Ended::PutBack;
        }
        match within(PATIENCE, self.courier, parcel).await {
            Delivery::Delivered => Ended::Arrived,
            Delivery::Closed { reason } => {
                tracing::info!(%reason, "nothing can be delivered now");
                self.report.closed = true;
                Ended::PutBack
            }
            Delivery::Later { after: Some(after), reason } => {
                tracing::debug!(%reason, "a message was turned away for a while");
                self.report.failed += parcel.parts.len();
                let after = TimeDelta::from_std(after).unwrap_or(ASKED.1).clamp(ASKED.0, ASKED.1);
                Ended::AskedToWait { until: self.now + after }
            }
            Delivery::Later { after: None, reason } => Ended::Failed { reason, for_good: false },
            Delivery::Never { reason } => Ended::Failed { reason, for_good: true },
        }
    }

    /// A reminder that arrived is done, or goes on to its next time.
    fn done(&self, reminder: &Reminder, zone: Tz) -> Settlement {
        match repeat::next(reminder, self.now, zone) {
            Some(due) => Settlement::Again { due, sent: Some(self.now), failure: None },
            None => Settlement::Sent { at: self.now },
        }
    }

    /// After the last try a reminder that repeats goes on to its next time; every other one is given up.
    fn reminder_failed(&mut self, reminder: &Reminder, for_good: bool, reason: &str, zone: Tz) -> Settlement {
        let how = self.failed(reminder.tries, for_good, reason.to_owned());
        let next = repeat::next(reminder, self.now, zone).filter(|_| !for_good);
        match (how, next) {
            (Settlement::GaveUp { failure }, Some(due)) => {
                Settlement::Again { due, sent: None, failure: Some(failure) }
            }
            (how, _) => how,
        }
    }

    /// Tried again after a pause, until it was tried often enough.
    fn failed(&mut self, tries: u32, for_good: bool, reason: String) -> Settlement {
        if !for_good && tries < TRIES {
            self.report.failed += 1;
            return Settlement::Retry { not_before: self.now + pause_after(tries), failure: reason };
        }
        tracing::warn!(tries, %reason, "a message was given up");
        self.report.gave_up += 1;
        Settlement::GaveUp { failure: reason }
    }

    async fn settle_each(
        &mut self,
        bundle: &Bundle,
        how: impl Fn(&mut Self, &Reminder) -> Settlement,
    ) -> Result<(), StoreError> {
        let mut ends = Vec::new();
        for reminder in bundle.all() {
            ends.push((Claimed::Reminder(reminder.id), how(self, reminder)));
        }
        self.settle(ends).await
    }

    async fn settle(&self, ends: Vec<(Claimed, Settlement)>) -> Result<(), StoreError> {
        let settled = ends.into_iter().map(|(what, how)| Settled { by: self.by, what, how }).collect();
        let kept = self.store.commit(Change { settled, ..Change::default() }).await?;
        if kept.refused > 0 {
            tracing::debug!(refused = kept.refused, "claims had passed on, or were cancelled meanwhile");
        }
        Ok(())
    }

    fn report_sent(&mut self, parcel: Parcel) {
        let (member, batch) = (parcel.member, parcel.batch);
        self.report.sent.extend(parcel.parts.into_iter().map(|part| Sent {
            reminder: part.reminder,
            member,
            batch,
            due: part.due,
            text: part.text,
        }));
    }
}

/// Twice as long after each try, up to the longest.
fn pause_after(tries: u32) -> TimeDelta {
    let doublings = tries.saturating_sub(1).min(16);
    (FIRST_PAUSE * (1 << doublings)).min(LONGEST_PAUSE)
}
