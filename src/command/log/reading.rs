//! `/log reading`, and every line that is no command: readings, in the member's own words.

mod doubts;
mod echo;
pub(super) mod resolve;
mod weights;

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, UserError, code_of_intake};
use crate::command::intake::{self, Doubt, Item, Understood};
use crate::command::journal::{self, Journal};
use crate::command::line::shown;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::command::status::Look;
use crate::record::{BatchStage, Event, Happening, Subject};
use crate::reply::{Question, say};
use resolve::{Resolved, Setting};

/// `/log reading`
pub static SPEC: Spec = Spec {
    root: "log",
    verb: "reading",
    aliases: &["readings"],
    summary: "keep readings; the same words work without any command",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        needed("text", OptionKind::Rest, "the readings, to the end of the line"),
    ],
    examples: [
        "log reading batch:B1 text:pH 5.12 at 21 C, 13 C 80%",
        "log reading text:#1 640 g, #2 655 g yesterday 8pm",
    ],
    private: false,
};

/// Readings to be kept.
#[derive(Debug, Clone)]
pub struct LogReading {
    batch: Option<String>,
    text: String,
    /// A line without the command: it may be no reading at all.
    free: bool,
}

/// A line that is no command, taken for a reading.
pub fn from_free_text(text: &str, _asking: &Asking) -> Result<LogReading, UserError> {
    if text.trim().is_empty() {
        return Err(UserError::new(Code::UnknownCommand, say("error.empty_line", &[]), "help"));
    }
    Ok(LogReading { batch: None, text: text.trim().to_owned(), free: true })
}

/// "chamber set to 24 C 88%" begins with a command's words, but has none of its options and says a reading.
pub fn begins_like_a_command(text: &str, asking: &Asking) -> bool {
    let first = text.trim_start().split(char::is_whitespace).next().unwrap_or_default();
    first.eq_ignore_ascii_case("chamber")
        && !text.split_whitespace().any(is_option)
        && resolve::read_alone(text, asking).is_some_and(|understood| !understood.items.is_empty())
}

/// `name:` or `name:value`.
fn is_option(word: &str) -> bool {
    let name = word.split_once(':').map_or("", |(name, _)| name);
    !name.is_empty() && name.chars().all(|letter| letter.is_ascii_alphabetic() || letter == '-')
}

impl LogReading {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        Ok(Self {
            batch: args.text("batch").map(str::to_owned),
            text: args.needed("text")?.to_owned(),
            free: false,
        })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let setting = match resolve::setting(services, asking, self.batch.as_deref(), &self.text).await? {
            Resolved::Setting(setting) => *setting,
            Resolved::Ask(question) => return Ok(Done::question(question)),
        };
        let context = setting.context(asking);
        let understood = intake::read(&self.text, &context).map_err(|error| Self::unreadable(&error))?;
        let Some(understood) = understood.filter(|understood| !understood.items.is_empty()) else {
            return Err(self.not_a_reading().into());
        };
        setting.check(&understood, asking)?;
        impossible(&understood, &setting, asking)?;
        doubts::rejected_meter(&understood.items)?;
        if let Some(question) = doubt(&understood, &setting, asking).filter(|_| !asking.confirmed) {
            return Ok(Done::question(question));
        }
        keep(services, asking, setting, &understood).await
    }

    fn unreadable(error: &intake::IntakeError) -> UserError {
        let code = code_of_intake(error);
        UserError::new(code, say("log.reading.unreadable", &[("why", &error.to_string())]), error.example())
    }

    fn not_a_reading(&self) -> UserError {
        let key = if self.free { "error.unknown_command" } else { "log.reading.nothing" };
        UserError::new(
            Code::UnknownCommand,
            say(key, &[("typed", &shown(&self.text))]),
            "pH 5.12 at 21 C, 812 g, 13 C 80%",
        )
    }
}

/// What must be asked before anything is kept: words that were not understood, values that are hard to believe.
fn doubt(understood: &Understood, setting: &Setting, asking: &Asking) -> Option<Question> {
    let context = setting.context(asking);
    let doubts: Vec<String> =
        hard_to_believe(understood, &context).map(|doubt| doubts::sentence(&doubt, asking)).collect();
    let (code, text) = if !doubts.is_empty() {
        ("confirm_value", say("log.reading.implausible", &[("doubts", &doubts.join("; "))]))
    } else if understood.is_doubtful && understood.leftover.is_empty() {
        let read = echo::items(&understood.items, setting, asking);
        ("confirm_reading", say("log.reading.as_read", &[("read", &read)]))
    } else if understood.is_doubtful {
        let read = echo::items(&understood.items, setting, asking);
        (
            "confirm_leftover",
            say(
                "log.reading.leftover",
                &[("read", &read), ("leftover", &shown(&understood.leftover.join(" ")))],
            ),
        )
    } else {
        return None;
    };
    Some(Question { code, text, example: "yes".to_owned(), choices: Vec::new(), line: String::new() })
}

/// What no "yes" can make true is refused.
fn impossible(understood: &Understood, setting: &Setting, asking: &Asking) -> Result<(), UserError> {
    let context = setting.context(asking);
    let found = hard_to_believe(understood, &context).find(|doubt| !doubt.may_be_confirmed());
    found.map_or(Ok(()), |doubt| {
        Err(UserError::new(Code::OutOfRange, doubts::sentence(&doubt, asking), doubts::example(&doubt)))
    })
}

fn hard_to_believe<'a>(
    understood: &'a Understood,
    context: &'a intake::Context<'a>,
) -> impl Iterator<Item = Doubt> + 'a {
    understood.items.iter().filter_map(move |item| intake::implausible(item, context))
}

async fn keep(services: &Services, asking: &Asking, setting: Setting, understood: &Understood) -> Outcome {
    let at = understood.at.as_ref().map_or(asking.now, |when| when.at);
    let mut journal = Journal::new(services, asking);
    let mut events = Vec::new();
    for item in &understood.items {
        let event = journal.event(setting.subject(item.whose)?, at, item.happening(setting.unsaid));
        events.push(Event { typed: item.typed.clone(), ..event });
    }
    events.extend(cased_by(&events, &setting, &journal, at));
    let stored: Vec<_> = events.iter().map(|event| journal::stored(event, &setting.chamber.name)).collect();
    for event in events {
        journal.append(event).await?;
    }
    let after = setting.batch.as_ref().and_then(|batch| journal.state_as_of_now(batch.id));
    let change = journal.finish().await?;
    let mut reply =
        echo::reply(Look { services, asking, pending: &change.events }, &setting, understood, after.as_ref())
            .await?;
    reply.stored = stored;
    reply.due = journal::dues(&change);
    Ok(Done::keeping(change, reply))
}

/// Hanging pieces is what "cased" means.
fn cased_by(
    events: &[Event],
    setting: &Setting,
    journal: &Journal<'_>,
    at: chrono::DateTime<chrono::Utc>,
) -> Option<Event> {
    let batch = setting.batch.as_ref().filter(|batch| batch.stage().0 < BatchStage::Cased)?;
    let hangs = events.iter().any(|event| matches!(event.what, Happening::PiecesHung { .. }));
    hangs.then(|| {
        journal.event(Subject::Batch(batch.id), at, Happening::StageReached { stage: BatchStage::Cased })
    })
}

/// The items of a line as the record keeps them: what a correction needs.
pub(super) fn only_item(understood: &Understood) -> Option<&Item> {
    match understood.items.as_slice() {
        [only] => Some(only),
        _ => None,
    }
}
