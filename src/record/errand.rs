//! What is still to be done on a chat platform for nobody in particular, or for somebody who was erased. Once it is done
//! nothing is kept of it.

use super::ids::ChatId;
use serde::{Deserialize, Serialize};

/// Something that is still to be done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Errand {
    /// The same for every try, at most 25 characters. While one waits, a second of the same nonce is not kept.
    pub nonce: String,
    /// What is to be done.
    pub task: Task,
}

/// What is to be done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Task {
    /// A message to everybody who reads in a place.
    Post {
        /// Where it is posted.
        place: ChatId,
        /// The message as the front end wrote it down.
        body: String,
    },
    /// The thread of a batch that was erased: its card is made empty, its name neutral.
    Empty {
        /// The thread.
        place: ChatId,
        /// The card in it, where it is known which message that is.
        card: Option<ChatId>,
        /// Tag of the language that the batch's owner was spoken to in; `None`: none was said.
        language: Option<String>,
    },
}
