//! `/log reading`, and every line that is no command: readings, in the member's own words.

pub(super) mod clock;
mod deviation;
pub(super) mod doubts;
pub(super) mod echo;
mod fields;
pub(super) mod instruments;
pub(super) mod setting;
pub(super) mod weights;
pub(super) mod whom;

pub(in crate::command::log) use doubts::check as doubt;

use crate::command::Args;
use crate::command::asking::{Answer, Asking, Done, Outcome, Services};
use crate::command::batch::note::BatchNote;
use crate::command::error::{Code, CommandError, UserError};
use crate::command::intake::{self, IntakeError, Item, Understood};
use crate::command::journal::{self, Journal};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::status::Look;
use crate::record::{BatchStage, Event, Happening, Meter, Subject};
use crate::reply::say;
use setting::Setting;
use whom::{Resolved, Whom};

/// `/log reading`
pub static SPEC: Spec = Spec {
    root: "log",
    verb: "reading",
    aliases: &["readings"],
    summary: "keep readings; the same words work without any command",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        maybe("ph", OptionKind::Text, "a pH, with the sample's temperature"),
        maybe("weights", OptionKind::Text, "weights, in the order the pieces hang"),
        maybe("air", OptionKind::Text, "temperature and humidity of the chamber"),
        maybe("remark", OptionKind::Text, "what you see, or a note that only you see"),
        maybe("text", OptionKind::Rest, "readings in your own words, to the end of the line"),
    ],
    examples: [
        "log reading batch:B1 text:pH 5.12 at 21 C, 13 C 80%",
        "log reading batch:B1 ph:5.12 at 21 C air:13 C 80% remark:moved to the back",
    ],
    private: false,
};

/// Readings to be kept.
#[derive(Debug, Clone)]
pub struct LogReading {
    batch: Option<String>,
    text: String,
    remark: Option<String>,
}

/// The command's name.
pub(in crate::command) const COMMAND: &str = "log reading";

/// A line that is no command, taken for a reading.
pub fn from_free_text(text: &str) -> Result<LogReading, UserError> {
    if text.trim().is_empty() {
        return Err(UserError::new(Code::UnknownCommand, say("error.empty_line", &[]), "help"));
    }
    Ok(LogReading { batch: None, text: in_one_line(text), remark: None })
}

/// Several lines of one message as parts of one.
fn in_one_line(text: &str) -> String {
    let lines = text.split(['\n', '\r']).map(str::trim).filter(|line| !line.is_empty());
    lines.collect::<Vec<_>>().join("; ")
}

/// "chamber set to 24 C 88%" and "log pH 5.4" begin with a command's words, but have none of its options and say a
/// reading.
pub fn begins_like_a_command(text: &str, asking: &Asking) -> bool {
    let first = text.trim_start().split(char::is_whitespace).next().unwrap_or_default();
    ["chamber", "log"].iter().any(|root| first.eq_ignore_ascii_case(root))
        && !text.split_whitespace().any(is_option)
        && whom::read_alone(text, asking).is_some_and(|understood| !understood.items.is_empty())
}

/// Whether every word of a line is part of a reading.
pub fn is_nothing_but_readings(text: &str, asking: &Asking) -> bool {
    whom::read_alone(text, asking)
        .is_some_and(|understood| !understood.items.is_empty() && understood.leftover.is_empty())
}

/// Whether there is no reading in a line at all.
pub fn says_nothing(text: &str, asking: &Asking) -> bool {
    whom::has_no_reading(&in_one_line(text), asking)
}

/// `name:` or `name:value`.
fn is_option(word: &str) -> bool {
    let name = word.split_once(':').map_or("", |(name, _)| name);
    !name.is_empty() && name.chars().all(|letter| letter.is_ascii_alphabetic() || letter == '-')
}

impl LogReading {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let batch = args.text("batch").map(str::to_owned);
        let (text, remark) = fields::read(args)?;
        Ok(Self { batch, text, remark })
    }

    /// The batch that was named beside the text, and the text.
    pub(super) fn said(&self) -> (Option<&str>, &str) {
        (self.batch.as_deref(), &self.text)
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        if let (true, Some(remark)) = (self.text.is_empty(), &self.remark) {
            return BatchNote::of(self.batch.clone(), asking.now, remark).perform(services, asking).await;
        }
        let (text, meter) = instruments::take_meter(services, asking, &self.text).await?;
        let reading = Self { text, ..self.clone() };
        let mut done = reading.kept(services, asking, meter).await?;
        if let (Answer::Question(question), Some(remark)) = (&mut done.answer, &self.remark) {
            fields::remember(question, remark);
        }
        Ok(done)
    }

    async fn kept(&self, services: &Services, asking: &Asking, meter: Option<Meter>) -> Outcome {
        let whom =
            match whom::whom(services, asking, self.batch.as_deref(), &self.text, self.remark.is_some())
                .await?
            {
                Resolved::Known(whom) => whom,
                Resolved::Ask(question) => return Ok(Done::question(question)),
            };
        let (whom, mut understood) = self.understood(services, whom, asking).await?;
        let at = understood.at.as_ref().map_or(asking.now, |when| when.at);
        let is_named = meter.is_some();
        instruments::lean(services, asking, &mut understood, meter, at).await?;
        let setting = match setting::setting(services, asking, &whom, &understood, &self.text).await? {
            Resolved::Known(setting) => setting,
            Resolved::Ask(question) => return Ok(Done::question(question)),
        };
        setting.check(&understood, asking)?;
        if let Some(question) = doubt(&understood, &whom, &setting, asking)? {
            return Ok(Done::question(question));
        }
        let said = Said { understood: &understood, remark: self.remark.as_deref() };
        keep(services, asking, setting, said, is_named).await
    }

    /// Reads the line against the batch as it was at the line's own time.
    async fn understood(
        &self,
        services: &Services,
        whom: Whom,
        asking: &Asking,
    ) -> Result<(Whom, Understood), CommandError> {
        let mut read = intake::read(&self.text, &whom.context(asking));
        let said_at = match &read {
            Ok(understood) => understood.as_ref().and_then(|understood| understood.at.clone()),
            // A piece that is out by now may have hung at that time.
            Err(_) => intake::read(&self.text, &whom.with_all().context(asking))
                .ok()
                .flatten()
                .and_then(|understood| understood.at),
        };
        let whom = match said_at {
            Some(when) => whom.at_time(services, when.at).await?,
            None => whom,
        };
        if whom.is_past() {
            read = intake::read(&self.text, &whom.context(asking));
        }
        let understood = read.map_err(|error| UserError {
            example: self.with_piece(&error, &whom).unwrap_or_else(|| error.example()),
            ..whom::unreadable(&error)
        })?;
        let understood = understood.filter(|understood| !understood.items.is_empty());
        understood.map(|understood| (whom, understood)).ok_or_else(|| whom::unknown(&self.text).into())
    }

    /// The line again with a piece, where that is what is missing.
    fn with_piece(&self, error: &IntakeError, whom: &Whom) -> Option<String> {
        let piece = whom.first_piece()?;
        matches!(error, IntakeError::WhichPiece { .. }).then(|| format!("{piece} {}", self.text))
    }
}

/// What was read, and the remark beside it.
#[derive(Clone, Copy)]
struct Said<'a> {
    understood: &'a Understood,
    remark: Option<&'a str>,
}

async fn keep(
    services: &Services,
    asking: &Asking,
    setting: Setting,
    said: Said<'_>,
    names_meter: bool,
) -> Outcome {
    let understood = said.understood;
    let at = understood.at.as_ref().map_or(asking.now, |when| when.at);
    let mut journal = Journal::new(services, asking);
    let mut events = Vec::new();
    for item in &understood.items {
        let event = journal.event(setting.subject(item.whose)?, at, item.happening(setting.unsaid));
        events.push(Event { typed: item.typed.clone(), ..event });
    }
    events.extend(cased_by(&events, &setting, &journal, at));
    events.extend(fields::noted(said.remark, &setting, &journal, at)?);
    let name = &setting.chamber.name;
    let stored: Vec<_> =
        events.iter().map(|event| journal::stored_as(event, name, journal::words(event))).collect();
    for event in events {
        journal.append(event).await?;
    }
    let after = setting.batch.as_ref().and_then(|batch| journal.state_as_of_now(batch.id));
    let change = journal.finish().await?;
    let mut reply =
        echo::reply(Look { services, asking, pending: &change.events }, &setting, understood, after.as_ref())
            .await?;
    if !names_meter {
        instruments::say_which_meter(&mut reply, services, asking, understood).await?;
    }
    reply.lines.extend(said.remark.map(|text| say("log.reading.remark", &[("text", text)])));
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
