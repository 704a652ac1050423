//! Messages of the outbox: everything that is sent without being a reminder or the answer to a line.

use super::{Round, Sent};
use crate::record::{Outgoing, OutgoingState};
use crate::remind::courier::{Courier, Parcel, Undelivered};
use crate::store::{Change, StoreError};
use chrono::TimeDelta;

/// A message that could not be delivered for so long is given up. Our choice.
const PATIENCE: TimeDelta = TimeDelta::days(1);

impl<C: Courier> Round<'_, C> {
    /// Sends every message that waits.
    pub(super) async fn empty_outbox(&mut self) -> Result<(), StoreError> {
        let only = self.only;
        let waiting = self.store.waiting_outgoing(self.now).await?;
        for message in waiting.into_iter().filter(|message| only.is_none_or(|only| only == message.member)) {
            let hours = self.hours(message.member);
            // An answer goes out at once, also at night: somebody is awake.
            if message.letter.is_none() && self.is_night(hours) {
                self.report.held += 1;
                continue;
            }
            self.send_message(message).await?;
        }
        Ok(())
    }

    async fn send_message(&mut self, message: Outgoing) -> Result<(), StoreError> {
        let parcel = Parcel {
            nonce: format!("m{}", message.id.0),
            member: message.member,
            batch: message.batch,
            text: message.text.clone(),
            letter: message.letter.clone(),
        };
        let mut change = Change::default();
        match self.courier.deliver(&parcel).await {
            Ok(()) => {
                change.outgoing_sent.push((message.id, self.now));
                self.report.sent.push(Sent {
                    reminder: None,
                    member: message.member,
                    batch: message.batch,
                    due: message.due,
                    text: message.text,
                });
            }
            Err(Undelivered::TryAgain) if self.now - message.due < PATIENCE => self.report.failed += 1,
            Err(why) => {
                tracing::warn!(message = message.id.0, %why, "a message was given up");
                self.report.gave_up += 1;
                change.outgoing.push(Outgoing { state: OutgoingState::GaveUp, ..message });
            }
        }
        self.store.commit(change).await?;
        Ok(())
    }
}
