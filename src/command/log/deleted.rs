//! Messages that were kept were deleted: what becomes of their entries is asked. Nothing is taken back unasked.

use super::picture::pictures_of;
use super::{entries_shown, ids_shown, own};
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::CommandError;
use crate::command::pictures::counted;
use crate::command::{journal, lookup};
use crate::record::correction::{corrected, effective};
use crate::record::{Event, Happening, Subject};
use crate::reply::{Question, Reply, say};

/// As many entries as one "log undo" takes.
const AT_ONCE: usize = 50;

/// Messages that were deleted.
#[derive(Debug, Clone)]
pub struct LogDeleted {
    /// The ids they were handed in under.
    of: Vec<String>,
}

impl LogDeleted {
    /// Of these messages.
    pub fn of(of: &[String]) -> Self {
        Self { of: of.to_vec() }
    }

    /// Asks about the entries that still count; with a yes they stay.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let (mut held, mut messages) = (Vec::new(), 0_usize);
        for request in &self.of {
            let of_message = held_by(services, asking, request).await?;
            messages += usize::from(!of_message.is_empty());
            held.extend(of_message);
        }
        held.sort_by_key(|event| event.id);
        let ids: Vec<i64> = held.iter().map(|event| event.id.0).collect();
        let of = subjects(services, &held).await?;
        if asking.confirmed {
            let holes = [("kept", &*entries_shown(&ids)), ("of", &of)];
            let key = if ids.is_empty() { "log.deleted.none" } else { "log.deleted.kept" };
            return Ok(Done::reply(Reply::new("log history", say(key, &holes))));
        }
        let key = match (messages, ids.len()) {
            (0, _) => return Ok(Done::nothing()),
            (_, 1) => "log.deleted.one",
            (1, _) => "log.deleted.several",
            _ => "log.deleted.of_several",
        };
        let mut text = say(key, &[("kept", &entries_shown(&ids)), ("of", &of)]);
        let photos = photos(services, &held).await?;
        if photos > 0 {
            text = say("picture.deleted", &[("question", &text), ("photos", &counted(photos))]);
        }
        Ok(Done::question(question(text, &ids)))
    }
}

/// What counts of the member's entries of a message. Where it started a batch it is not asked about: a batch is
/// discarded, not taken back; and a correction is no reading.
async fn held_by(services: &Services, asking: &Asking, request: &str) -> Result<Vec<Event>, CommandError> {
    let mut events = services.store.events_of_request(request).await?;
    events.retain(|event| event.author == Some(asking.member.id) && corrected(&event.what).is_none());
    if events.iter().any(|event| matches!(event.what, Happening::Started { .. })) {
        return Ok(Vec::new());
    }
    let mut held = Vec::new();
    for event in events {
        let beside = own::beside(services, &event).await?;
        if !own::undone_by(&beside).contains_key(&event.id) {
            held.push(event);
        }
    }
    Ok(held)
}

/// The photos among the entries, as they count by now.
async fn photos(services: &Services, held: &[Event]) -> Result<usize, CommandError> {
    let mut count = 0;
    for event in held.iter().filter(|event| matches!(event.what, Happening::Pictured { .. })) {
        let counting = effective(&own::beside(services, event).await?);
        let now = counting.iter().find(|now| now.id == event.id);
        count += now.map_or(0, |now| pictures_of(&now.what).len());
    }
    Ok(count)
}

/// What the entries are of, each batch, chamber or meter once: "B1, chamber home".
async fn subjects(services: &Services, held: &[Event]) -> Result<String, CommandError> {
    let mut shown: Vec<String> = Vec::new();
    for event in held {
        let subject = event.subject.batch().map_or(event.subject, Subject::Batch);
        let name = lookup::name_of(services, subject).await?;
        let of = journal::subject_shown(subject, &name);
        if !shown.contains(&of) {
            shown.push(of);
        }
    }
    Ok(shown.join(", "))
}

fn question(text: String, ids: &[i64]) -> Question {
    let (mut choices, mut answers) = (vec![say("log.deleted.keep", &[])], vec!["yes".to_owned()]);
    for some in ids.chunks(AT_ONCE) {
        let shown = ids_shown(some);
        choices.push(if some.len() == ids.len() {
            say("log.deleted.take_back", &[])
        } else {
            say("log.deleted.take_back_some", &[("ids", &shown)])
        });
        answers.push(format!("log undo id:{shown}"));
    }
    let example = answers.get(1).cloned().unwrap_or_default();
    Question { code: "message_deleted", text, example, choices, answers, line: String::new() }
}
