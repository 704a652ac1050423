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
    // A damaged record is found while the member reads the greeting; its cause goes to the log.
    let _check = desk.store().check_in_background();
    let mut editor = DefaultEditor::new()?;
    println!("{}", wrapped(&say("terminal.hello", &[("member", member)]), &mut editor));
    let mut last: Option<Answered> = None;
    loop {
        for gone in due::tick(desk.store(), clock.now(), Some(member)).await? {
            let reminder = say("terminal.reminder", &[("text", &gone.due.text)]);
            println!("{}", wrapped(&reminder, &mut editor));
        }
        match editor.readline("> ") {
            Ok(line) if line.trim().is_empty() => {}
            Ok(line) if matches!(line.trim(), "quit" | "exit") => break,
            Ok(line) => {
                let _ = editor.add_history_entry(line.as_str());
                let (shown, answered) = answer(&desk, member, clock, &line, last).await;
                println!("{}\n", wrapped(&shown, &mut editor));
                last = Some(answered);
            }
            Err(ReadlineError::Eof | ReadlineError::Interrupted) => break,
            Err(error) => return Err(error.into()),
        }
    }
    desk.store().close().await?;
    Ok(())
}

/// Columns of a terminal that does not tell its width.
const COLUMNS: usize = 80;

/// The text broken at words, so that a narrow window does not break it inside one.
fn wrapped(text: &str, editor: &mut DefaultEditor) -> String {
    let columns = editor.dimensions().map_or(COLUMNS, |(columns, _)| usize::from(columns));
    let options = textwrap::Options::new(columns).subsequent_indent("    ").break_words(false);
    text.lines().map(|line| textwrap::fill(line, &options)).collect::<Vec<_>>().join("\n")
}

/// Answers one line: what is shown, and what the next line may refer to. "why" unfolds how the last answer was worked
/// out; "yes" answers the last question.
async fn answer(
    desk: &Desk,
    member: &str,
    clock: &dyn Clock,
    line: &str,
    last: Option<Answered>,
) -> (String, Answered) {
    if let (Some(Answered::Reply(reply)), "why") = (&last, line.trim()) {
        let working = plain::working(reply);
        let nothing = working.is_empty();
        let shown = if nothing { say("terminal.nothing_to_explain", &[]) } else { working };
        return (shown, Answered::Reply(reply.clone()));
    }
    let (text, confirmed) = match last {
        Some(Answered::Question(question)) if line.trim().eq_ignore_ascii_case("yes") => {
            (question.line, true)
        }
        _ => (line.to_owned(), false),
    };
    let incoming = Incoming { confirmed, ..Incoming::line(HOME_GROUP, member, &text, clock.now()) };
    let answered = desk.answer(&incoming).await;
    (answered.text(), answered)
}
