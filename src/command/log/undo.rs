//! `/log undo`: an entry does not count any more; it stays in the history.

use super::reading::clock::{self, About};
use super::{ids_shown, own};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::describe::describe;
use crate::command::error::{Code, CommandError, UserError};
use crate::command::journal::{self, Journal};
use crate::command::line::shown;
use crate::command::spec::{OptionKind, Spec, needed};
use crate::command::status::Look;
use crate::curing::Level;
use crate::record::{Event, EventId, Happening};
use crate::reply::{Quiet, Reply, Stored, say};

/// `/log undo`
pub static SPEC: Spec = Spec {
    root: "log",
    verb: "undo",
    aliases: &[],
    summary: "an entry was wrong and does not count; it stays in the history",
    options: &[needed("id", OptionKind::Text, "the entry's number, or several: 12-14")],
    examples: ["log undo id:12", "log undo id:12-14"],
    private: false,
};

/// More entries than this in one line are a slip.
const MOST: i64 = 50;

/// Entries to be undone.
#[derive(Debug, Clone)]
pub struct LogUndo {
    ids: Vec<EventId>,
}

impl LogUndo {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        Ok(Self { ids: ids(args)? })
    }

    /// Carries it out: all of them, or none.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let mut journal = Journal::new(services, asking);
        let mut reply = Reply::new("log undo", String::new());
        reply.quiet = Quiet::Folded;
        let (mut undone, mut entries, mut said) = (Vec::new(), Vec::new(), Vec::new());
        for id in &self.ids {
            let entry = own::entry(services, asking, *id).await?;
            refuse_twice(services, &entry).await?;
            let of = own::subject(services, &entry).await?;
            if matches!(entry.what, Happening::MeterChecked { .. }) {
                reply.note(Level::Notice, say("log.undo.meter", &[]));
            }
            undone.push(shown_undone(&entry, &of, asking));
            let event = journal.event(entry.subject, asking.now, Happening::Undone { of: *id });
            reply.stored.push(Stored { of, ..journal::stored(&event, "") });
            journal.append(event).await?;
            said.push(own::said(services, &entry).await?);
            entries.push(entry);
        }
        reply.headline = say("log.undo.done", &[("entries", &undone.join("; "))]);
        let ids: Vec<i64> = reply.stored.iter().map(|stored| stored.id).collect();
        reply.undo = Some(say("log.undo.next", &[("ids", &ids_shown(&ids))]));
        let states = clock::states_after(services, asking, &journal, &entries).await?;
        let change = journal.finish().await?;
        let look = Look { services, asking, pending: &change.events };
        clock::judge(&mut reply, look, &states, About::of(&said)).await?;
        reply.due = journal::dues(&change);
        Ok(Done::keeping(change, reply))
    }
}

/// What does not count already cannot be undone again: then it would take two to bring it back.
async fn refuse_twice(services: &Services, entry: &Event) -> Result<(), CommandError> {
    let beside = own::beside(services, entry).await?;
    let Some(by) = own::undone_by(&beside).get(&entry.id).copied() else {
        return Ok(());
    };
    let holes = [("id", &*entry.id.to_string()), ("by", &by.to_string())];
    let sentence = say("log.undo.already", &holes);
    Err(UserError::new(Code::DoesNotFit, sentence, format!("log undo id:{by}")).into())
}

/// "12 (B3 #2: 640 g)"; of a correction, what counts again without it.
fn shown_undone(entry: &Event, of: &str, asking: &Asking) -> String {
    let id = entry.id.to_string();
    match &entry.what {
        Happening::Undone { of } => say("log.undo.counts_again", &[("id", &id), ("entry", &of.to_string())]),
        Happening::Changed { of, .. } => {
            say("log.undo.as_before", &[("id", &id), ("entry", &of.to_string())])
        }
        what => say("log.undo.entry", &[("id", &id), ("of", of), ("what", &describe(what, asking))]),
    }
}

/// `12`, `12-14`, `12, 13`.
fn ids(args: Args<'_>) -> Result<Vec<EventId>, UserError> {
    let typed = args.needed("id")?;
    let unreadable = || args.error(Code::OutOfRange, say("log.unreadable_id", &[("typed", &shown(typed))]));
    let number = |text: &str| text.trim().parse::<i64>().ok().filter(|number| *number > 0);
    let mut ids = Vec::new();
    for part in typed.split(',') {
        let (first, last) = part.split_once('-').unwrap_or((part, part));
        let (first, last) = number(first).zip(number(last)).ok_or_else(unreadable)?;
        if last < first || last - first >= MOST {
            return Err(unreadable());
        }
        ids.extend((first..=last).map(EventId));
    }
    ids.sort_unstable();
    ids.dedup();
    if i64::try_from(ids.len()).is_ok_and(|count| count <= MOST) {
        return Ok(ids);
    }
    Err(unreadable())
}
