//! Reminders in a shell: one tick, and what goes out in it.

use super::HOME_GROUP;
use crate::record::{MemberId, ReminderKind};
use crate::remind::courier::{Courier, Delivery, Parcel, Part};
use crate::remind::worker;
use crate::reply::{Due, say};
use crate::store::{Store, StoreError};
use chrono::{DateTime, Utc};
use serde_json::json;
use std::io::{self, Write};
use std::sync::{Mutex, PoisonError};

/// A reminder that goes out, and to whom.
#[derive(Debug, Clone)]
pub struct GoneOut {
    /// The member's name.
    pub member: String,
    /// The reminder.
    pub due: Due,
}

/// Why a tick ended early. What was not printed by then is not marked as sent.
#[derive(Debug, thiserror::Error)]
pub enum DueError {
    /// The record failed.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// Nobody reads what is printed.
    #[error("the reminders could not be printed")]
    Output(#[from] io::Error),
}

/// Printing is what delivers in a shell: what is printed is marked as sent after that, never before.
struct ToThisShell<'a, P> {
    store: &'a Store,
    print: Mutex<P>,
    broken: Mutex<Option<io::Error>>,
}

impl<P: FnMut(&GoneOut) -> io::Result<()> + Send> Courier for ToThisShell<'_, P> {
    async fn deliver(&self, parcel: &Parcel) -> Delivery {
        let mut print = self.print.lock().unwrap_or_else(PoisonError::into_inner);
        match parcel.parts.iter().try_for_each(|part| print(&gone_out(self.store, parcel, part))) {
            Ok(()) => Delivery::Delivered,
            Err(error) => {
                let reason = error.to_string();
                *self.broken.lock().unwrap_or_else(PoisonError::into_inner) = Some(error);
                Delivery::Closed { reason }
            }
        }
    }
}

/// One tick, for everybody or for one member of the home group; each reminder is printed by `print`.
pub async fn tick(
    store: &Store,
    now: DateTime<Utc>,
    only: Option<&str>,
    print: impl FnMut(&GoneOut) -> io::Result<()> + Send,
) -> Result<(), DueError> {
    let member = match only {
        None => None,
        Some(name) => match member_named(store, name) {
            Some(member) => Some(member),
            None => return Ok(()),
        },
    };
    let shell = ToThisShell { store, print: Mutex::new(print), broken: Mutex::new(None) };
    worker::tick_for(store, &shell, now, member).await?;
    match shell.broken.into_inner().unwrap_or_else(PoisonError::into_inner) {
        Some(error) => Err(error.into()),
        None => Ok(()),
    }
}

fn member_named(store: &Store, name: &str) -> Option<MemberId> {
    let group = store.group_by_name(HOME_GROUP)?;
    store.member_by_name(group.id, name).map(|member| member.id)
}

fn gone_out(store: &Store, parcel: &Parcel, part: &Part) -> GoneOut {
    let member =
        store.memberships_of(parcel.member).into_iter().next().map_or_else(String::new, |member| member.name);
    let due = Due {
        id: part.reminder.map(|(id, _)| id.0),
        kind: part.reminder.map_or(ReminderKind::Own, |(_, kind)| kind).word(),
        of: parcel.batch.map(|batch| batch.to_string()),
        at: part.due,
        text: part.text.clone(),
    };
    GoneOut { member, due }
}

/// Runs one tick and prints what goes out: a line each, or one JSON object.
pub async fn run(
    store: Store,
    only: Option<&str>,
    now: DateTime<Utc>,
    as_json: bool,
) -> Result<(), DueError> {
    let printed =
        if as_json { as_object(&store, now, only).await } else { as_lines(&store, now, only).await };
    let closed = store.close().await;
    printed?;
    Ok(closed?)
}

async fn as_lines(store: &Store, now: DateTime<Utc>, only: Option<&str>) -> Result<(), DueError> {
    tick(store, now, only, |gone| {
        let holes = [("member", &*gone.member), ("text", &*gone.due.text)];
        flushed(&format!("{}\n", say("terminal.reminder_for", &holes)))
    })
    .await
}

/// The object grows with each reminder, so that every one is out of the house before it is marked.
async fn as_object(store: &Store, now: DateTime<Utc>, only: Option<&str>) -> Result<(), DueError> {
    flushed(&format!("{{\"door\":{},\"due\":[", crate::reply::json::DOOR))?;
    let mut comma = "";
    tick(store, now, only, |gone| {
        let reminder = json!({ "member": gone.member, "reminder": gone.due });
        flushed(&format!("{}{reminder}", std::mem::replace(&mut comma, ",")))
    })
    .await?;
    Ok(flushed("]}\n")?)
}

fn flushed(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes())?;
    out.flush()
}
