//! `/remind cancel`: a reminder is no longer wanted.

use super::of_member;
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::spec::{OptionKind, Spec, needed};
use crate::record::{Reminder, ReminderId, ReminderKind, ReminderState};
use crate::reply::{Reply, say};
use crate::store::Change;

/// `/remind cancel`
pub static SPEC: Spec = Spec {
    root: "remind",
    verb: "cancel",
    aliases: &[],
    summary: "take a reminder back; its number stands in the list",
    options: &[needed("id", OptionKind::Text, "its number, e.g. 12")],
    examples: ["remind cancel id:1", "remind cancel 12"],
    private: true,
};

/// A reminder to be taken back.
#[derive(Debug, Clone, Copy)]
pub struct RemindCancel {
    id: ReminderId,
}

impl RemindCancel {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let typed = args.needed("id")?;
        args.whole_number("id", typed).map(|id| Self { id: ReminderId(id) })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let reminder = self.waiting(services, asking).await?;
        let holes = [("id", &*reminder.id.to_string()), ("text", &reminder.text)];
        let mut reply = Reply::new("remind cancel", say("remind_command.cancel.done", &holes));
        if let Some(batch) = reminder.batch.filter(|_| reminder.kind != ReminderKind::Own) {
            reply.lines.push(say("remind_command.cancel.others_stay", &[("batch", &batch.to_string())]));
        }
        reply.next = Some(say("remind_command.cancel.next", &[]));
        Ok(Done::keeping(Change { reminders_cancelled: vec![reminder.id], ..Change::default() }, reply))
    }

    /// The reminder, if it is the member's and still waits.
    async fn waiting(&self, services: &Services, asking: &Asking) -> Result<Reminder, CommandError> {
        let reminder = of_member(self.id, services, asking).await?;
        match reminder.state {
            ReminderState::Scheduled | ReminderState::Claimed => Ok(reminder),
            ReminderState::Sent
            | ReminderState::GaveUp
            | ReminderState::Withdrawn
            | ReminderState::Cancelled => {
                let sentence = say("remind_command.cancel.over", &[("id", &self.id.to_string())]);
                Err(UserError::new(Code::NoSuchThing, sentence, "remind list").into())
            }
        }
    }
}
