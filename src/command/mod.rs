//! What a member can ask for: typed requests, how a line becomes one, and how it is carried out.
//!
//! One command is one file, `<root>/<verb>.rs`, with four parts: its `SPEC`, the typed request, how it is read, how
//! it is carried out. A command computes a [`Change`](crate::store::Change) and a reply; [`perform`] keeps the
//! change and only then lets the answer leave.

pub mod access;
pub mod appraisal;
pub mod args;
pub mod asking;
pub mod charting;
pub mod describe;
pub mod emergency;
pub mod error;
pub mod experience;
pub mod figures;
pub mod forms;
pub mod intake;
pub mod journal;
pub mod line;
pub mod lookup;
pub mod meters;
pub mod naming;
mod paper;
pub mod pictures;
pub mod restore;
pub mod sharing;
pub mod spec;
pub mod status;
pub mod suggest;
pub mod summary;
pub mod table;
pub mod tap;
pub mod time;
pub mod why;

pub mod batch;
pub mod chamber;
pub mod check;
pub mod cure;
mod cut;
pub mod dry;
pub mod ferment;
pub mod formulation;
pub mod group;
pub mod help;
pub mod log;
pub mod me;
pub mod remind;
pub mod target;

pub use args::Args;
pub use asking::{Answer, Asking, Done, FileSent, Outcome, Seen, Services};
pub use error::{Code, CommandError, UserError};

use crate::reply::{Reply, say};
use crate::store::{ReminderPlan, StoreError};
use chrono::{DateTime, Utc};
use line::Line;
use pictures::Files;

/// How often a change that met another one of the same batch is computed again. Of those that meet one is always kept,
/// so this many lines may arrive at once.
const TRIES: u32 = 32;

/// A request that was read and can be carried out.
#[derive(Debug, Clone)]
pub enum Request {
    /// `/cure …`
    Cure(cure::CureRequest),
    /// `/batch …`
    Batch(batch::BatchRequest),
    /// `/log …`
    Log(log::LogRequest),
    /// `/chamber …`
    Chamber(chamber::ChamberRequest),
    /// `/target …`
    Target(target::TargetRequest),
    /// `/check …`
    Check(check::CheckRequest),
    /// `/formulation …`
    Formulation(formulation::FormulationRequest),
    /// `/dry …`
    Dry(dry::DryRequest),
    /// `/ferment …`
    Ferment(ferment::FermentRequest),
    /// `/remind …`
    Remind(remind::RemindRequest),
    /// `/group …`
    Group(group::GroupRequest),
    /// `/me …`
    Me(me::MeRequest),
    /// `/help`
    Help(help::Help),
}

impl Request {
    /// Whether its answer says by itself how a new member sets up.
    pub const fn welcomes(&self) -> bool {
        match self {
            Self::Me(_) => true,
            Self::Help(help) => help.is_start,
            _ => false,
        }
    }
}

/// Reads a line: a command, or else a reading.
pub fn read(text: &str, asking: &Asking) -> Result<Request, UserError> {
    let files = &asking.files;
    let line = if log::reading::begins_like_a_command(text, asking) { Ok(None) } else { line::read(text) };
    let is_command = match &line {
        Ok(line) => line.is_some(),
        Err(error) => error.code != Code::UnknownCommand,
    };
    if !files.pictures.is_empty() && !is_command && log::reading::says_nothing(text, asking) {
        return Ok(Request::Log(log::LogRequest::Pictures(log::picture::LogPictures::of(text))));
    }
    if files.pictures.is_empty() && !files.is_empty() && text.trim().is_empty() {
        return Err(files.nothing_left());
    }
    match line? {
        Some(line) => read_line(&line, asking),
        None => {
            log::reading::from_free_text(text).map(|reading| Request::Log(log::LogRequest::Reading(reading)))
        }
    }
}

/// Reads a command whose options a form gave.
pub fn read_options(line: &Line, asking: &Asking) -> Result<Request, UserError> {
    read_line(line, asking)
}

/// Reads what a message says after it was edited; `of` is the id it was handed in under, `files` what is attached to it
/// by now, where that is said.
pub fn read_edited(
    of: &str,
    written: DateTime<Utc>,
    (text, files): (&str, Option<&Files>),
    asking: &Asking,
) -> Request {
    let edit = log::edit::LogEdit::read(of, written, text, asking);
    Request::Log(log::LogRequest::Edit(edit.with_files(files.cloned())))
}

/// What becomes of the entries of deleted messages; `of` are the ids they were handed in under.
pub fn read_deleted(of: &[String]) -> Request {
    Request::Log(log::LogRequest::Deleted(log::deleted::LogDeleted::of(of)))
}

/// Whether a line that nobody addressed to the assistant is meant for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meant {
    /// A command, or readings and no word beside them.
    Plainly,
    /// A command with a mistake in it, or words among which there may be a reading.
    Perhaps,
    /// It only begins like a command: "help yourselves", "batch is lovely".
    No,
}

/// Whom a line is meant for, as far as it shows; `asking` is missing for somebody who never spoke to the assistant and
/// so has no batch that a reading could belong to.
pub fn meant(text: &str, asking: Option<&Asking>) -> Meant {
    if asking.is_some_and(|asking| log::reading::is_nothing_but_readings(text, asking)) {
        return Meant::Plainly;
    }
    match line::read(text) {
        Ok(Some(line)) if line.spec.root == help::SPEC.root && !help::Help::knows(&line) => Meant::No,
        Ok(Some(_)) => Meant::Plainly,
        Err(error) if error.code == Code::UnknownCommand => Meant::No,
        Ok(None) | Err(_) => Meant::Perhaps,
    }
}

fn read_line(line: &Line, asking: &Asking) -> Result<Request, UserError> {
    let args = Args::new(line, asking);
    match line.spec.root {
        "cure" => cure::read(line.spec.verb, args).map(Request::Cure),
        "batch" => batch::read(line.spec.verb, args).map(Request::Batch),
        "log" => log::read(line.spec.verb, args).map(Request::Log),
        "chamber" => chamber::read(line.spec.verb, args).map(Request::Chamber),
        "target" => target::read(line.spec.verb, args).map(Request::Target),
        "check" => check::read(line.spec.verb, args).map(Request::Check),
        "formulation" => formulation::read(line.spec.verb, args).map(Request::Formulation),
        "dry" => dry::read(line.spec.verb, args).map(Request::Dry),
        "ferment" => ferment::read(line.spec.verb, args).map(Request::Ferment),
        "remind" => remind::read(line.spec.verb, args).map(Request::Remind),
        "group" => group::read(line.spec.verb, args).map(Request::Group),
        "me" => me::read(line.spec.verb, args).map(Request::Me),
        _ => help::Help::read(args).map(Request::Help),
    }
}

/// What is to be kept where a member is spoken to in another language from now on: the words of what they wait to be
/// reminded of.
pub async fn in_another_language(
    services: &Services,
    asking: &Asking,
) -> Result<Vec<ReminderPlan>, CommandError> {
    me::plans::worded_anew(services, asking).await
}

/// Carries a request out: computes, keeps, answers. What met another change of the same batch is computed again.
pub async fn perform(
    request: &Request,
    services: &Services,
    asking: &Asking,
) -> Result<Answer, CommandError> {
    for _ in 0..TRIES {
        let asking = &Asking { seen: Seen::default(), ..asking.clone() };
        let mut done = compute(request, services, asking).await?;
        name_batch(&mut done);
        pictures::tell(&mut done, services, asking).await?;
        let mut change = done.change;
        if change.is_empty() {
            return Ok(done.answer);
        }
        change.request.clone_from(&asking.request);
        change.requested_by = Some(asking.member.id);
        match services.store.commit(change).await {
            Ok(kept) if kept.duplicate => return kept_before(done.answer, services, asking).await,
            Ok(_) => return Ok(done.answer),
            Err(StoreError::Conflict { .. }) => {}
            Err(StoreError::NameTaken { what, name }) => return Err(name_taken(what, &name).into()),
            Err(error) => return Err(error.into()),
        }
    }
    Err(CommandError::Internal(say("error.too_many_conflicts", &[])))
}

/// An answer is about the batch it wrote in, where it wrote in one and does not say otherwise.
fn name_batch(done: &mut Done) {
    let mut written = done.change.events.iter().filter_map(|event| event.subject.batch());
    let first = written.next();
    if let (Answer::Reply(reply), Some(batch)) = (&mut done.answer, first)
        && written.all(|other| other == batch)
    {
        reply.batch.get_or_insert(batch);
    }
}

/// A request that was delivered twice is kept once: the second answer names the entries of the first.
async fn kept_before(answer: Answer, services: &Services, asking: &Asking) -> Result<Answer, CommandError> {
    let (Answer::Reply(computed), Some(request)) = (&answer, &asking.request) else { return Ok(answer) };
    let events = services.store.events_of_request(request).await?;
    let ids: Vec<i64> = events.iter().map(|event| event.id.0).collect();
    let headline = match ids.as_slice() {
        [] => say("log.kept_before_no_entry", &[]),
        ids => say("log.kept_before", &[("ids", &log::ids_shown(ids))]),
    };
    let mut reply = Reply::new(computed.command, headline);
    for event in &events {
        let name = lookup::name_of(services, event.subject).await?;
        reply.batch = reply.batch.or(event.subject.batch());
        let words =
            if reply.command == log::reading::COMMAND { journal::words(event) } else { String::new() };
        reply.stored.push(journal::stored_as(event, &name, words));
    }
    Ok(Answer::Reply(Box::new(reply)))
}

fn name_taken(what: &str, name: &str) -> UserError {
    let sentence = say("error.name_taken", &[("what", what), ("name", name)]);
    UserError::new(Code::DoesNotFit, sentence, format!("{what} list"))
}

async fn compute(request: &Request, services: &Services, asking: &Asking) -> Outcome {
    match request {
        Request::Cure(request) => request.perform(services, asking).await,
        Request::Batch(request) => request.perform(services, asking).await,
        Request::Log(request) => request.perform(services, asking).await,
        Request::Chamber(request) => request.perform(services, asking).await,
        Request::Target(request) => request.perform(services, asking).await,
        Request::Check(request) => request.perform(services, asking).await,
        Request::Formulation(request) => request.perform(services, asking).await,
        Request::Dry(request) => request.perform(services, asking).await,
        Request::Ferment(request) => request.perform(services, asking).await,
        Request::Remind(request) => request.perform(services, asking).await,
        Request::Group(request) => request.perform(services, asking).await,
        Request::Me(request) => request.perform(services, asking).await,
        Request::Help(request) => request.perform(services, asking).await,
    }
}

/// A length of time as typed, in hours.
pub fn hours(text: &str) -> Option<f64> {
    crate::quantity::parse::duration(text).ok().map(crate::quantity::Hours::value)
}
