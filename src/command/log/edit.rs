//! A message that was kept was edited: its entries are put right as `/log change` does, and the old values stay in the
//! history.

mod kept;

use super::change::{Corrected, corrected_subject, shown_change};
use super::picture::Altered;
use super::reading::clock::{self, About};
use super::reading::setting::{Setting, after_start, kept_with, place_meant};
use super::reading::whom::{Whom, unreadable};
use super::reading::{LogReading, doubt, echo, instruments};
use super::{LogRequest, own};
use crate::command::Request;
use crate::command::access::Deed;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::intake::{self, Context, Item, Understood, What};
use crate::command::journal::{self, Journal};
use crate::command::lookup::{self, FoundChamber};
use crate::command::pictures::Files;
use crate::command::status::Look;
use crate::record::{Chamber, Event, Happening};
use crate::reply::{Question, Quiet, Reply, Stored, say};
use chrono::{DateTime, Utc};
use kept::{Kept, is_overtaken, kept};

/// A message that was edited.
#[derive(Debug, Clone)]
pub struct LogEdit {
    /// The id it was handed in under.
    of: String,
    /// When it was written.
    written: DateTime<Utc>,
    /// What it says by now; `None` where that is no reading.
    reading: Option<LogReading>,
    /// What is attached to it by now, where that is said.
    files: Option<Files>,
}

/// An entry, and what it becomes.
struct Edited {
    entry: Event,
    corrected: Corrected,
    typed: String,
}

/// What the edit comes to.
enum Read {
    /// The readings that differ, with what was not understood.
    Edited(Vec<Edited>, Vec<String>),
    Ask(Question),
}

impl LogEdit {
    /// Reads the words, as if they had been said when the message was written.
    pub fn read(of: &str, written: DateTime<Utc>, text: &str, asking: &Asking) -> Self {
        let reading = match crate::command::read(text, &said_at(written, asking)) {
            Ok(Request::Log(LogRequest::Reading(reading))) => Some(reading),
            _ => None,
        };
        Self { of: of.to_owned(), written, reading, files: None }
    }

    /// With what is attached to the message by now.
    #[must_use]
    pub fn with_files(self, files: Option<Files>) -> Self {
        Self { files, ..self }
    }

    /// Carries it out: every entry, or none.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let all = services.store.events_of_request(&self.of).await?;
        if all.is_empty() {
            let sentence = say("log.edit.nothing_kept", &[]);
            return Err(UserError::new(Code::DoesNotFit, sentence, "pH 5.12 at 21 C, 812 g").into());
        }
        // What somebody else logged of a message is theirs: its writer's edit does not touch it.
        if all.iter().any(|event| event.author != Some(asking.member.id)) {
            return Ok(Done::nothing());
        }
        let is_picture = |event: &Event| matches!(event.what, Happening::Pictured { .. });
        let (pictured, all): (Vec<Event>, Vec<Event>) = all.into_iter().partition(is_picture);
        let altered = Altered::by(services, asking, &pictured, self.files.as_ref()).await?;
        let (edited, leftover) = match self.readings(services, asking, &all).await? {
            Read::Ask(question) => return Ok(Done::question(question)),
            Read::Edited(edited, leftover) => (edited, leftover),
        };
        if edited.is_empty() && altered.is_empty() {
            return Ok(no_news(asking));
        }
        keep(services, asking, edited, (&leftover, altered)).await
    }

    /// What of the readings the words alter; where photos were all there was, words are nothing to them.
    async fn readings(
        &self,
        services: &Services,
        asking: &Asking,
        all: &[Event],
    ) -> Result<Read, CommandError> {
        let nothing = Read::Edited(Vec::new(), Vec::new());
        if all.is_empty() {
            return Ok(nothing);
        }
        let kept = kept(services, asking, all).await?;
        if is_overtaken(&kept, asking) {
            return Ok(nothing);
        }
        self.edited(services, asking, &kept).await
    }

    /// What of the entries the words alter.
    async fn edited(&self, services: &Services, asking: &Asking, kept: &Kept) -> Result<Read, CommandError> {
        let Some((named, text)) = self.reading.as_ref().map(LogReading::said) else {
            return Err(no_reading(kept).into());
        };
        let then = said_at(self.written, asking);
        let (text, meter) = instruments::take_meter(services, asking, text).await?;
        same_batch(services, asking, kept, named, &text).await?;
        let without = kept.batch_without();
        let whom = Whom::of(without.clone().map(Box::new));
        let read = intake::read(&text, &Context { now: self.written, ..whom.context(&then) });
        let read = read.map_err(|error| unreadable(&error))?;
        let mut understood =
            read.filter(|read| !read.items.is_empty()).ok_or_else(|| CommandError::from(no_reading(kept)))?;
        let at = understood.at.as_ref().map_or(self.written, |when| when.at);
        instruments::lean(services, asking, &mut understood, meter, at).await?;
        if let Some(state) = &without {
            after_start(state, at)?;
        }
        let chamber = chamber(services, asking, kept, &understood).await?;
        let mut setting = kept_with(services, &whom, chamber, &understood.items, at).await?;
        kept.remember_extremes(&mut setting);
        let edited = paired(kept, &understood.items, &setting, at)?;
        if edited.is_empty() {
            return Ok(Read::Edited(edited, Vec::new()));
        }
        Ok(match doubt(&understood, &whom, &setting, &then)? {
            Some(question) => Read::Ask(question),
            None => Read::Edited(edited, understood.leftover),
        })
    }
}

/// The same member with the same yes, asked as if it were the moment a message was written.
fn said_at(written: DateTime<Utc>, asking: &Asking) -> Asking {
    Asking { now: written, ..asking.clone() }
}

/// A press is answered; an edit that changes nothing is not commented on.
fn no_news(asking: &Asking) -> Done {
    if asking.confirmed {
        return Done::reply(Reply::new("log change", say("log.edit.already", &[])));
    }
    Done::nothing()
}

fn no_reading(kept: &Kept) -> UserError {
    kept.error(say("log.edit.no_reading", &[("kept", &kept.shown())]))
}

/// Refuses words that name another batch than the one the entries are of.
async fn same_batch(
    services: &Services,
    asking: &Asking,
    kept: &Kept,
    named: Option<&str>,
    text: &str,
) -> Result<(), CommandError> {
    let Some(own) = kept.readings.iter().find_map(|reading| reading.subject.batch()) else { return Ok(()) };
    let Some(name) = named.map(str::to_owned).or_else(|| intake::named(text).batch) else { return Ok(()) };
    let now = lookup::named_batch(services, asking, &name, Deed::LogReading).await?.id;
    if now == own {
        return Ok(());
    }
    let holes = [("kept", &*kept.shown()), ("was", &own.to_string()), ("now", &now.to_string())];
    Err(kept.error(say("log.edit.other_batch", &holes)).into())
}

/// The chamber that is named, else the entries' own.
async fn chamber(
    services: &Services,
    asking: &Asking,
    kept: &Kept,
    understood: &Understood,
) -> Result<Chamber, CommandError> {
    let entered = kept.readings.iter().find_map(|reading| reading.subject.chamber());
    if let Some(theirs) = own::chamber_of_another(services, asking, entered).await? {
        return Ok(theirs);
    }
    if let Some(name) = understood.chamber.as_deref() {
        return match lookup::which_chamber(services, asking, Some(name), "chamber {chamber}").await? {
            FoundChamber::Chamber(chamber) => Ok(chamber),
            // The message itself says which: it is edited once more.
            FoundChamber::Ask(question) => {
                let example = question.answers.first().unwrap_or(&question.example).clone();
                Err(UserError::new(Code::DoesNotFit, question.text, example).into())
            }
        };
    }
    if let Some(place) = place_meant(services, asking, understood).await? {
        return Ok(place);
    }
    let own = match entered {
        Some(chamber) => services.store.chamber(chamber).await?,
        None => None,
    };
    match own {
        Some(chamber) => Ok(chamber),
        None => lookup::chamber(services, asking, None).await,
    }
}

/// Each entry with the reading of its sort, in order; only those that differ.
fn paired(
    kept: &Kept,
    items: &[Item],
    setting: &Setting,
    at: DateTime<Utc>,
) -> Result<Vec<Edited>, CommandError> {
    let other = || kept.error(say("log.edit.other_readings", &[("kept", &kept.shown())]));
    let mut left: Vec<(&Item, Happening)> =
        items.iter().map(|item| (item, item.happening(setting.unsaid))).collect();
    let mut edited = Vec::new();
    for entry in &kept.readings {
        let sort = std::mem::discriminant(&entry.what);
        let place = left.iter().position(|(_, to)| std::mem::discriminant(to) == sort).ok_or_else(other)?;
        let (item, to) = left.remove(place);
        let subject = match item.what {
            What::Weighed { .. } | What::Ph { .. } => corrected_subject(item, entry, setting)?,
            _ => setting.subject(item.whose)?,
        };
        if (subject, at, &to) != (entry.subject, entry.at, &entry.what) {
            let corrected = Corrected { subject, at, to };
            edited.push(Edited { entry: entry.clone(), corrected, typed: item.typed.clone() });
        }
    }
    if left.is_empty() { Ok(edited) } else { Err(other().into()) }
}

async fn keep(
    services: &Services,
    asking: &Asking,
    edited: Vec<Edited>,
    (leftover, altered): (&[String], Altered),
) -> Outcome {
    let mut journal = Journal::new(services, asking);
    let mut reply = Reply::new("log change", String::new());
    reply.quiet = Quiet::Folded;
    let (mut said, mut entries, mut whats) = (Vec::new(), Vec::new(), Vec::new());
    for Edited { entry, corrected, typed } in edited {
        let to = Box::new(corrected.to.clone());
        let event = journal.event(corrected.subject, corrected.at, Happening::Changed { of: entry.id, to });
        let event = Event { typed, ..event };
        let was_of = own::subject(services, &entry).await?;
        let of = own::subject(services, &event).await?;
        said.push(shown_change(&entry, &was_of, &corrected, &of, asking));
        reply.stored.push(Stored { of, ..journal::stored_as(&event, "", event.typed.clone()) });
        journal.append(event.clone()).await?;
        whats.extend([entry.what.clone(), corrected.to]);
        entries.extend([entry, event]);
    }
    said.extend(altered.keep(&mut journal, &mut reply, services, asking).await?);
    reply.headline = said.join(" ");
    if !leftover.is_empty() {
        reply.lines.push(say("log.reading.ignored", &[("leftover", &echo::leftover(leftover))]));
    }
    let ids: Vec<i64> = reply.stored.iter().map(|stored| stored.id).collect();
    if !ids.is_empty() {
        reply.undo = Some(say("log.change.next", &[("id", &super::ids_shown(&ids))]));
    }
    let states = clock::states_after(services, asking, &journal, &entries).await?;
    let change = journal.finish().await?;
    let look = Look { services, asking, pending: &change.events };
    clock::judge(&mut reply, look, &states, About::of(&whats)).await?;
    reply.due = journal::dues(&change);
    Ok(Done::keeping(change, reply))
}
