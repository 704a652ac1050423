//! Messages of the outbox: everything that is sent without being a reminder or the answer to a line.

use super::{CLAIM, Ended, Round};
use crate::record::Outgoing;
use crate::remind::courier::{Courier, Parcel, Part};
use crate::remind::quiet;
use crate::store::{Claimed, Settlement, StoreError};

impl<C: Courier> Round<'_, C> {
    /// Sends the messages that wait; answers whether there may be more.
    pub(super) async fn empty_outbox(&mut self) -> Result<bool, StoreError> {
        let claimed = self.store.claim_messages(self.by, self.now, CLAIM, self.only).await?;
        let may_be_more = claimed.len() == CLAIM as usize;
        for message in claimed {
            self.send_message(message).await?;
        }
        Ok(may_be_more)
    }

    async fn send_message(&mut self, message: Outgoing) -> Result<(), StoreError> {
        let what = Claimed::Message(message.id);
        let hours = self.hours(message.member);
        if self.is_night(hours) {
            self.report.held += 1;
            let not_before = Some(quiet::later(self.now, hours.zone));
            return self.settle(vec![(what, Settlement::Wait { not_before })]).await;
        }
        let parcel = Parcel {
            nonce: format!("m{}", message.id.0),
            member: message.member,
            batch: message.batch,
            parts: vec![Part { reminder: None, due: message.due, text: message.text }],
        };
        let how = match self.deliver(&parcel).await {
            Ended::Arrived => Settlement::Sent { at: self.now },
            Ended::PutBack => Settlement::Wait { not_before: None },
            Ended::AskedToWait { until } => Settlement::Wait { not_before: Some(until) },
            Ended::Failed { reason, for_good } => self.failed(message.tries, for_good, reason),
        };
        let arrived = matches!(how, Settlement::Sent { .. });
        self.settle(vec![(what, how)]).await?;
        if arrived {
            self.report_sent(parcel);
        }
        Ok(())
    }
}
