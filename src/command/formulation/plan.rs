//! `/formulation plan`: the making day, counted back from stuffing, as a timetable and as reminders.

use crate::command::Args;
use crate::command::access::Deed;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::UserError;
use crate::command::lookup;
use crate::command::remind::due;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::command::time;
use crate::curing::formulation::plan::{Step, steps};
use crate::record::{BatchState, Reminder};
use crate::reply::{Reply, say};
use crate::store::Change;
use chrono::{DateTime, TimeDelta, Utc};

/// `/formulation plan`
pub static SPEC: Spec = Spec {
    root: "formulation",
    verb: "plan",
    aliases: &[],
    summary: "the making day counted back from stuffing; with a batch also as reminders",
    options: &[
        needed("stuffing", OptionKind::Time, "when you want to stuff, e.g. saturday 14:00"),
        maybe("batch", OptionKind::Batch, "one of yours: its steps become reminders"),
    ],
    examples: [
        "formulation plan stuffing:saturday 14:00",
        "formulation plan stuffing:tomorrow 10:00 batch:B1",
    ],
    private: true,
};

/// A day of making.
#[derive(Debug, Clone)]
pub struct FormulationPlan {
    stuffing: DateTime<Utc>,
    batch: Option<String>,
}

impl FormulationPlan {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        Ok(Self { stuffing: args.future("stuffing")?, batch: args.text("batch").map(str::to_owned) })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let batch = match &self.batch {
            None => None,
            Some(named) => {
                let state = lookup::named_batch(services, asking, named, Deed::Run).await?;
                Some(state)
            }
        };
        let when = time::shown(self.stuffing, asking.now, asking.zone());
        let mut reply = Reply::new("formulation plan", say("formulation.plan.headline", &[("when", &when)]));
        reply.lines = steps().iter().map(|step| self.line(step, asking)).collect();
        reply.lines.push(say("formulation.plan.custom", &[]));
        let Some(batch) = batch else {
            reply.next = Some(say("formulation.plan.next", &[]));
            return Ok(Done::reply(reply));
        };
        let reminders = self.reminders(&batch, services, asking);
        let holes = [("count", &*reminders.len().to_string()), ("batch", &batch.id.to_string())];
        reply.lines.push(say("formulation.plan.reminders", &holes));
        reply.due = reminders.iter().map(due).collect();
        reply.batch = Some(batch.id);
        Ok(Done::keeping(Change { reminders, ..Change::default() }, reply))
    }

    fn at(&self, step: &Step) -> DateTime<Utc> {
        self.stuffing - TimeDelta::minutes(step.minutes_before)
    }

    fn line(&self, step: &Step, asking: &Asking) -> String {
        let at = self.at(step);
        let key = if at < asking.now { "formulation.plan.late" } else { "formulation.plan.step" };
        let holes = [("when", &*time::moment(at, asking.now, asking.zone())), ("what", &sentence(step))];
        say(key, &holes)
    }

    /// What lies ahead and is worth one.
    fn reminders(&self, batch: &BatchState, services: &Services, asking: &Asking) -> Vec<Reminder> {
        let ahead = steps().iter().filter(|step| step.reminds && self.at(step) > asking.now);
        ahead
            .map(|step| {
                let id = services.store.next_reminder_id();
                let own = Reminder::own(id, asking.member.id, self.at(step), sentence(step));
                Reminder { batch: Some(batch.id), ..own }
            })
            .collect()
    }
}

fn sentence(step: &Step) -> String {
    say(&format!("formulation.plan.of.{}", step.id), &[])
}
