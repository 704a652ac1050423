//! Photos and other files that come with a message: photos are kept beside what its words say, as references; of
//! anything else nothing is kept. Nothing is ever fetched.

use super::asking::{Answer, Asking, Done, Services};
use super::error::{Code, CommandError, UserError};
use super::line::shown;
use super::{journal, lookup};
use crate::record::correction::{corrected, effective};
use crate::record::{BatchState, Event, Happening, Picture, Subject};
use crate::reply::say;
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

/// The files of a message, looked at by the front end.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Files {
    /// Photos, to be kept as references.
    pub pictures: Vec<Picture>,
    /// What is left out.
    pub refused: Vec<Refused>,
}

/// A file that is left out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Refused {
    /// Its name.
    pub name: String,
    /// Why.
    pub why: Refusal,
}

/// Why a file is left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Refusal {
    /// It is no photo, by its type or by its name, or there is nothing in it.
    NoPicture,
    /// It is larger than photos are kept.
    TooLarge,
    /// Its address is not one of the platform's own.
    Elsewhere,
    /// There are more than a message has.
    TooMany,
}

/// Every reason with its sentence.
const REFUSALS: [(Refusal, &str); 4] = [
    (Refusal::NoPicture, "picture.refused.no_picture"),
    (Refusal::TooLarge, "picture.refused.too_large"),
    (Refusal::Elsewhere, "picture.refused.elsewhere"),
    (Refusal::TooMany, "picture.refused.too_many"),
];

/// Names of a refusal.
const NAMES: usize = 5;

impl Files {
    /// Whether there are none.
    pub const fn is_empty(&self) -> bool {
        self.pictures.is_empty() && self.refused.is_empty()
    }

    /// What is left out: one sentence for each reason.
    pub fn refusals(&self) -> Vec<String> {
        let of_reason = |(why, key): &(Refusal, &'static str)| {
            let names: Vec<String> =
                self.refused.iter().filter(|file| file.why == *why).map(|file| shown(&file.name)).collect();
            let mut list = names.iter().take(NAMES).cloned().collect::<Vec<_>>().join(", ");
            if names.len() > NAMES {
                list.push_str(", …");
            }
            (!names.is_empty()).then(|| say(key, &[("names", &list)]))
        };
        REFUSALS.iter().filter_map(of_reason).collect()
    }

    /// A message of files that are all left out, and no word.
    pub(super) fn nothing_left(&self) -> UserError {
        UserError::new(Code::DoesNotFit, self.refusals().join(" "), "pH 5.12 at 21 C, 812 g")
    }
}

/// "1 photo, https://…": how many, and where they are seen by whoever may.
pub fn described(pictures: &[Picture]) -> String {
    let Some(first) = pictures.first() else { return say("picture.erased", &[]) };
    say("picture.described", &[("photos", &counted(pictures.len())), ("link", &link(first))])
}

/// "1 photo", "3 photos".
pub fn counted(count: usize) -> String {
    let key = if count == 1 { "picture.one" } else { "picture.several" };
    say(key, &[("count", &count.to_string())])
}

/// The platform's own address of a message, which shows it only to who may read there.
fn link(picture: &Picture) -> String {
    let group = picture.group.map_or_else(|| "@me".to_owned(), |group| group.to_string());
    format!("https://discord.com/channels/{group}/{}/{}", picture.place, picture.message)
}

/// What the photos of a line are of, and when: what its entries are of, where that is one thing or one batch.
pub(super) fn pictured_with(events: &[Event]) -> Option<(Subject, DateTime<Utc>)> {
    let own = |event: &&Event| corrected(&event.what).is_none();
    let first = events.iter().find(own)?;
    if events.iter().any(|event| matches!(event.what, Happening::Pictured { .. })) {
        return None;
    }
    let subjects = || events.iter().filter(own).map(|event| event.subject);
    if subjects().all(|subject| subject == first.subject) {
        // A meter has no history to look at.
        return (first.subject.meter().is_none()).then_some((first.subject, first.at));
    }
    let of_batch = events.iter().filter(own).find(|event| event.subject.batch().is_some())?;
    let batch = of_batch.subject.batch()?;
    let is_one = subjects().all(|subject| subject.batch().is_none_or(|other| other == batch));
    is_one.then_some((Subject::Batch(batch), of_batch.at))
}

/// Says in the answer to a line what became of the files that came with it.
pub(super) async fn tell(done: &mut Done, services: &Services, asking: &Asking) -> Result<(), CommandError> {
    let files = &asking.files;
    let Answer::Reply(reply) = &mut done.answer else { return Ok(()) };
    if files.is_empty() {
        return Ok(());
    }
    let kept = done.change.events.iter().find(|event| matches!(event.what, Happening::Pictured { .. }));
    match kept {
        Some(event) if reply.stored.iter().all(|stored| stored.id != event.id.0) => {
            let name = lookup::name_of(services, event.subject).await?;
            reply.stored.push(journal::stored(event, &name));
            reply.lines.push(say("picture.with_it", &[("photos", &counted(files.pictures.len()))]));
        }
        None if !files.pictures.is_empty() => reply.lines.push(say("picture.not_kept", &[])),
        _ => {}
    }
    reply.lines.extend(files.refusals());
    Ok(())
}

/// What is wrong with a line, where files came with it of which nothing is kept either.
#[must_use]
pub fn with_error(error: UserError, asking: &Asking) -> UserError {
    let files = &asking.files;
    let is_about_files = files.pictures.is_empty() && asking.typed.is_empty();
    if files.is_empty() || is_about_files {
        return error;
    }
    let mut said = vec![if files.pictures.is_empty() {
        error.sentence.clone()
    } else {
        say("picture.with_error", &[("error", &error.sentence)])
    }];
    said.extend(files.refusals());
    UserError { sentence: said.join(" "), ..error }
}

/// "2 photos in the history", for a batch's card.
pub async fn line(services: &Services, state: &BatchState) -> Result<Option<String>, CommandError> {
    let events = services.store.pictures_of_batch(state.id).await?;
    let counting = effective(&events).into_iter().filter_map(|event| match event.what {
        Happening::Pictured { pictures } => Some(pictures.len()),
        _ => None,
    });
    let count: usize = counting.sum();
    Ok((count > 0).then(|| say("picture.on_card", &[("photos", &counted(count))])))
}
