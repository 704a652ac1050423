//! The plan of a batch's reminders: what changes when a new one takes the place of the one that is kept.

use super::change::ReminderPlan;
use super::convert::ms;
use super::engine::Connection;
use super::error::StoreError;
use super::numbers::Numbers;
use super::reminders::{self, ReminderRow};
use crate::record::{PlannedReminder, Reminder, ReminderKind, ReminderState};

/// What is to be done so that a batch's reminders are as planned.
#[derive(Debug, PartialEq)]
enum Step<'a> {
    Add(&'a PlannedReminder),
    Move(i64, &'a PlannedReminder),
    Withdraw(i64),
}

/// Unsent rows move, missing ones are added, those no longer planned are withdrawn. What is being sent, was sent,
/// was given up or was cancelled by the member stays as it is.
fn steps<'a>(kept: &[ReminderRow], plan: &'a ReminderPlan) -> Vec<Step<'a>> {
    let mut steps = Vec::new();
    for planned in &plan.planned {
        let same = kept
            .iter()
            .find(|row| row.kind == planned.kind.word() && row.occurrence == i64::from(planned.occurrence));
        match same {
            None => steps.push(Step::Add(planned)),
            Some(row) if row.state == "withdrawn" => steps.push(Step::Move(row.id, planned)),
            Some(row) if row.state == "scheduled" => {
                let as_planned = row.due_ms == ms(planned.due)
                    && row.text == planned.text
                    && row.member_id == plan.member.0;
                if !as_planned {
                    steps.push(Step::Move(row.id, planned));
                }
            }
            Some(_) => {}
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
            let reminder = Reminder {
                id: numbers.reminder(),
                member: plan.member,
                batch: Some(plan.batch),
                kind: planned.kind,
                occurrence: planned.occurrence,
                due: planned.due,
                text: planned.text.clone(),
                every_days: None,
                state: ReminderState::Scheduled,
                tries: 0,
            };
            reminders::keep(connection, &reminder).await?;
        }
        Step::Move(id, planned) => {
            connection
                .run(
                    "update reminders set member_id = $2, due_ms = $3, text = $4, state = 'scheduled', tries = 0
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
            connection.run("update reminders set state = 'withdrawn' where id = $1", [id.into()]).await?;
        }
    }
    Ok(())
}
