//! What a front end gets back.

use crate::command::{Code, UserError};
use crate::reply::{Question, Reply, json, plain, say};
use serde_json::Value;

/// An error in the member's words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeskError {
    /// Stable word for scripts.
    pub code: &'static str,
    /// One sentence.
    pub message: String,
    /// A line that would work; empty where none can mend it.
    pub example: String,
    /// Whether it is our fault.
    pub ours: bool,
}

impl DeskError {
    pub(super) fn of_member(error: &UserError) -> Self {
        Self {
            code: error.code.word(),
            message: error.sentence.clone(),
            example: error.example.clone(),
            ours: false,
        }
    }

    pub(super) fn not_saved() -> Self {
        Self {
            code: Code::NotSaved.word(),
            message: say("error.not_saved", &[]),
            example: String::new(),
            ours: true,
        }
    }

    pub(super) fn ours(message: &str) -> Self {
        Self { code: "our_fault", message: message.to_owned(), example: String::new(), ours: true }
    }
}

/// What a front end lays out.
#[derive(Debug, Clone)]
pub enum Answered {
    /// An answer; what it says was kept is kept.
    Reply(Box<Reply>),
    /// A question; nothing was kept.
    Question(Question),
    /// An error; nothing was kept.
    Error(DeskError),
    /// It was said between people: there is nothing to answer.
    NotForUs,
}

impl Answered {
    /// As plain text.
    pub fn text(&self) -> String {
        match self {
            Self::Reply(reply) => plain::text(reply),
            Self::Question(question) => plain::question(question),
            Self::NotForUs => String::new(),
            Self::Error(error) if error.example.is_empty() => error.message.clone(),
            Self::Error(error) => {
                format!("{}\n{}", error.message, say("layout.example", &[("example", &error.example)]))
            }
        }
    }

    /// As the door's JSON object.
    pub fn json(&self) -> Value {
        match self {
            Self::Reply(reply) => json::reply(reply),
            Self::Question(question) => json::question(question),
            Self::Error(error) => json::error(error.code, &error.message, &error.example),
            Self::NotForUs => Value::Null,
        }
    }

    /// The exit status of the door: 0 answered, 2 the member must mend the line, 3 a question, 1 our fault.
    pub const fn exit_status(&self) -> u8 {
        match self {
            Self::Reply(_) | Self::NotForUs => 0,
            Self::Question(_) => 3,
            Self::Error(error) if error.ours => 1,
            Self::Error(_) => 2,
        }
    }
}
