//! Why a text is not a time.

use super::Why;
use crate::command::time::TimeError;
use crate::reply::say;

impl Why for TimeError {
    fn why(&self) -> String {
        let (key, text) = match self {
            Self::Empty => return say("why.time.empty", &[]),
            Self::Unreadable { text } => ("why.time.unreadable", text),
            Self::NoSuchTime { text } => ("why.time.no_such_time", text),
            Self::DayAmbiguous { text } => ("why.time.day_ambiguous", text),
            Self::InFuture { text } => ("why.time.in_future", text),
            Self::InPast { text } => ("why.time.in_past", text),
            Self::TooFar { text } => ("why.time.too_far", text),
            Self::NotAnInterval { text } => ("why.time.not_an_interval", text),
        };
        say(key, &[("text", text)])
    }
}
