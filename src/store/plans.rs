//! The plan of a batch's reminders: what changes when a new one takes the place of the one that is kept.

use super::change::ReminderPlan;
use super::convert::ms;
use super::engine::Connection;
use super::error::StoreError;
use super::numbers::Numbers;
use super::reminders::{self, ReminderRow};
use crate::record::{PlannedReminder, Reminder, ReminderKind};
use chrono::TimeDelta;

/// What was sent is sent again when it turns out to be due so much later: a start that was corrected, a weighing that
/// was misread. Less than this is a plan that shifts with a reading of the room, a night, or the zone of a member who
/// travels. Our choice.
const LATER: TimeDelta = TimeDelta::hours(12);

/// What is to be done so that a batch's reminders are as planned.
#[derive(Debug, PartialEq)]
enum Step<'a> {
    Add(&'a PlannedReminder),
    Move(i64, &'a PlannedReminder),
    Withdraw(i64),
}

/// Unsent rows move, missing ones are added, those no longer planned are withdrawn. What was sent or given up comes
/// again only for a time well after that. What is being sent or was cancelled by the member stays as it is, and so does
/// what was sent and the member put off, as long as it is planned.
fn steps<'a>(kept: &[ReminderRow], plan: &'a ReminderPlan) -> Vec<Step<'a>> {
    let mut steps = Vec::new();
    for planned in &plan.planned {
        let same = kept
            .iter()
            .find(|row| row.kind == planned.kind.word() && row.occurrence == i64::from(planned.occurrence));
        match same {
            None => steps.push(Step::Add(planned)),
            Some(row) if matches!(&*row.state, "claimed" | "cancelled") => {}
            Some(row) if was_said(row, planned) => {
                if row.state == "scheduled" && row.snoozed_ms.is_none() {
                    steps.push(Step::Withdraw(row.id));
                }
            }
            Some(row) => {
                let as_planned = row.state == "scheduled"
                    && row.due_ms == ms(planned.due)
                    && row.text == planned.text
                    && row.member_id == plan.member.0;
                if !as_planned {
                    steps.push(Step::Move(row.id, planned));
                }
            }
        }
    }
    for row in kept.iter().filter(|row| row.state == "scheduled") {
        let still_planned = plan.planned.iter().any(|planned| {
            row.kind == planned.kind.word() && row.occurrence == i64::from(planned.occurrence)
        });
        if !still_planned {
            steps.push(Step::Withdraw(row.id));
        }
    }
    steps
}

/// Whether it was sent or given up, and the plan does not mean a time well after that. A row that waits for its second
/// time still knows when it was sent.
fn was_said(row: &ReminderRow, planned: &PlannedReminder) -> bool {
    let said = if row.state == "gave_up" { Some(row.due_ms) } else { row.sent_ms };
    said.is_some_and(|said| ms(planned.due) < said.saturating_add(LATER.num_milliseconds()))
}

/// Refuses a plan that was computed from what is not so any more.
pub(super) async fn check(connection: &mut Connection, plan: &ReminderPlan) -> Result<(), StoreError> {
    let version: Vec<(i64,)> =
        connection.all("select version from batches where id = $1", [plan.batch.0.into()]).await?;
    let mut is_current = version.first().map_or(0, |(version,)| *version) == plan.computed_from;
    for (chamber, newest) in &plan.air {
        let found: Vec<(Option<i64>,)> =
            connection.all("select max(id) from events where chamber_id = $1", [chamber.0.into()]).await?;
        is_current &= found.first().and_then(|(id,)| *id) == newest.map(|event| event.0);
    }
    if is_current { Ok(()) } else { Err(StoreError::Conflict { batch: plan.batch }) }
}

/// Makes a batch's reminders what its plan says.
pub(super) async fn keep(
    connection: &mut Connection,
    numbers: &Numbers,
    plan: &ReminderPlan,
) -> Result<(), StoreError> {
    if plan.planned.iter().any(|planned| planned.kind == ReminderKind::Own) {
        return Err(StoreError::unfit(&"the plan of a batch holds a member's own reminder"));
    }
    let kept = reminders::planned(connection, plan.batch).await?;
    for step in steps(&kept, plan) {
        take(connection, numbers, plan, step).await?;
    }
    Ok(())
}

async fn take(
    connection: &mut Connection,
    numbers: &Numbers,
    plan: &ReminderPlan,
    step: Step<'_>,
) -> Result<(), StoreError> {
    match step {
        Step::Add(planned) => {
            let id = numbers.reminder();
            let reminder = Reminder {
                batch: Some(plan.batch),
                kind: planned.kind,
                occurrence: planned.occurrence,
                ..Reminder::own(id, plan.member, planned.due, planned.text.clone())
            };
            reminders::keep(connection, &reminder).await?;
        }
        Step::Move(id, planned) => {
            connection
                .run(
                    "update reminders set member_id = $2, due_ms = $3, text = $4, state = 'scheduled', tries = 0,
                         not_before_ms = snoozed_ms, failure = null
                     where id = $1",
                    [
                        id.into(),
                        plan.member.0.into(),
                        ms(planned.due).into(),
                        planned.text.as_str().into(),
                    ],
                )
                .await?;
        }
        Step::Withdraw(id) => {
            connection
                .run("update reminders set state = 'withdrawn', snoozed_ms = null where id = $1", [id.into()])
                .await?;
        }
    }
    Ok(())
}
