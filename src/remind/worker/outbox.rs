//! Messages of the outbox: everything that is sent without being a reminder or the answer to a line.

use super::wishes::Wishes;
use super::{CLAIM, Ended, Round};
use crate::record::{Outgoing, OutgoingId};
use crate::remind::courier::{Courier, Parcel, Part};
use crate::reply::spoken_in;
use crate::store::{Claimed, Settlement, StoreError};

impl<C: Courier> Round<'_, C> {
    /// Sends the messages that wait; answers whether there may be more.
    pub(super) async fn empty_outbox(&mut self) -> Result<bool, StoreError> {
        let claimed = self.store.claim_messages(self.by, self.now, CLAIM, self.only).await?;
        let may_be_more = claimed.len() == CLAIM as usize;
        for message in claimed {
            spoken_in(Wishes::of(self.store, message.member).language, self.send_message(message)).await?;
        }
        Ok(may_be_more)
    }

    /// Sends one message that was just kept, unless another worker took it already.
    pub(super) async fn send_only(&mut self, message: OutgoingId) -> Result<(), StoreError> {
        if let Some(message) = self.store.claim_message(self.by, self.now, message).await? {
            spoken_in(Wishes::of(self.store, message.member).language, self.send_message(message)).await?;
        }
        Ok(())
    }

    async fn send_message(&mut self, message: Outgoing) -> Result<(), StoreError> {
        let what = Claimed::Message(message.id);
        // An answer goes out at once, also at night: somebody is awake.
        let wishes = Wishes::of(self.store, message.member);
        if let Some(morning) = wishes.night(self.now).filter(|_| message.letter.is_none()) {
            self.report.held += 1;
            let not_before = Some(morning);
            return self.settle(vec![(what, Settlement::Wait { not_before })]).await;
        }
        let parcel = Parcel {
            nonce: message
                .letter
                .as_ref()
                .map_or_else(|| format!("o{}", message.id.0), |letter| letter.nonce.clone()),
            member: message.member,
            batch: message.batch,
            parts: vec![Part {
                reminder: None,
                due: message.due,
                unlabelled: message.text.clone(),
                text: message.text,
            }],
            letter: message.letter,
            again: message.tries > 1,
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
