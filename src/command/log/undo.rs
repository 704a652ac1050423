//! `/log undo`: an entry does not count any more; it stays in the history.

use super::{chamber_name_of, own_entry};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::describe::describe;
use crate::command::error::{Code, UserError};
use crate::command::journal::{self, Journal};
use crate::command::line::shown;
use crate::command::spec::{OptionKind, Spec, needed};
use crate::record::{EventId, Happening};
use crate::reply::{Reply, say};

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

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let mut journal = Journal::new(services, asking);
        let mut reply = Reply::new("log undo", String::new());
        let mut undone = Vec::new();
        for id in &self.ids {
            let entry = own_entry(services, asking, *id).await?;
            let chamber = chamber_name_of(services, &entry).await?;
            let of = journal::subject_shown(entry.subject, &chamber);
            undone.push(format!("{id} ({of}: {})", describe(&entry.what, asking)));
            let event = journal.event(entry.subject, asking.now, Happening::Undone { of: *id });
            reply.stored.push(journal::stored(&event, &chamber));
            journal.append(event).await?;
        }
        reply.headline = say("log.undo.done", &[("entries", &undone.join(", "))]);
        if let Some(stored) = reply.stored.first() {
            reply.next = Some(say("log.undo.next", &[("id", &stored.id.to_string())]));
        }
        Ok(Done::keeping(journal.finish().await?, reply))
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
    Ok(ids)
}
