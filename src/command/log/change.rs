//! `/log change`: an entry should have said something else; the old value stays in the history.

use super::own;
use super::reading::clock::{self, About};
use super::reading::instruments;
use super::reading::setting::{Setting, after_start, kept_with};
use super::reading::whom::{Whom, unreadable};
use super::reading::{doubt, only_item};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::describe::describe;
use crate::command::error::{Code, CommandError, UserError};
use crate::command::intake::{self, Context, IntakeError, Item, Understood, Whose};
use crate::command::journal::{self, Journal};
use crate::command::lookup::{self, FoundChamber};
use crate::command::spec::{OptionKind, Spec, needed};
use crate::command::status::Look;
use crate::command::time;
use crate::record::correction::effective;
use crate::record::{BatchState, Event, EventId, Happening, Subject};
use crate::reply::{Question, Quiet, Reply, Stored, say};
use chrono::{DateTime, Utc};

/// `/log change`
pub static SPEC: Spec = Spec {
    root: "log",
    verb: "change",
    aliases: &[],
    summary: "an entry should have said something else; the old value stays in the history",
    options: &[
        needed("id", OptionKind::Text, "the entry's number"),
        needed("text", OptionKind::Rest, "what it should have said, with its time if that was wrong"),
    ],
    examples: ["log change id:12 text:pH 5.12 at 21 C", "log change id:14 text:#2 640 g yesterday 8pm"],
    private: false,
};

/// An entry to be changed.
#[derive(Debug, Clone)]
pub struct LogChange {
    id: EventId,
    text: String,
}

/// What the entry becomes.
pub(super) struct Corrected {
    pub(super) subject: Subject,
    pub(super) at: DateTime<Utc>,
    pub(super) to: Happening,
}

/// A correction, or a question first.
enum Read {
    Corrected(Box<Corrected>),
    Ask(Question),
}

impl LogChange {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let typed = args.needed("id")?;
        Ok(Self { id: EventId(args.whole_number("id", typed)?), text: args.needed("text")?.to_owned() })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let named = own::entry(services, asking, self.id).await?;
        let first = match named.what {
            // Of a changed entry the first one is changed again, so that the history stays one line.
            Happening::Changed { of, .. } => own::entry(services, asking, of).await?,
            _ => named,
        };
        let beside = own::beside(services, &first).await?;
        let entry = self.as_it_counts(&first, &beside)?;
        match self.corrected(services, asking, &entry, &beside).await? {
            Read::Corrected(corrected) => self.keep(services, asking, entry, *corrected).await,
            Read::Ask(question) => Ok(Done::question(question)),
        }
    }

    async fn keep(
        &self,
        services: &Services,
        asking: &Asking,
        entry: Event,
        corrected: Corrected,
    ) -> Outcome {
        let about = About::of([&entry.what, &corrected.to]);
        let mut journal = Journal::new(services, asking);
        let to = Box::new(corrected.to.clone());
        let event = journal.event(corrected.subject, corrected.at, Happening::Changed { of: entry.id, to });
        let event = Event { typed: self.text.clone(), ..event };
        let was_of = own::subject(services, &entry).await?;
        let of = own::subject(services, &event).await?;
        let mut reply = Reply::new("log change", shown_change(&entry, &was_of, &corrected, &of, asking));
        reply.quiet = Quiet::Folded;
        reply.stored.push(Stored { of, ..journal::stored_as(&event, "", event.typed.clone()) });
        reply.undo = Some(say("log.change.next", &[("id", &event.id.to_string())]));
        journal.append(event.clone()).await?;
        let states = clock::states_after(services, asking, &journal, &[entry, event]).await?;
        let change = journal.finish().await?;
        let look = Look { services, asking, pending: &change.events };
        clock::judge(&mut reply, look, &states, about).await?;
        reply.due = journal::dues(&change);
        Ok(Done::keeping(change, reply))
    }

    /// The entry with what it says by now; one that is undone says nothing.
    fn as_it_counts(&self, first: &Event, beside: &[Event]) -> Result<Event, UserError> {
        if let Some(entry) = effective(beside).into_iter().find(|event| event.id == first.id) {
            return Ok(entry);
        }
        if matches!(first.what, Happening::Undone { .. }) {
            return Ok(first.clone());
        }
        let by = own::undone_by(beside).get(&first.id).copied().unwrap_or(self.id);
        let holes = [("id", &*first.id.to_string()), ("by", &by.to_string())];
        let sentence = say("log.change.undone", &holes);
        Err(UserError::new(Code::DoesNotFit, sentence, format!("log undo id:{by}")))
    }

    /// What the text makes of the entry: one reading of the same sort, held against the record without the entry.
    async fn corrected(
        &self,
        services: &Services,
        asking: &Asking,
        entry: &Event,
        beside: &[Event],
    ) -> Result<Read, CommandError> {
        if matches!(entry.what, Happening::Noted { .. }) {
            let to = Happening::Noted { text: self.text.clone() };
            let note = Corrected { subject: entry.subject, at: entry.at, to };
            return Ok(Read::Corrected(Box::new(note)));
        }
        if !is_reading(&entry.what) {
            return Err(self.other_sort(entry, asking).into());
        }
        let without = without(entry, beside);
        let whom = Whom::of(without.clone().map(Box::new));
        let (text, meter) = instruments::take_meter(services, asking, &self.text).await?;
        let mut understood = Self { id: self.id, text }.understood(&whom, entry, asking)?;
        let at = understood.at.as_ref().map_or(entry.at, |when| when.at);
        instruments::lean(services, asking, &mut understood, meter, at).await?;
        let item = only_item(&understood).ok_or_else(|| self.not_one())?;
        if let Some(state) = &without {
            after_start(state, at)?;
        }
        let chamber = match self.chamber(services, asking, entry, &understood).await? {
            FoundChamber::Chamber(chamber) => chamber,
            FoundChamber::Ask(question) => return Ok(Read::Ask(question)),
        };
        let setting = kept_with(services, &whom, chamber, &understood.items, at).await?;
        let to = item.happening(setting.unsaid);
        if std::mem::discriminant(&to) != std::mem::discriminant(&entry.what) {
            return Err(self.other_sort(entry, asking).into());
        }
        let again = |error: UserError| UserError { example: self.example(&error.example), ..error };
        if let Some(question) = doubt(&understood, &whom, &setting, asking).map_err(again)? {
            return Ok(Read::Ask(question));
        }
        let subject = corrected_subject(item, entry, &setting)?;
        Ok(Read::Corrected(Box::new(Corrected { subject, at, to })))
    }

    /// Reads the text. Without a time it is read as if it had been said at the entry's own time; a weight without
    /// a number is of the entry's own piece.
    fn understood(&self, whom: &Whom, entry: &Event, asking: &Asking) -> Result<Understood, UserError> {
        let own_piece = match entry.subject {
            Subject::Piece(_, piece) => Some(whom.with_only(piece)),
            _ => None,
        };
        let mut understood = self.read_at(whom, asking.now, asking);
        if let (Err(IntakeError::WhichPiece { .. }), Some(own)) = (&understood, &own_piece) {
            understood = self.read_at(own, asking.now, asking);
        }
        let is_timed = matches!(&understood, Ok(Some(read)) if read.at.is_some());
        if !is_timed {
            let whom = own_piece.as_ref().filter(|_| !self.text.contains('#')).unwrap_or(whom);
            understood = self.read_at(whom, entry.at, asking);
        }
        match understood {
            Ok(read) => read.ok_or_else(|| self.not_one()),
            // A weight of no piece cannot be what an entry without a piece should have said.
            Err(IntakeError::WhichPiece { .. }) => Err(self.other_sort(entry, asking)),
            Err(error) => Err(UserError { example: self.example(&error.example()), ..unreadable(&error) }),
        }
    }

    fn read_at(
        &self,
        whom: &Whom,
        now: DateTime<Utc>,
        asking: &Asking,
    ) -> Result<Option<Understood>, IntakeError> {
        intake::read(&self.text, &Context { now, ..whom.context(asking) })
    }

    /// The chamber that is named, else the entry's own.
    async fn chamber(
        &self,
        services: &Services,
        asking: &Asking,
        entry: &Event,
        understood: &Understood,
    ) -> Result<FoundChamber, CommandError> {
        if let Some(theirs) = own::chamber_of_another(services, asking, entry.subject.chamber()).await? {
            return Ok(FoundChamber::Chamber(theirs));
        }
        if let Some(name) = understood.chamber.as_deref() {
            let line = self.example(&self.text.replace(name, "{chamber}"));
            return lookup::which_chamber(services, asking, Some(name), &line).await;
        }
        let own = match entry.subject.chamber() {
            Some(chamber) => services.store.chamber(chamber).await?,
            None => None,
        };
        match own {
            Some(chamber) => Ok(FoundChamber::Chamber(chamber)),
            None => lookup::chamber(services, asking, None).await.map(FoundChamber::Chamber),
        }
    }

    fn other_sort(&self, entry: &Event, asking: &Asking) -> UserError {
        let holes = [("id", &*entry.id.to_string()), ("was", &*describe(&entry.what, asking))];
        let sentence = say("log.change.other_sort", &holes);
        UserError::new(Code::DoesNotFit, sentence, format!("log undo id:{}", self.id))
    }

    fn not_one(&self) -> UserError {
        UserError::new(Code::DoesNotFit, say("log.change.not_one", &[]), self.example("pH 5.12 at 21 C"))
    }

    fn example(&self, text: &str) -> String {
        format!("log change id:{} text:{text}", self.id)
    }
}

/// Whether an entry is of the sort that is said in a reading's words.
pub(in crate::command) const fn is_reading(what: &Happening) -> bool {
    !matches!(
        what,
        Happening::Started { .. }
            | Happening::StageReached { .. }
            | Happening::Cured { .. }
            | Happening::Moved { .. }
            | Happening::Appraised { .. }
            | Happening::Stored { .. }
            | Happening::MeterChecked { .. }
            | Happening::HygrometerChecked { .. }
            | Happening::Discarded { .. }
            | Happening::Pictured { .. }
            | Happening::Undone { .. }
    )
}

/// The batch as it was without the entry, at the entry's time; `None` for the air of a chamber.
fn without(entry: &Event, beside: &[Event]) -> Option<BatchState> {
    entry.subject.batch()?;
    let mut others = effective(beside);
    others.retain(|event| event.id != entry.id);
    BatchState::rebuild_as_of(&others, entry.at)
}

/// A bare weight or pH corrects the value, not the piece it was of.
pub(super) fn corrected_subject(
    item: &Item,
    entry: &Event,
    setting: &Setting,
) -> Result<Subject, CommandError> {
    match item.whose {
        Whose::Batch => Ok(entry.subject),
        whose => setting.subject(whose),
    }
}

/// "Entry 12 of B1 #2 is now 650 g; it was 640 g", with the new subject or time where that is what changed.
pub(super) fn shown_change(
    entry: &Event,
    was_of: &str,
    corrected: &Corrected,
    of: &str,
    asking: &Asking,
) -> String {
    let mut to = describe(&corrected.to, asking);
    if corrected.subject != entry.subject {
        to = say("log.change.of", &[("to", &to), ("of", of)]);
    }
    if corrected.at != entry.at {
        let when = time::shown(corrected.at, asking.now, asking.zone());
        to = say("log.change.at", &[("to", &to), ("when", &when)]);
    }
    let holes = [
        ("id", &*entry.id.to_string()),
        ("of", was_of),
        ("from", &*describe(&entry.what, asking)),
        ("to", &to),
    ];
    say("log.change.done", &holes)
}
