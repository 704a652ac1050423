//! Reminders in a shell: one tick, and what went out in it.

use super::HOME_GROUP;
use crate::record::{MemberId, ReminderKind};
use crate::remind::courier::{Courier, Parcel, Undelivered};
use crate::remind::worker;
use crate::reply::{Due, say};
use crate::store::{Store, StoreError};
use chrono::{DateTime, Utc};
use serde_json::json;

/// A reminder that went out, and to whom.
#[derive(Debug, Clone)]
pub struct GoneOut {
    /// The member's name.
    pub member: String,
    /// The reminder.
    pub due: Due,
}

/// Printing is what delivers in a shell, and it cannot fail halfway: what a tick reports is printed at once.
#[derive(Debug, Clone, Copy)]
struct ToThisShell;

impl Courier for ToThisShell {
    async fn deliver(&self, _parcel: &Parcel) -> Result<(), Undelivered> {
        Ok(())
    }
}

/// One tick, for everybody or for one member of the home group.
pub async fn tick(store: &Store, now: DateTime<Utc>, only: Option<&str>) -> Result<Vec<GoneOut>, StoreError> {
    let member = match only {
        None => None,
        Some(name) => match member_named(store, name) {
            Some(member) => Some(member),
            None => return Ok(Vec::new()),
        },
    };
    let report = worker::tick_for(store, &ToThisShell, now, member).await?;
    Ok(report.sent.into_iter().map(|sent| gone_out(store, sent)).collect())
}

fn member_named(store: &Store, name: &str) -> Option<MemberId> {
    let group = store.group_by_name(HOME_GROUP)?;
    store.member_by_name(group.id, name).map(|member| member.id)
}

fn gone_out(store: &Store, sent: worker::Sent) -> GoneOut {
    let member =
        store.memberships_of(sent.member).into_iter().next().map_or_else(String::new, |member| member.name);
    let due = Due {
        id: sent.reminder.map(|(id, _)| id.0),
        kind: sent.reminder.map_or(ReminderKind::Own, |(_, kind)| kind).word(),
        of: sent.batch.map(|batch| batch.to_string()),
        at: sent.due,
        text: sent.text,
    };
    GoneOut { member, due }
}

/// Runs one tick and prints what goes out: a line each, or one JSON object.
pub async fn run(
    store: Store,
    only: Option<&str>,
    now: DateTime<Utc>,
    as_json: bool,
) -> Result<(), StoreError> {
    let gone = tick(&store, now, only).await?;
    if as_json {
        let due: Vec<_> =
            gone.iter().map(|gone| json!({ "member": gone.member, "reminder": gone.due })).collect();
        println!("{}", json!({ "door": crate::reply::json::DOOR, "due": due }));
    } else {
        for gone in &gone {
            println!(
                "{}",
                say("terminal.reminder_for", &[("member", &gone.member), ("text", &gone.due.text)])
            );
        }
    }
    store.close().await
}
