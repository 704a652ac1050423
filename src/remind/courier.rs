//! How a message leaves: a front end brings its own courier.

use crate::record::{BatchId, Letter, MemberId, ReminderId, ReminderKind};
use chrono::{DateTime, Utc};
use std::future::Future;
use std::time::Duration;

/// One message on its way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Parcel {
    /// The same for every try of the same message and of no other, so that a platform can recognise one that arrives
    /// twice. At most 25 letters, figures and signs of ASCII.
    pub nonce: String,
    /// Who it is for.
    pub member: MemberId,
    /// About which batch, so that a front end can choose the place.
    pub batch: Option<BatchId>,
    /// What it says, one part a line: several where several things came due together.
    pub parts: Vec<Part>,
    /// Where it goes and how it looks, if that is settled.
    pub letter: Option<Letter>,
    /// It was tried before, and that try may have arrived.
    pub again: bool,
}

/// One thing a message says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// The reminder, or `None` for a message of the outbox.
    pub reminder: Option<(ReminderId, ReminderKind)>,
    /// When it was due.
    pub due: DateTime<Utc>,
    /// What it says, with the label of a late one.
    pub text: String,
    /// The same without that label.
    pub unlabelled: String,
}

impl Parcel {
    /// Everything it says.
    pub fn text(&self) -> String {
        let lines: Vec<&str> = self.parts.iter().map(|part| part.text.as_str()).collect();
        lines.join("\n")
    }
}

/// What became of a message.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Delivery {
    /// It is known to have arrived.
    Delivered,
    /// It did not, and may another time.
    Later {
        /// How long the platform asks to wait. Such a wait is no failed try; where nothing is asked, the worker waits
        /// longer after each try and gives up after many.
        after: Option<Duration>,
        /// Why; kept beside the message.
        reason: String,
    },
    /// It never will: the member is gone or takes no messages.
    Never {
        /// Why; kept beside the message.
        reason: String,
    },
    /// Nothing can be delivered through this courier now. The message stays as it was, and the tick ends.
    Closed {
        /// Why; goes to the log.
        reason: String,
    },
}

/// Takes messages to their members.
pub trait Courier: Send + Sync {
    /// Delivers one message. What is not answered within [`super::worker::PATIENCE`] counts as failed for now.
    fn deliver(&self, parcel: &Parcel) -> impl Future<Output = Delivery> + Send;
}

/// Delivers one message, and waits only so long for the answer: one courier that hangs must not keep the others' claims
/// past their lease. It may have arrived all the same; the next try carries the same nonce.
pub(super) async fn within<C: Courier>(patience: Duration, courier: &C, parcel: &Parcel) -> Delivery {
    let answer = tokio::time::timeout(patience, courier.deliver(parcel)).await;
    answer.unwrap_or_else(|_| Delivery::Later {
        after: None,
        reason: format!("no answer within {} s", patience.as_secs_f64()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Hanging;

    impl Courier for Hanging {
        async fn deliver(&self, _: &Parcel) -> Delivery {
            std::future::pending().await
        }
    }

    #[tokio::test]
    async fn a_courier_that_hangs_has_failed_for_now() {
        let parcel = Parcel {
            nonce: "m1".to_owned(),
            member: MemberId(1),
            batch: None,
            parts: Vec::new(),
            letter: None,
            again: false,
        };
        let ended = within(Duration::from_millis(10), &Hanging, &parcel).await;
        let reason = "no answer within 0.01 s".to_owned();
        assert_eq!(ended, Delivery::Later { after: None, reason });
    }
}
