//! `/remind list`: what the member is still to be reminded of.

use super::due;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::spec::Spec;
use crate::command::time;
use crate::record::Reminder;
use crate::reply::{Reply, say};
use chrono::{DateTime, Utc};

/// `/remind list`
pub static SPEC: Spec = Spec {
    root: "remind",
    verb: "list",
    aliases: &[],
    summary: "what you will be reminded of, the next one first",
    options: &[],
    examples: ["remind list", "/remind list"],
    private: true,
};

/// A list of reminders.
#[derive(Debug, Clone, Copy)]
pub struct RemindList;

/// A list longer than this is cut, and says so.
const MOST: usize = 25;

impl RemindList {
    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let waiting = services.store.reminders_of(asking.member.id).await?;
        let headline = match waiting.len() {
            0 => say("remind_command.list.none", &[]),
            1 => say("remind_command.list.one", &[]),
            count => say("remind_command.list.several", &[("count", &count.to_string())]),
        };
        let mut reply = Reply::new("remind list", headline);
        reply.lines.extend(paused(asking));
        for reminder in waiting.iter().take(MOST) {
            reply.lines.push(line(reminder, asking));
            reply.due.push(due(reminder));
        }
        if waiting.len() > MOST {
            let left = (waiting.len() - MOST).to_string();
            reply.lines.push(say("remind_command.list.more", &[("count", &left)]));
        }
        reply.next = Some(match waiting.first() {
            None => say("remind_command.list.next_none", &[]),
            Some(first) => say("remind_command.list.next", &[("id", &first.id.to_string())]),
        });
        Ok(Done::reply(reply))
    }
}

/// Whether they are held back, where they are. Said wherever reminders are spoken of.
pub(in crate::command) fn paused(asking: &Asking) -> Option<String> {
    let pause = asking.member.settings.reminders_paused.filter(|pause| pause.lasts_at(asking.now))?;
    let shown = |moment| time::shown(moment, asking.now, asking.zone());
    let since = shown(pause.since);
    Some(match pause.until {
        Some(until) => say("remind_command.list.paused", &[("since", &since), ("until", &shown(until))]),
        None => say("remind_command.list.paused_open", &[("since", &since)]),
    })
}

/// When it goes out at the earliest, by what is known now.
fn goes_at(reminder: &Reminder, asking: &Asking) -> DateTime<Utc> {
    let pause = asking.member.settings.reminders_paused.filter(|pause| pause.lasts_at(asking.now));
    match pause.filter(|_| !reminder.kind.cannot_wait()) {
        Some(pause) => pause.until.map_or(reminder.wanted_at(), |until| until.max(reminder.wanted_at())),
        None => reminder.goes_at(),
    }
}

fn line(reminder: &Reminder, asking: &Asking) -> String {
    let id = reminder.id.to_string();
    let when = time::shown(goes_at(reminder, asking), asking.now, asking.zone());
    let holes = [("id", &*id), ("when", &when), ("text", &reminder.text)];
    let mut line = say("remind_command.list.line", &holes);
    line.push_str(&match reminder.every_days {
        None => String::new(),
        Some(1) => say("remind_command.list.every_day", &[]),
        Some(days) => say("remind_command.list.every", &[("days", &days.to_string())]),
    });
    line
}
