//! `/log change`: an entry should have said something else; the old value stays in the history.

use super::reading::{only_item, resolve};
use super::{chamber_name_of, own_entry};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::describe::describe;
use crate::command::error::{Code, CommandError, UserError, code_of_intake};
use crate::command::intake::{self, Whose};
use crate::command::journal::{self, Journal};
use crate::command::spec::{OptionKind, Spec, needed};
use crate::record::{Event, EventId, Happening, Subject};
use crate::reply::{Reply, say};
use resolve::{Resolved, Setting};

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

impl LogChange {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let typed = args.needed("id")?;
        Ok(Self { id: EventId(args.whole_number("id", typed)?), text: args.needed("text")?.to_owned() })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let named = own_entry(services, asking, self.id).await?;
        let entry = match named.what {
            // Of a changed entry the first one is changed again, so that the history stays one line.
            Happening::Changed { of, .. } => own_entry(services, asking, of).await?,
            _ => named,
        };
        let batch = entry.subject.batch().map(|batch| batch.to_string());
        let setting = match resolve::setting(services, asking, batch.as_deref(), &self.text).await? {
            Resolved::Setting(setting) => *setting,
            Resolved::Ask(question) => return Ok(Done::question(question)),
        };
        let (subject, at, to) = self.corrected(&entry, &setting, asking)?;
        let chamber = chamber_name_of(services, &entry).await?;
        let holes = [
            ("id", &*entry.id.to_string()),
            ("of", &*journal::subject_shown(subject, &chamber)),
            ("from", &*describe(&entry.what, asking)),
            ("to", &*describe(&to, asking)),
        ];
        let mut reply = Reply::new("log change", say("log.change.done", &holes));
        let mut journal = Journal::new(services, asking);
        let event = journal.event(subject, at, Happening::Changed { of: entry.id, to: Box::new(to) });
        reply.stored.push(journal::stored(&event, &chamber));
        reply.next = Some(say("log.undo.next", &[("id", &event.id.to_string())]));
        journal.append(Event { typed: self.text.clone(), ..event }).await?;
        Ok(Done::keeping(journal.finish().await?, reply))
    }

    /// The corrected subject, time and content: one reading of the same sort as the entry.
    fn corrected(
        &self,
        entry: &Event,
        setting: &Setting,
        asking: &Asking,
    ) -> Result<(Subject, chrono::DateTime<chrono::Utc>, Happening), CommandError> {
        let context = setting.context(asking);
        let understood = intake::read(&self.text, &context).map_err(|error| {
            UserError::new(
                code_of_intake(&error),
                say("log.reading.unreadable", &[("why", &error.to_string())]),
                self.example(&error.example()),
            )
        })?;
        let item = understood.as_ref().and_then(only_item);
        let Some((understood, item)) = understood.as_ref().zip(item) else {
            return Err(self.not_one().into());
        };
        let to = item.happening(setting.unsaid);
        if std::mem::discriminant(&to) != std::mem::discriminant(&entry.what) {
            let holes = [("id", &*self.id.to_string()), ("was", &*describe(&entry.what, asking))];
            return Err(UserError::new(
                Code::DoesNotFit,
                say("log.change.other_sort", &holes),
                format!("log undo id:{}", self.id),
            )
            .into());
        }
        let subject = match item.whose {
            // A bare weight or pH corrects the value, not the piece it was of.
            Whose::Batch => entry.subject,
            whose => setting.subject(whose)?,
        };
        let at = understood.at.as_ref().map_or(entry.at, |when| when.at);
        Ok((subject, at, to))
    }

    fn not_one(&self) -> UserError {
        UserError::new(Code::DoesNotFit, say("log.change.not_one", &[]), self.example("pH 5.12 at 21 C"))
    }

    fn example(&self, text: &str) -> String {
        format!("log change id:{} text:{text}", self.id)
    }
}
