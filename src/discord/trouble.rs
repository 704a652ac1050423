//! Why a request to the platform failed, by what can be done about it.

use serenity::http::HttpError;
use std::time::Duration;

/// The platform's code for too many edits of messages older than an hour.
const EDITED_TOO_OFTEN: i64 = 30_046;
/// The platform's code for a post without a tag where the forum asks for one (from memory).
pub(super) const TAG_REQUIRED: i64 = 40_067;

/// What can be done about a failed request.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub(super) enum Trouble {
    /// Too many requests: wait.
    #[error("too many requests")]
    TooMany,
    /// The platform or the way to it failed; whether the request was carried out is not known.
    #[error("the platform could not be reached: {0}")]
    Unclear(String),
    /// The platform said no.
    #[error("refused with status {status}, code {code}: {message}")]
    Refused {
        /// Status of the answer.
        status: u16,
        /// The platform's own code; 0 where it gave none.
        code: i64,
        /// What it said.
        message: String,
    },
}

/// What a refusal means, by the platform's codes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Meaning {
    /// The token is wrong.
    WrongToken,
    /// The channel, thread or group is gone or cannot be seen any more.
    PlaceGone,
    /// The thread is locked.
    PlaceLocked,
    /// The thread is archived: it takes no edits, and where it is locked too, nothing at all.
    ThreadArchived,
    /// The message is gone.
    MessageGone,
    /// A message older than an hour was edited too often.
    EditedTooOften,
    /// The group has as many open threads as it may have.
    ThreadsFull,
    /// The forum takes no post without a tag.
    TagRequired,
    /// A permission is missing there.
    NotPermitted,
    /// The member takes no direct messages.
    DirectClosed,
    /// Too many direct conversations were opened at once.
    OpeningTooFast,
    /// The command or press is too old, or was answered already.
    AnswerTooLate,
    /// Anything else.
    Other,
}

impl Meaning {
    /// Whether nothing can be posted in the place until somebody changes something there.
    pub(super) const fn loses_the_place(self) -> bool {
        matches!(self, Self::PlaceGone | Self::PlaceLocked | Self::ThreadArchived | Self::NotPermitted)
    }
}

impl Trouble {
    /// Sorts the library's error.
    pub(super) fn of(error: &serenity::Error) -> Self {
        match error {
            serenity::Error::Http(HttpError::UnsuccessfulRequest(response)) => {
                let status = response.status_code.as_u16();
                match status {
                    // The library has waited where it can. This limit is another: it lasts, and names itself.
                    429 if i64::try_from(response.error.code) != Ok(EDITED_TOO_OFTEN) => Self::TooMany,
                    500..=599 => Self::Unclear(format!("status {status}")),
                    _ => Self::Refused {
                        status,
                        code: i64::try_from(response.error.code).unwrap_or_default(),
                        message: response.error.message.clone(),
                    },
                }
            }
            // The library's error text carries the address, and with it the token of an interaction.
            serenity::Error::Http(HttpError::Request(error)) => Self::Unclear(kind_of(error).to_owned()),
            other => Self::Unclear(kind_of_library(other)),
        }
    }

    /// What a refusal means.
    pub(super) const fn meaning(&self) -> Meaning {
        let Self::Refused { status, code, .. } = self else { return Meaning::Other };
        match (*status, *code) {
            (401, _) => Meaning::WrongToken,
            (_, 10_003 | 10_004 | 50_001) => Meaning::PlaceGone,
            (_, 160_005) => Meaning::PlaceLocked,
            (_, 50_083) => Meaning::ThreadArchived,
            (_, 10_008) => Meaning::MessageGone,
            (_, EDITED_TOO_OFTEN) => Meaning::EditedTooOften,
            (_, 160_006) => Meaning::ThreadsFull,
            (_, TAG_REQUIRED) => Meaning::TagRequired,
            (_, 50_013) => Meaning::NotPermitted,
            (_, 50_007) => Meaning::DirectClosed,
            (_, 40_003) => Meaning::OpeningTooFast,
            (_, 10_062 | 10_015 | 40_060) => Meaning::AnswerTooLate,
            _ => Meaning::Other,
        }
    }

    /// How long the platform surely wants to be left alone; it does not say through the library, which waits itself
    /// where it can.
    pub(super) const fn asks_to_wait(&self) -> Option<Duration> {
        match self {
            Self::TooMany => Some(Duration::from_secs(5)),
            _ => None,
        }
    }

    /// Whether the same request may work a little later.
    pub(super) const fn passes(&self) -> bool {
        matches!(self, Self::TooMany | Self::Unclear(_)) || matches!(self.meaning(), Meaning::OpeningTooFast)
    }
}

fn kind_of(error: &reqwest::Error) -> &'static str {
    if error.is_timeout() {
        "no answer in time"
    } else if error.is_connect() {
        "no connection"
    } else {
        "the connection broke"
    }
}

fn kind_of_library(error: &serenity::Error) -> String {
    match error {
        serenity::Error::Json(error) => format!("an answer that cannot be read: {error}"),
        serenity::Error::Http(_) => "the request could not be made".to_owned(),
        _ => "the library failed".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_treated_by_name() {
        let refused = |status, code| Trouble::Refused { status, code, message: String::new() };
        for (status, code, meaning) in [
            (401, 0, Meaning::WrongToken),
            (404, 10_003, Meaning::PlaceGone),
            (403, 50_001, Meaning::PlaceGone),
            (403, 50_007, Meaning::DirectClosed),
            (403, 50_013, Meaning::NotPermitted),
            (400, 50_083, Meaning::ThreadArchived),
            (403, 160_005, Meaning::PlaceLocked),
            (400, 160_006, Meaning::ThreadsFull),
            (404, 10_008, Meaning::MessageGone),
            (429, 30_046, Meaning::EditedTooOften),
            (400, 40_067, Meaning::TagRequired),
            (404, 10_062, Meaning::AnswerTooLate),
            (400, 40_060, Meaning::AnswerTooLate),
            (400, 50_035, Meaning::Other),
        ] {
            assert_eq!(refused(status, code).meaning(), meaning, "{code}");
            assert!(!refused(status, code).passes(), "{code}");
        }
        assert!(refused(400, 40_003).passes());
        assert!(Trouble::TooMany.passes());
    }
}
