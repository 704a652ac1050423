//! `/remind snooze`: a reminder goes out later, or one that was just sent goes out once more.

use super::{due, of_member};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::time;
use crate::record::{Reminder, ReminderId, ReminderKind, ReminderState};
use crate::remind::quiet;
use crate::reply::{Reply, say, words};
use crate::store::{Change, Snooze};
use chrono::{DateTime, TimeDelta, Utc};

/// `/remind snooze`
pub static SPEC: Spec = Spec {
    root: "remind",
    verb: "snooze",
    aliases: &["later"],
    summary: "put a reminder off, or be reminded once more of one that just came",
    options: &[
        maybe("id", OptionKind::Text, "its number in the list; without it, the one that came last"),
        maybe("for", OptionKind::Text, "how much later, e.g. 2 h"),
        maybe("until", OptionKind::Time, "or until when, e.g. tomorrow 9am"),
    ],
    examples: ["remind snooze for:2 h", "remind snooze id:12 until:tomorrow 9am"],
    private: true,
};

/// The shortest and the longest time by which one is put off. Our choice.
const SHORTEST: TimeDelta = TimeDelta::minutes(5);
const LONGEST: TimeDelta = TimeDelta::days(60);
/// One that was sent longer ago than this did not just come. Our choice.
const JUST: TimeDelta = TimeDelta::days(3);

/// A reminder to be put off.
#[derive(Debug, Clone, Copy)]
pub struct RemindSnooze {
    id: Option<ReminderId>,
    to: To,
}

#[derive(Debug, Clone, Copy)]
enum To {
    For(TimeDelta),
    Until(DateTime<Utc>),
}

impl RemindSnooze {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let id = args.text("id").map(|typed| args.whole_number("id", typed)).transpose()?.map(ReminderId);
        let to = match (args.hours("for")?, args.text("until")) {
            (Some(hours), None) => To::For(span(hours.value()).ok_or_else(|| out_of_range(args))?),
            (None, Some(_)) => To::Until(args.future("until")?),
            _ => return Err(args.error(Code::MissingOption, say("remind_command.snooze.one_of", &[]))),
        };
        match to {
            To::Until(until) if until - args.asking.now > LONGEST => Err(out_of_range(args)),
            to => Ok(Self { id, to }),
        }
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let reminder = self.reminder(services, asking).await?;
        still_makes_sense(&reminder, services, asking).await?;
        let wanted = self.until(&reminder, asking)?;
        let until = quiet::later(wanted, asking.zone(), asking.quiet());
        let when = time::shown(until, asking.now, asking.zone());
        let holes = [("when", &*when), ("text", &reminder.text)];
        let mut reply = Reply::new("remind snooze", say("remind_command.snooze.done", &holes));
        if until != wanted {
            let quiet = asking.group.settings.quiet_hours;
            let holes = [("from", &*quiet.from.to_string()), ("until", &quiet.until.to_string())];
            reply.lines.push(say("remind_command.snooze.not_at_night", &holes));
        }
        if reminder.every_days.is_some() {
            reply.lines.push(say("remind_command.snooze.others_stay", &[]));
        }
        reply.next = Some(say("remind_command.set.next", &[("id", &reminder.id.to_string())]));
        reply.due.push(due(&Reminder {
            snoozed: Some(until),
            due: reminder.due.min(until),
            ..reminder.clone()
        }));
        let snooze = Snooze { id: reminder.id, until };
        Ok(Done::keeping(Change { reminders_snoozed: vec![snooze], ..Change::default() }, reply))
    }

    /// The one that is named, else the one that came last.
    async fn reminder(&self, services: &Services, asking: &Asking) -> Result<Reminder, CommandError> {
        if let Some(id) = self.id {
            return of_member(id, services, asking).await;
        }
        services.store.reminder_sent_last(asking.member.id).await?.ok_or_else(|| {
            let sentence = say("remind_command.snooze.none_came", &[]);
            UserError::new(Code::NoSuchThing, sentence, "remind list").into()
        })
    }

    /// When it is to come, before the quiet hours are looked at. One that waits is put off from its time, one that just
    /// came from now.
    fn until(&self, reminder: &Reminder, asking: &Asking) -> Result<DateTime<Utc>, CommandError> {
        let came = just_came(reminder, asking.now);
        let until = match self.to {
            To::For(span) if came => asking.now + span,
            To::For(span) => reminder.goes_at().max(asking.now) + span,
            To::Until(until) => until,
        };
        if !came && until <= reminder.goes_at() {
            let when = time::shown(reminder.goes_at(), asking.now, asking.zone());
            let holes = [("id", &*reminder.id.to_string()), ("when", &when)];
            let sentence = say("remind_command.snooze.not_later", &holes);
            let example = format!("remind snooze id:{} for:2 h", reminder.id);
            return Err(UserError::new(Code::OutOfRange, sentence, example).into());
        }
        Ok(until)
    }
}

fn span(hours: f64) -> Option<TimeDelta> {
    let minutes = (hours * 60.0).round();
    let is_sane = (0.0..=LONGEST.num_minutes() as f64).contains(&minutes);
    is_sane.then(|| TimeDelta::minutes(minutes as i64)).filter(|span| *span >= SHORTEST)
}

fn out_of_range(args: Args<'_>) -> UserError {
    let holes = [("least", &*SHORTEST.num_minutes().to_string()), ("most", &LONGEST.num_days().to_string())];
    args.error(Code::OutOfRange, say("remind_command.snooze.range", &holes))
}

/// Whether it came already and is meant to come once more: of one that repeats, whether its last time is nearer than its
/// next.
fn just_came(reminder: &Reminder, now: DateTime<Utc>) -> bool {
    let repeats = reminder.every_days.is_some() && reminder.anchor.is_some();
    let is_nearer = |sent: DateTime<Utc>| repeats && now - sent < reminder.goes_at() - now;
    reminder.state == ReminderState::Sent || reminder.sent.is_some_and(is_nearer)
}

/// Refuses what is over, and the warning that is not to be put off.
async fn still_makes_sense(
    reminder: &Reminder,
    services: &Services,
    asking: &Asking,
) -> Result<(), CommandError> {
    let refuse = |code, sentence| Err(CommandError::User(UserError::new(code, sentence, "remind list")));
    let id = reminder.id.to_string();
    let is_over = match reminder.state {
        ReminderState::Scheduled | ReminderState::Claimed => false,
        ReminderState::Sent => reminder.sent.is_none_or(|sent| asking.now - sent > JUST),
        ReminderState::GaveUp | ReminderState::Withdrawn | ReminderState::Cancelled => true,
    };
    if is_over {
        return refuse(Code::NoSuchThing, say("remind_command.cancel.over", &[("id", &id)]));
    }
    let Some(batch) = reminder.batch.filter(|_| reminder.kind != ReminderKind::Own) else { return Ok(()) };
    if reminder.kind == ReminderKind::DegreeHoursNearlySpent {
        let sentence = say("remind_command.snooze.not_this", &[]);
        let example = format!("ferment degree-hours batch:{batch}");
        return Err(UserError::new(Code::Refused, sentence, example).into());
    }
    let Some((state, _)) = services.store.batch(batch).await? else { return Ok(()) };
    let (stage, _) = state.stage();
    if reminder.kind.stage() == Some(stage) {
        return Ok(());
    }
    let holes =
        [("batch", &*batch.to_string()), ("name", &state.plan.name), ("stage", &*words::stage(stage))];
    refuse(Code::DoesNotFit, say("remind_command.snooze.moved_on", &holes))
}
