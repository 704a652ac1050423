//! What a batch asks to be reminded of. Pure: the same record gives the same plan.
//!
//! No clock is asked. A plan says when each thing is due, also when that is past: what was sent already stays sent,
//! and what comes too late is sent once and says so (see [`super::worker`]). A kind and an occurrence together name
//! a reminder. Occurrences count from the beginning of the stage, in hours or days, never from the last entry, so
//! that a back-dated entry moves a reminder instead of adding a second one. A stage that is entered again counts on
//! from a number of its own, so that what was sent the first time is asked again.

mod budget;
mod curing;
mod drying;
mod fermenting;

use crate::record::climate::Climate;
use crate::record::{BatchKind, BatchStage, BatchState, PlannedReminder, QuietHours, ReminderKind};
use crate::reply::say;
use chrono::{DateTime, Utc};
use chrono_tz::Tz;

/// Occurrences of one stay in a stage; the next stay begins at this number. More than days, checks or pieces ever are.
const PER_STAY: u32 = 1_000_000;

/// What a plan is made from.
#[derive(Debug, Clone, Copy)]
pub struct PlanInput<'a> {
    /// The batch as it stands.
    pub state: &'a BatchState,
    /// The air around it since it was taken in hand, while it ferments; empty in any other stage.
    pub climate: &'a Climate,
    /// The zone of whom the reminders go to.
    pub zone: Tz,
    /// The hours in which they want to be left alone; `None`: they want reminders at night too.
    pub quiet: Option<QuietHours>,
}

/// Everything that should be waiting from now on, sorted by time.
///
/// A batch that is only planned, and one that is over, asks for nothing.
pub fn plan(input: &PlanInput<'_>) -> Vec<PlannedReminder> {
    let whole_muscle = input.state.plan.kind == BatchKind::WholeMuscle;
    let mut planned = match input.state.stage().0 {
        BatchStage::Fermenting => fermenting::plan(input),
        BatchStage::Curing if whole_muscle => curing::in_the_cure(input),
        BatchStage::Resting => curing::at_rest(input),
        BatchStage::Drying => drying::plan(input),
        _ => Vec::new(),
    };
    planned.sort_by_key(|reminder| (reminder.due, reminder.kind, reminder.occurrence));
    planned
}

/// Days between the weighings a drying batch asks for; `None` in any other stage.
pub fn weigh_every_days(input: &PlanInput<'_>) -> Option<u32> {
    (input.state.stage().0 == BatchStage::Drying).then(|| drying::every_days(input))
}

impl PlanInput<'_> {
    /// Since when the batch has been in the stage it is in. A stage that was said twice began the first time.
    fn since(&self) -> DateTime<Utc> {
        let (stage, last) = self.state.stage();
        let same = self.state.stages.iter().rev().take_while(|(reached, _)| *reached == stage);
        same.last().map_or(last, |(_, at)| *at)
    }

    /// How often the batch was in its present stage before: 0 the first time.
    fn stays_before(&self) -> u32 {
        let (stage, _) = self.state.stage();
        let mut reached: Vec<BatchStage> = self.state.stages.iter().map(|(reached, _)| *reached).collect();
        reached.dedup();
        let stays = reached.iter().filter(|reached| **reached == stage).count();
        u32::try_from(stays.saturating_sub(1)).unwrap_or(u32::MAX)
    }

    /// A reminder with its sentence; `{batch}` and `{name}` are filled for every one.
    fn reminder(
        &self,
        (kind, occurrence): (ReminderKind, u32),
        due: DateTime<Utc>,
        key: &str,
        holes: &[(&str, &str)],
    ) -> PlannedReminder {
        let batch = self.state.id.to_string();
        let mut filled = vec![("batch", batch.as_str()), ("name", self.state.plan.name.as_str())];
        filled.extend_from_slice(holes);
        let occurrence = self.stays_before().saturating_mul(PER_STAY).saturating_add(occurrence);
        PlannedReminder { kind, occurrence, due, text: say(key, &filled) }
    }
}

#[cfg(test)]
mod tests;
