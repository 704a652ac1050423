//! The chat: line editing, history, and reminders that have fallen due before each prompt.

use super::HOME_GROUP;
use super::{due, picture};
use crate::clock::{Clock, SystemClock};
use crate::desk::{Answered, Desk, Incoming, Sender};
use crate::reply::{Language, in_language, plain, say, spoken_in};
use crate::store::Store;
use chrono::{DateTime, Utc};
use rustyline::DefaultEditor;
use rustyline::error::ReadlineError;
use std::io::Write;
use std::path::Path;

/// Why the chat ended early.
#[derive(Debug, thiserror::Error)]
pub enum ChatError {
    /// The terminal failed.
    #[error("the terminal failed: {0}")]
    Terminal(#[from] ReadlineError),
    /// The record failed.
    #[error("the record failed: {0}")]
    Store(#[from] crate::store::StoreError),
    /// The reminders could not be given.
    #[error(transparent)]
    Due(#[from] due::DueError),
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
    let hello = in_language(language(&desk, member), || say("terminal.hello", &[("member", member)]));
    println!("{}", wrapped(&hello, &mut editor));
    let mut last: Option<Last> = None;
    loop {
        let columns = columns(&mut editor);
        due::tick(desk.store(), clock.now(), Some(member), |gone| {
            let reminder = say("terminal.reminder", &[("text", &gone.due.text)]);
            writeln!(std::io::stdout(), "{}", wrapped_at(columns, &reminder))
        })
        .await?;
        match editor.readline("> ") {
            Ok(line) if line.trim().is_empty() => {}
            Ok(line) if matches!(line.trim(), "quit" | "exit") => break,
            Ok(line) => {
                let _ = editor.add_history_entry(line.as_str());
                let said = answer(&desk, member, clock, &line, last);
                let (shown, answered) = spoken_in(language(&desk, member), said).await;
                println!("{}\n", wrapped(&shown, &mut editor));
                last = answered;
            }
            Err(ReadlineError::Eof | ReadlineError::Interrupted) => break,
            Err(error) => return Err(error.into()),
        }
    }
    desk.store().close().await?;
    Ok(())
}

/// What the member is spoken to in; it may change with every line.
fn language(desk: &Desk, member: &str) -> Language {
    desk.language_of(&Sender::Named { group: HOME_GROUP.to_owned(), member: member.to_owned() })
}

/// Columns of a terminal that does not tell its width.
const COLUMNS: usize = 80;

/// The text broken at words, so that a narrow window does not break it inside one.
fn wrapped(text: &str, editor: &mut DefaultEditor) -> String {
    wrapped_at(columns(editor), text)
}

fn columns(editor: &mut DefaultEditor) -> usize {
    editor.dimensions().map_or(COLUMNS, |(columns, _)| usize::from(columns))
}

fn wrapped_at(columns: usize, text: &str) -> String {
    let options = textwrap::Options::new(columns).subsequent_indent("    ").break_words(false);
    text.lines().map(|line| textwrap::fill(line, &options)).collect::<Vec<_>>().join("\n")
}

/// The last answer, and the moment of the line it answers.
#[derive(Debug)]
struct Last {
    answered: Answered,
    at: DateTime<Utc>,
}

/// Answers one line: what is shown, and what the next line may refer to. "why" unfolds how the last answer was worked
/// out; "chart FILE" writes its chart; "yes" ("ja") answers the last question, and what is then kept was so when the line itself was typed.
async fn answer(
    desk: &Desk,
    member: &str,
    clock: &dyn Clock,
    line: &str,
    last: Option<Last>,
) -> (String, Option<Last>) {
    if let (Some(Last { answered: Answered::Reply(reply), at }), "why") = (&last, line.trim()) {
        let working = plain::working(reply);
        let nothing = working.is_empty();
        let shown = if nothing { say("terminal.nothing_to_explain", &[]) } else { working };
        return (shown, Some(Last { answered: Answered::Reply(reply.clone()), at: *at }));
    }
    if let (Some(last), Some(file)) = (&last, line.trim().strip_prefix("chart ")) {
        let path = Path::new(file.trim());
        let shown = match picture::write(&last.answered, path) {
            Ok(()) => say("terminal.chart_written", &[("file", &path.display().to_string())]),
            Err(error) => error.sentence(path),
        };
        return (shown, Some(Last { answered: last.answered.clone(), at: last.at }));
    }
    if let (Some(Last { answered: Answered::Question(_), .. }), "no" | "nein" | "discard") =
        (&last, line.trim().to_lowercase().as_str())
    {
        return (say("terminal.left", &[]), None);
    }
    let (text, at, confirmed) = match last {
        Some(Last { answered: Answered::Question(question), at })
            if ["yes", "ja", "save"].iter().any(|yes| line.trim().eq_ignore_ascii_case(yes)) =>
        {
            (question.line, at, true)
        }
        _ => (line.to_owned(), clock.now(), false),
    };
    let incoming = Incoming { confirmed, ..Incoming::line(HOME_GROUP, member, &text, at) };
    let (answered, language) = desk.answer_spoken(&incoming).await;
    let shown = in_language(language, || match &answered {
        Answered::Reply(reply) if reply.chart.is_some() => {
            format!("{}\n{}", answered.text(), say("terminal.chart_hint", &[]))
        }
        _ => answered.text(),
    });
    (shown, Some(Last { answered, at }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clock::FixedClock;
    use crate::record::ChamberId;
    use chrono::TimeDelta;

    #[tokio::test]
    async fn a_chart_is_written_where_it_is_asked_for() {
        let desk = Desk::new(Store::open_temporary().await.unwrap());
        let clock = FixedClock::at("2026-11-10T14:00:00Z".parse().unwrap());
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("drying.png");
        let wanted = format!("chart {}", file.display());
        let lines = [
            "batch start name:Coppa kind:whole-muscle meat:1 kg beef loss:35%",
            "batch piece weights:900 g",
            "batch stage to:drying",
        ];
        let mut last = None;
        for line in lines {
            last = answer(&desk, "mara", &clock, line, last).await.1;
        }
        let (shown, answered) = answer(&desk, "mara", &clock, &wanted, last).await;
        assert!(shown.contains("has no chart") && !file.exists(), "{shown}");
        clock.set(clock.now() + TimeDelta::days(4));
        last = answer(&desk, "mara", &clock, "B1 860 g", answered).await.1;
        let (shown, answered) = answer(&desk, "mara", &clock, "batch show B1 chart:drying", last).await;
        assert!(shown.ends_with("\"chart coppa.png\" writes it as a picture."), "{shown}");
        let (shown, _) = answer(&desk, "mara", &clock, &wanted, answered).await;
        assert!(shown.contains("The chart is in"), "{shown}");
        assert_eq!(std::fs::read(&file).unwrap()[..4], *b"\x89PNG");
    }

    #[tokio::test]
    async fn a_yes_keeps_the_time_of_the_line_it_answers() {
        let desk = Desk::new(Store::open_temporary().await.unwrap());
        let first = "2026-11-10T14:00:00Z".parse().unwrap();
        let clock = FixedClock::at(first);
        let (shown, last) = answer(&desk, "mara", &clock, "24 C in the core", None).await;
        assert!(matches!(last.as_ref().unwrap().answered, Answered::Question(_)), "{shown}");
        clock.set(first + TimeDelta::minutes(50));
        let (shown, last) = answer(&desk, "mara", &clock, "yes", last).await;
        assert!(matches!(last.as_ref().unwrap().answered, Answered::Reply(_)), "{shown}");
        let kept = desk.store().chamber_events(ChamberId(1), first, clock.now()).await.unwrap();
        assert_eq!(kept.iter().map(|event| event.at).collect::<Vec<_>>(), [first]);
        // The next line has its own time again.
        let (_, last) = answer(&desk, "mara", &clock, "25 C", last).await;
        assert_eq!(last.unwrap().at, clock.now());
    }

    #[tokio::test]
    async fn a_no_leaves_what_was_asked_about() {
        let desk = Desk::new(Store::open_temporary().await.unwrap());
        let clock = FixedClock::at("2026-11-10T14:00:00Z".parse().unwrap());
        let (shown, last) = answer(&desk, "mara", &clock, "24 C in the core", None).await;
        assert!(shown.ends_with("\"no\" discards it."), "{shown}");
        let (shown, last) = answer(&desk, "mara", &clock, "no", last).await;
        assert_eq!(shown, "Left as it was; nothing was kept.");
        // The question is over: a yes after it is nothing.
        let (shown, _) = answer(&desk, "mara", &clock, "yes", last).await;
        assert!(shown.contains("I do not know \"yes\""), "{shown}");
        let (from, to) = (clock.now() - TimeDelta::days(1), clock.now() + TimeDelta::days(1));
        assert!(desk.store().chamber_events(ChamberId(1), from, to).await.unwrap().is_empty());
    }
}
