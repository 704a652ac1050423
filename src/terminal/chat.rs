//! The chat: line editing, history, and reminders that have fallen due before each prompt.

use super::HOME_GROUP;
use super::due;
use crate::clock::{Clock, SystemClock};
use crate::desk::{Answered, Desk, Incoming};
use crate::reply::{plain, say};
use crate::store::Store;
use rustyline::DefaultEditor;
use rustyline::error::ReadlineError;

/// Why the chat ended early.
#[derive(Debug, thiserror::Error)]
pub enum ChatError {
    /// The terminal failed.
    #[error("the terminal failed: {0}")]
    Terminal(#[from] ReadlineError),
    /// The record failed.
    #[error("the record failed: {0}")]
    Store(#[from] crate::store::StoreError),
}

/// Talks to a member until they leave.
pub async fn run(store: Store, member: &str) -> Result<(), ChatError> {
    run_with(Desk::new(store), member, &SystemClock).await
}

/// As [`run`], by another clock: the demonstration's stands in its own story.
pub async fn run_with(desk: Desk, member: &str, clock: &dyn Clock) -> Result<(), ChatError> {
    println!("{}", say("terminal.hello", &[("member", member)]));
    // A damaged record is found while the member reads the greeting; its cause goes to the log.
    let _check = desk.store().check_in_background();
    let mut editor = DefaultEditor::new()?;
    let mut last: Option<Answered> = None;
    loop {
        remind(&desk, member, clock).await?;
        match editor.readline("> ") {
            Ok(line) if line.trim().is_empty() => {}
            Ok(line) if matches!(line.trim(), "quit" | "exit") => break,
            Ok(line) => {
                let _ = editor.add_history_entry(line.as_str());
                last = Some(answer(&desk, member, clock, &line, last).await);
            }
            Err(ReadlineError::Eof | ReadlineError::Interrupted) => break,
            Err(error) => return Err(error.into()),
        }
    }
    desk.store().close().await?;
    Ok(())
}

/// Answers one line. "why" unfolds how the last answer was worked out; "yes" answers the last question.
async fn answer(
    desk: &Desk,
    member: &str,
    clock: &dyn Clock,
    line: &str,
    last: Option<Answered>,
) -> Answered {
    if let (Some(Answered::Reply(reply)), "why") = (&last, line.trim()) {
        let working = plain::working(reply);
        let empty = say("terminal.nothing_to_explain", &[]);
        println!("{}", if working.is_empty() { &empty } else { &working });
        return Answered::Reply(reply.clone());
    }
    let (text, confirmed) = match &last {
        Some(Answered::Question(question)) if line.trim().eq_ignore_ascii_case("yes") => {
            (question.line.clone(), true)
        }
        _ => (line.to_owned(), false),
    };
    let incoming = Incoming {
        id: None,
        group: HOME_GROUP.to_owned(),
        author: member.to_owned(),
        text,
        at: clock.now(),
        confirmed,
    };
    let answered = desk.answer(&incoming).await;
    println!("{}\n", answered.text());
    answered
}

async fn remind(desk: &Desk, member: &str, clock: &dyn Clock) -> Result<(), ChatError> {
    for gone in due::tick(desk.store(), clock.now(), Some(member)).await? {
        println!("{}", say("terminal.reminder", &[("text", &gone.due.text)]));
    }
    Ok(())
}
