//! How a message leaves: a front end brings its own courier.

use crate::record::{BatchId, Letter, MemberId};
use std::future::Future;

/// One message on its way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Parcel {
    /// The same for every try of the same message, so that a platform can recognise one that arrives twice. At most
    /// 25 characters.
    pub nonce: String,
    /// Who it is for.
    pub member: MemberId,
    /// About which batch, so that a front end can choose the place.
    pub batch: Option<BatchId>,
    /// What it says; several lines where several things came due together.
    pub text: String,
    /// Where it goes and how it looks, if that is settled.
    pub letter: Option<Letter>,
}

/// Why a message did not arrive.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Undelivered {
    /// It may arrive another time.
    #[error("it could not be delivered now")]
    TryAgain,
    /// It never will: the member is gone or takes no messages.
    #[error("it can never be delivered")]
    Never,
}

/// Takes messages to their members.
pub trait Courier: Send + Sync {
    /// Delivers one message. `Ok` means it is known to have arrived.
    fn deliver(&self, parcel: &Parcel) -> impl Future<Output = Result<(), Undelivered>> + Send;
}
