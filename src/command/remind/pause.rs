//! `/remind pause`: nothing comes for a while but what a fermentation cannot wait for.

use crate::command::Args;
use crate::command::asking::{Asking, Done};
use crate::command::error::{Code, UserError};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::time;
use crate::record::Pause;
use crate::reply::{Reply, say};
use crate::store::Change;
use chrono::{DateTime, TimeDelta, Utc};

/// `/remind pause`
pub static SPEC: Spec = Spec {
    root: "remind",
    verb: "pause",
    aliases: &[],
    summary: "hold your reminders back, but not what a fermentation asks for",
    options: &[
        maybe("for", OptionKind::Text, "how long, e.g. 10 days; without it until you resume"),
        maybe("until", OptionKind::Time, "or until when, e.g. sunday 18:00"),
    ],
    examples: ["remind pause for:10 days", "remind pause until:sunday 18:00"],
    private: true,
};

/// The shortest and the longest pause with an end. Our choice.
const SHORTEST: TimeDelta = TimeDelta::minutes(30);
const LONGEST: TimeDelta = TimeDelta::days(180);

/// Reminders to be held back.
#[derive(Debug, Clone, Copy)]
pub struct RemindPause {
    until: Option<DateTime<Utc>>,
}

impl RemindPause {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let until = match (args.hours("for")?, args.text("until")) {
            (None, None) => return Ok(Self { until: None }),
            (Some(hours), None) => {
                let minutes = (hours.value() * 60.0).ceil();
                let is_sane = (0.0..=LONGEST.num_minutes() as f64).contains(&minutes);
                is_sane.then(|| args.asking.now + TimeDelta::minutes(minutes as i64))
            }
            (None, Some(_)) => Some(args.future("until")?),
            (Some(_), Some(_)) => {
                return Err(args.error(Code::DoesNotFit, say("remind_command.pause.one_of", &[])));
            }
        };
        let lasts = |until: &DateTime<Utc>| (SHORTEST..=LONGEST).contains(&(*until - args.asking.now));
        let until = until.filter(lasts).ok_or_else(|| {
            let (least, most) = (SHORTEST.num_minutes().to_string(), LONGEST.num_days().to_string());
            let holes = [("least", &*least), ("most", &*most)];
            args.error(Code::OutOfRange, say("remind_command.pause.range", &holes))
        })?;
        Ok(Self { until: Some(until) })
    }

    /// Carries it out. A pause that lasts already gets another end.
    pub fn perform(self, asking: &Asking) -> Done {
        let headline = match self.until {
            Some(until) => {
                let until = time::shown(until, asking.now, asking.zone());
                say("remind_command.pause.done", &[("until", &until)])
            }
            None => say("remind_command.pause.done_open", &[]),
        };
        let mut reply = Reply::new("remind pause", headline);
        reply.lines.push(say("remind_command.pause.not_held", &[]));
        reply.lines.push(say("remind_command.pause.afterwards", &[]));
        reply.next = Some(say("remind_command.pause.next", &[]));
        let lasting = asking.member.settings.reminders_paused.filter(|pause| pause.lasts_at(asking.now));
        let since = lasting.map_or(asking.now, |pause| pause.since);
        let mut member = asking.member.clone();
        member.settings.reminders_paused = Some(Pause { since, until: self.until });
        Done::keeping(Change { members: vec![member], ..Change::default() }, reply)
    }
}
