//! `/remind resume`: the end of a pause.

use crate::command::asking::{Asking, Done, Outcome};
use crate::command::spec::Spec;
use crate::command::time;
use crate::record::Pause;
use crate::reply::{Reply, say};
use crate::store::Change;

/// `/remind resume`
pub static SPEC: Spec = Spec {
    root: "remind",
    verb: "resume",
    aliases: &[],
    summary: "end the pause of your reminders",
    options: &[],
    examples: ["remind resume", "/remind resume"],
    private: true,
};

/// Reminders to go on.
#[derive(Debug, Clone, Copy)]
pub struct RemindResume;

impl RemindResume {
    /// Carries it out.
    pub fn perform(self, asking: &Asking) -> Outcome {
        let Some(pause) = asking.member.settings.reminders_paused.filter(|pause| pause.lasts_at(asking.now))
        else {
            return Ok(Done::reply(Reply::new(
                "remind resume",
                say("remind_command.resume.not_paused", &[]),
            )));
        };
        let since = time::shown(pause.since, asking.now, asking.zone());
        let mut reply = Reply::new("remind resume", say("remind_command.resume.done", &[("since", &since)]));
        reply.lines.push(say("remind_command.resume.held", &[]));
        let mut member = asking.member.clone();
        member.settings.reminders_paused = Some(Pause { until: Some(asking.now), ..pause });
        Ok(Done::keeping(Change { members: vec![member], ..Change::default() }, reply))
    }
}
