//! `/remind set`: a reminder of the member's own.

use super::{due, list};
use crate::command::Args;
use crate::command::access::Deed;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::lookup;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::command::time;
use crate::record::{BatchState, Reminder, ReminderKind};
use crate::reply::{Reply, say};
use crate::store::Change;
use crate::wall;
use chrono::{DateTime, Utc};

/// `/remind set`
pub static SPEC: Spec = Spec {
    root: "remind",
    verb: "set",
    aliases: &["me"],
    summary: "be reminded of something, once or again and again",
    options: &[
        needed("text", OptionKind::Text, "what of"),
        needed("when", OptionKind::Time, "e.g. tomorrow 9am, in 36 h, friday 18:00"),
        maybe("every", OptionKind::Text, "how often it comes again, e.g. 3 days"),
        maybe("batch", OptionKind::Batch, "one of your batches it is about"),
    ],
    examples: [
        "remind set text:turn the bag when:tomorrow 9am every:1 day",
        "remind set text:take the casings out to soak when:in 36 h",
    ],
    private: true,
};

/// The longest text of a reminder.
const LONGEST_TEXT: usize = 200;
/// Most reminders of one member's own that wait. Our choice.
const MOST_REMINDERS: usize = 200;

/// A reminder to be kept.
#[derive(Debug, Clone)]
pub struct RemindSet {
    text: String,
    due: DateTime<Utc>,
    every_days: Option<u32>,
    batch: Option<String>,
}

impl RemindSet {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let text = args.needed("text")?;
        if text.chars().count() > LONGEST_TEXT {
            let most = LONGEST_TEXT.to_string();
            let sentence = say("remind_command.set.text_too_long", &[("most", &most)]);
            return Err(args.error(Code::OutOfRange, sentence));
        }
        let every = args.text("every").map(time::every).transpose().map_err(|error| UserError {
            example: args.line().with("every", "3 days"),
            ..args.time_error("every", &error)
        })?;
        Ok(Self {
            text: text.to_owned(),
            due: due_of(args)?,
            every_days: every,
            batch: args.text("batch").map(str::to_owned),
        })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let batch = self.batch_of(services, asking).await?;
        let own = services.store.reminders_of(asking.member.id).await?;
        if own.iter().filter(|reminder| reminder.kind == ReminderKind::Own).count() >= MOST_REMINDERS {
            let sentence = say("remind_command.set.too_many", &[("most", &MOST_REMINDERS.to_string())]);
            return Err(UserError::new(Code::DoesNotFit, sentence, "remind list").into());
        }
        let id = services.store.next_reminder_id();
        let reminder = Reminder {
            batch: batch.as_ref().map(|state| state.id),
            every_days: self.every_days,
            anchor: self.every_days.map(|_| wall::shown(self.due, asking.zone())),
            ..Reminder::own(id, asking.member.id, self.due, self.text.clone())
        };
        let when = time::shown(self.due, asking.now, asking.zone());
        let holes = [("when", &*when), ("text", &self.text)];
        let mut reply = Reply::new("remind set", say("remind_command.set.done", &holes));
        if let Some(state) = &batch {
            let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name)];
            reply.lines.push(say("remind_command.set.batch", &holes));
        }
        reply.lines.extend(self.every_days.map(again));
        reply.lines.extend(list::paused(asking));
        reply.next = Some(say("remind_command.set.next", &[("id", &reminder.id.to_string())]));
        reply.due.push(due(&reminder));
        Ok(Done::keeping(Change { reminders: vec![reminder], ..Change::default() }, reply))
    }

    async fn batch_of(
        &self,
        services: &Services,
        asking: &Asking,
    ) -> Result<Option<BatchState>, CommandError> {
        let Some(name) = &self.batch else { return Ok(None) };
        let state = lookup::named_batch(services, asking, name, Deed::Run).await?;
        Ok(Some(state))
    }
}

/// When it is due; the example of an error is a time to come, whatever is wrong with what was typed.
fn due_of(args: Args<'_>) -> Result<DateTime<Utc>, UserError> {
    args.future("when").map_err(|error| match error.code {
        Code::TimeUnclear => UserError { example: args.line().with("when", "tomorrow 9am"), ..error },
        _ => error,
    })
}

fn again(days: u32) -> String {
    if days == 1 {
        say("remind_command.set.every_day", &[])
    } else {
        say("remind_command.set.every", &[("days", &days.to_string())])
    }
}
