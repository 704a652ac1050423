//! A yes or a no that is typed answers the question its writer was asked last, in the channel where it was asked.

use super::Desk;
use super::answer::{Answered, DeskError};
use super::incoming::{Attention, Incoming, Said, Sender};
use crate::command::{Code, UserError};
use crate::record::ChatId;
use crate::reply::{Question, Reply, say};
use chrono::{DateTime, TimeDelta, Utc};
use std::collections::HashMap;
use std::sync::{MutexGuard, PoisonError};

/// Words that say yes, in the languages that are spoken.
const YES: [&str; 4] = ["yes", "save", "ja", "speichern"];
/// Words that say no.
const NO: [&str; 4] = ["no", "discard", "nein", "verwerfen"];

/// For how long a yes is the answer to a question. Later it may be forgotten what was asked; under the question there are
/// still its buttons.
const OPEN: TimeDelta = TimeDelta::hours(1);
/// For how long a yes that nobody addressed to the assistant is still the answer to its question. Later it is more
/// likely said to somebody else.
const OVERHEARD: TimeDelta = TimeDelta::minutes(10);

/// The last question that each speaker was asked and that a yes would answer.
#[derive(Debug, Default)]
pub(super) struct OpenQuestions {
    by_speaker: HashMap<Speaker, Open>,
}

/// Who speaks, however they are called by now.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) enum Speaker {
    Named(String, String),
    Chat(ChatId),
}

#[derive(Debug)]
struct Open {
    raised_by: Incoming,
    asked_at: DateTime<Utc>,
    code: &'static str,
}

/// What a line is to the question that is open.
#[derive(Debug)]
enum Typed {
    /// It says yes to what was said then.
    Yes(Box<Incoming>),
    /// It says no to a question of this code.
    No(&'static str),
    /// It says yes or no, and nothing was asked.
    NothingAsked,
    /// It is something else.
    Else,
}

impl OpenQuestions {
    /// What a line is to the question that is open. It stays open until its answer is kept.
    fn typed(&self, incoming: &Incoming) -> Typed {
        let Said::Line(line) = &incoming.said else { return Typed::Else };
        let line = line.trim().trim_end_matches(['.', '!']).to_lowercase();
        let is_yes = YES.contains(&&*line);
        if !is_yes && !NO.contains(&&*line) {
            return Typed::Else;
        }
        let speaker = Speaker::of(&incoming.sender);
        match self.by_speaker.get(&speaker).filter(|open| open.is_answered_by(incoming)) {
            Some(open) if is_yes => Typed::Yes(Box::new(open.confirmed(incoming))),
            Some(open) => Typed::No(open.code),
            None => Typed::NothingAsked,
        }
    }

    /// Somebody was asked something.
    fn asked(&mut self, raised_by: &Incoming, question: &Question, asked_at: DateTime<Utc>) {
        // What nobody may answer any more would keep its words, and a file with them.
        self.by_speaker.retain(|_, open| asked_at - open.asked_at <= OPEN);
        let speaker = Speaker::of(&raised_by.sender);
        if question.takes_a_yes() {
            let open = Open { raised_by: raised_by.clone(), asked_at, code: question.code };
            self.by_speaker.insert(speaker, open);
        } else {
            self.by_speaker.remove(&speaker);
        }
    }

    /// Somebody spoke of something else since, or pressed a button of the question.
    fn is_over(&mut self, sender: &Sender) {
        self.by_speaker.remove(&Speaker::of(sender));
    }
}

impl Open {
    fn is_answered_by(&self, incoming: &Incoming) -> bool {
        let is_addressed = incoming.attention == Attention::Addressed;
        let within = if is_addressed { OPEN } else { OVERHEARD };
        self.raised_by.channel == incoming.channel && incoming.at - self.asked_at <= within
    }

    /// What was said, with its own time, and kept under its own id: an edit finds it, and its buttons keep nothing
    /// again.
    fn confirmed(&self, answer: &Incoming) -> Incoming {
        Incoming {
            id: self.raised_by.occasion().or_else(|| answer.id.clone()),
            sender: answer.sender.clone(),
            confirmed: true,
            attention: Attention::Addressed,
            ..self.raised_by.clone()
        }
    }
}

impl Speaker {
    pub(super) fn of(sender: &Sender) -> Self {
        match sender {
            Sender::Named { group, member } => Self::Named(group.clone(), member.clone()),
            Sender::Chat(sender) => Self::Chat(sender.user),
        }
    }
}

impl Desk {
    /// What a typed yes or no is to the question that is open; anything else by itself.
    pub(super) async fn replied(&self, incoming: &Incoming) -> Answered {
        let typed = self.open_questions().typed(incoming);
        let (answered, meant) = match &typed {
            Typed::Yes(meant) => (self.answered(meant).await, &**meant),
            Typed::No(code) => {
                self.question_is_over(&incoming.sender);
                let key = if *code == "confirm_share" { "desk.stays_private" } else { "desk.left" };
                return Answered::Reply(Box::new(Reply::new("left", say(key, &[]))));
            }
            Typed::NothingAsked if incoming.attention == Attention::Addressed => {
                let example = "batch list".to_owned();
                let error = UserError::new(Code::NoSuchThing, say("desk.nothing_asked", &[]), example);
                return Answered::Error(DeskError::of_member(&error));
            }
            Typed::NothingAsked => return Answered::NotForUs,
            Typed::Else => (self.answered(incoming).await, incoming),
        };
        match &answered {
            Answered::Question(question) => self.open_questions().asked(meant, question, incoming.at),
            // It could not be kept, and may be said again.
            Answered::Error(error) if error.ours => {}
            Answered::Reply(_) | Answered::Error(_) => self.question_is_over(&incoming.sender),
            Answered::NotForUs => {}
        }
        answered
    }

    /// Somebody answered a question otherwise than by a line.
    pub fn question_is_over(&self, sender: &Sender) {
        self.open_questions().is_over(sender);
    }

    fn open_questions(&self) -> MutexGuard<'_, OpenQuestions> {
        self.open.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::desk::ChatSender;

    fn at(minute: i64) -> DateTime<Utc> {
        DateTime::from_timestamp(1_790_000_000 + minute * 60, 0).unwrap()
    }

    fn said(text: &str, minute: i64, channel: i64, attention: Attention) -> Incoming {
        let sender = ChatSender {
            user: ChatId(7),
            name: "Anna".to_owned(),
            group: None,
            manages: None,
            locale: None,
            moderates: false,
        };
        Incoming {
            id: Some(format!("m{minute}")),
            sender: Sender::Chat(sender),
            channel: Some(ChatId(channel)),
            file: None,
            attention,
            ..Incoming::line("", "", text, at(minute))
        }
    }

    fn question() -> Question {
        Question {
            code: "confirm_value",
            text: "Right?".to_owned(),
            example: "yes".to_owned(),
            choices: Vec::new(),
            answers: Vec::new(),
            line: String::new(),
        }
    }

    fn asked(attention: Attention) -> OpenQuestions {
        let mut open = OpenQuestions::default();
        open.asked(&said("24 C in the core", 0, 1, attention), &question(), at(0));
        open
    }

    #[test]
    fn a_yes_says_what_was_said_with_its_own_time_and_id() {
        for yes in ["yes", " Yes! ", "save", "JA", "Speichern"] {
            let typed = asked(Attention::InThread).typed(&said(yes, 9, 1, Attention::InThread));
            let Typed::Yes(meant) = typed else { panic!("{yes}: {typed:?}") };
            assert_eq!((meant.at, meant.id.as_deref(), meant.confirmed), (at(0), Some("m0"), true));
            assert_eq!(meant.typed(), "24 C in the core");
        }
    }

    #[test]
    fn a_no_leaves_it() {
        let open = asked(Attention::Addressed);
        assert!(matches!(open.typed(&said("no", 1, 1, Attention::Addressed)), Typed::No("confirm_value")));
    }

    #[test]
    fn what_is_said_elsewhere_or_much_later_between_people_is_no_answer() {
        let answers = |text, minute, channel, attention| {
            asked(attention).typed(&said(text, minute, channel, attention))
        };
        assert!(matches!(answers("yes", 1, 2, Attention::Addressed), Typed::NothingAsked));
        assert!(matches!(answers("yes", 11, 1, Attention::InThread), Typed::NothingAsked));
        assert!(matches!(answers("yes", 11, 1, Attention::Overheard), Typed::NothingAsked));
        assert!(matches!(answers("yes", 59, 1, Attention::Addressed), Typed::Yes(_)));
        assert!(matches!(answers("yes", 61, 1, Attention::Addressed), Typed::NothingAsked));
        assert!(matches!(answers("yes but look", 1, 1, Attention::Addressed), Typed::Else));
    }

    #[test]
    fn what_is_too_old_to_be_answered_is_forgotten() {
        let mut open = asked(Attention::Addressed);
        open.asked(&Incoming::line("home", "mara", "pH 9", at(60)), &question(), at(60));
        assert_eq!(open.by_speaker.len(), 2, "to the hour it may be answered");
        open.asked(&Incoming::line("home", "jonas", "pH 9", at(61)), &question(), at(61));
        assert_eq!(open.by_speaker.len(), 2);
    }

    #[test]
    fn a_question_is_over_when_something_else_was_said() {
        let mut open = asked(Attention::Addressed);
        open.is_over(&said("", 0, 1, Attention::Addressed).sender);
        assert!(matches!(open.typed(&said("yes", 1, 1, Attention::Addressed)), Typed::NothingAsked));
    }
}
