//! Photos without a reading: in a batch's thread, with the batch's name, or of the only open batch. And what becomes of
//! photos whose message was edited.

use super::entries_shown;
use super::reading::setting::after_start;
use crate::command::access::Deed;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::CommandError;
use crate::command::intake;
use crate::command::journal::{self, Journal};
use crate::command::line::shown;
use crate::command::lookup::{self, Found};
use crate::command::pictures::{Files, counted};
use crate::record::correction::effective;
use crate::record::{ChatId, Event, Happening, Picture, Subject};
use crate::reply::{Reply, say};

use super::own;

/// Photos to be kept with a batch.
#[derive(Debug, Clone)]
pub struct LogPictures {
    batch: Option<String>,
    /// What was written beside them and is neither a reading nor a batch's name.
    unread: Option<String>,
}

impl LogPictures {
    /// With the words beside them, which are no reading.
    pub fn of(text: &str) -> Self {
        let text = text.trim();
        let batch = intake::named(text).batch;
        let is_name = batch.as_deref().is_some_and(|batch| batch.eq_ignore_ascii_case(text));
        Self { batch, unread: (!text.is_empty() && !is_name).then(|| text.to_owned()) }
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let found = lookup::batch(services, asking, self.batch.as_deref(), Deed::LogReading, "{batch}");
        let state = match found.await? {
            Found::Batch(state) => state,
            Found::Ask(question) => {
                let text = say("picture.which_batch", &[]);
                return Ok(Done::question(crate::reply::Question { text, ..question }));
            }
        };
        after_start(&state, asking.now)?;
        let pictures = asking.files.pictures.clone();
        let holes = [
            ("photos", &*counted(pictures.len())),
            ("batch", &state.id.to_string()),
            ("name", &state.plan.name),
        ];
        let mut reply = Reply::new(super::reading::COMMAND, say("picture.kept", &holes));
        if let Some(unread) = &self.unread {
            reply.lines.push(say("picture.unread", &[("text", &shown(unread))]));
        }
        let mut journal = Journal::new(services, asking);
        let event = journal.event(Subject::Batch(state.id), asking.now, Happening::Pictured { pictures });
        reply.stored.push(journal::stored(&event, ""));
        journal.append(event).await?;
        Ok(Done::keeping(journal.finish().await?, reply))
    }
}

/// What an edit did to the photos of a message.
#[derive(Debug, Default)]
pub(super) struct Altered {
    /// The entries that lose some, each with what corrects it and with how many went.
    pub(super) gone: Vec<(Event, Happening, usize)>,
    /// Whether there are photos that were not there when the message was read.
    pub(super) has_more: bool,
}

impl Altered {
    /// Whether there is anything to say.
    pub(super) const fn is_empty(&self) -> bool {
        self.gone.is_empty() && !self.has_more
    }

    /// Holds the photos that were kept of a message against those that are there by now; `None`: it is not said which.
    pub(super) async fn by(
        services: &Services,
        asking: &Asking,
        kept: &[Event],
        now: Option<&Files>,
    ) -> Result<Self, CommandError> {
        let Some(now) = now else { return Ok(Self::default()) };
        let is_there =
            |picture: &Picture| now.pictures.iter().any(|there| there.attachment == picture.attachment);
        let (mut gone, mut ever) = (Vec::new(), Vec::<ChatId>::new());
        for entry in kept {
            let entry = own::entry(services, asking, entry.id).await?;
            let beside = own::beside(services, &entry).await?;
            ever.extend(pictures_of(&entry.what).iter().map(|picture| picture.attachment));
            let Some(counts) = effective(&beside).into_iter().find(|event| event.id == entry.id) else {
                continue;
            };
            let (still, away): (Vec<Picture>, Vec<Picture>) =
                pictures_of(&counts.what).iter().cloned().partition(is_there);
            if away.is_empty() {
                continue;
            }
            let correction = if still.is_empty() {
                Happening::Undone { of: entry.id }
            } else {
                let to = Box::new(Happening::Pictured { pictures: still });
                Happening::Changed { of: entry.id, to }
            };
            gone.push((counts, correction, away.len()));
        }
        let has_more = now.pictures.iter().any(|picture| !ever.contains(&picture.attachment));
        Ok(Self { gone, has_more })
    }

    /// Writes the corrections down and says what they are: added to an answer that may speak of readings already.
    pub(super) async fn keep(
        self,
        journal: &mut Journal<'_>,
        reply: &mut Reply,
        services: &Services,
        asking: &Asking,
    ) -> Result<Vec<String>, CommandError> {
        let mut said = Vec::new();
        for (entry, correction, count) in self.gone {
            let of = own::subject(services, &entry).await?;
            let holes = [("photos", &*counted(count)), ("of", &of), ("entry", &entries_shown(&[entry.id.0]))];
            said.push(say("picture.gone", &holes));
            let at = if matches!(correction, Happening::Undone { .. }) { asking.now } else { entry.at };
            let event = journal.event(entry.subject, at, correction);
            reply.stored.push(crate::reply::Stored { of, ..journal::stored(&event, "") });
            journal.append(event).await?;
        }
        if self.has_more {
            said.push(say("picture.added_later", &[]));
        }
        Ok(said)
    }
}

/// The photos of an entry.
pub(super) fn pictures_of(what: &Happening) -> &[Picture] {
    match what {
        Happening::Pictured { pictures } => pictures,
        _ => &[],
    }
}
