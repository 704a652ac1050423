//! What a front end hands over.

use crate::command::FileSent;
use crate::command::line;
use crate::command::pictures::Files;
use crate::record::{BatchId, ChatId};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// Something a member said.
#[derive(Debug, Clone)]
pub struct Incoming {
    /// The front end's own id for it, so that a repeated delivery is kept once.
    pub id: Option<String>,
    /// Who said it.
    pub sender: Sender,
    /// What they said.
    pub said: Said,
    /// The moment it is judged at.
    pub at: DateTime<Utc>,
    /// The question it would raise is already answered with yes.
    pub confirmed: bool,
    /// The batch whose thread it was written in, or that the message it replies to was about.
    pub place: Option<BatchId>,
    /// The channel of a chat platform it was said in; `None` in a shell.
    pub channel: Option<ChatId>,
    /// The file that came with it, where its command takes one.
    pub file: Option<Arc<FileSent>>,
    /// Whether it was said to the assistant.
    pub attention: Attention,
}

/// Who speaks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Sender {
    /// A name in a group of a name: a shell.
    Named {
        /// The group.
        group: String,
        /// The member.
        member: String,
    },
    /// Somebody on a chat platform.
    Chat(ChatSender),
}

/// Somebody on a chat platform.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChatSender {
    /// Their number.
    pub user: ChatId,
    /// Their name as shown.
    pub name: String,
    /// The group they speak in, with its name; `None` in a direct conversation.
    pub group: Option<(ChatId, String)>,
    /// Whether they look after that group on the platform; `None` where it does not say.
    pub manages: Option<bool>,
    /// What language the platform says it is in for them, e.g. `de` or `en-US`; `None` where it does not say, as with
    /// every message.
    pub locale: Option<String>,
    /// Whether they have the platform's right to manage messages there.
    pub moderates: bool,
}

/// What was said.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Said {
    /// A line: a command or a reading.
    Line(String),
    /// The same with files, as a message brings them.
    Sent {
        /// The line; may be empty.
        text: String,
        /// What came with it.
        files: Files,
    },
    /// A command with its options, as a form gives them.
    Options {
        /// First word.
        root: String,
        /// Second word; empty for a root without verbs.
        verb: String,
        /// Names and values.
        options: Vec<(String, String)>,
    },
    /// What a message says after its writer edited it; the entries that were kept of it are put right by it.
    Edited {
        /// The id the message was handed in under.
        of: String,
        /// When the message was written: what it says without a time is of then.
        written: DateTime<Utc>,
        /// Its words by now.
        text: String,
        /// What is attached to it by now; `None` where that is not said.
        #[serde(default)]
        files: Option<Files>,
    },
    /// Messages that were deleted; what becomes of the entries that were kept of them is asked. A yes keeps them.
    Deleted {
        /// The ids the messages were handed in under.
        of: Vec<String>,
    },
}

/// Whether something was said to the assistant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Attention {
    /// It was.
    Addressed,
    /// It was said in a batch's own thread: what is no reading and no command is between people.
    InThread,
    /// It was said where the assistant listens: only what is nothing but a reading or a command is for it.
    Overheard,
}

impl Said {
    /// A line, with the files that came with it.
    pub fn of(text: String, files: Files) -> Self {
        if files.is_empty() { Self::Line(text) } else { Self::Sent { text, files } }
    }

    /// The files that came with what was said.
    pub fn files(&self) -> Files {
        match self {
            Self::Sent { files, .. } => files.clone(),
            _ => Files::default(),
        }
    }
}

impl Incoming {
    /// A line of somebody with a name, said to the assistant.
    pub fn line(group: &str, member: &str, text: &str, at: DateTime<Utc>) -> Self {
        let sender = Sender::Named { group: group.to_owned(), member: member.to_owned() };
        Self {
            id: None,
            sender,
            said: Said::Line(text.to_owned()),
            at,
            confirmed: false,
            place: None,
            channel: None,
            file: None,
            attention: Attention::Addressed,
        }
    }

    /// The id of what was said in a message, a command or a form: each was said once, so of several answers to what it
    /// raised one is kept. A button stays and may be meant anew.
    pub fn occasion(&self) -> Option<String> {
        self.id.clone().filter(|id| id.starts_with(['m', 'u', 'i', 'f']))
    }

    /// The file it names, where its command takes one.
    pub fn file_named(&self) -> Option<String> {
        line::file_of(&self.typed())
    }

    /// Whether its command takes a file.
    pub fn takes_file(&self) -> bool {
        line::takes_file(&self.typed())
    }

    /// The line as typed, or as it could have been.
    pub fn typed(&self) -> String {
        match &self.said {
            Said::Line(text) | Said::Sent { text, .. } | Said::Edited { text, .. } => text.trim().to_owned(),
            Said::Deleted { .. } => String::new(),
            Said::Options { root, verb, options } => line::of_options(root, verb, options)
                .map_or_else(|_| format!("{root} {verb}").trim().to_owned(), |line| line.typed()),
        }
    }
}
