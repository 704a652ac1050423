//! Plays a dialogue: what members type, what comes back, weeks of it, with the clock moved by hand.
//!
//! ```text
//! # a comment
//! @at 2026-11-02T08:00:00+01:00        the clock stands here
//! @wait 36h                            the clock goes on; reminders that fall due go out on the way
//! mara> batch show B1                  a member's line; "mara! …" answers its question with yes
//! bot< Fermenting, 14 h in.            what comes back, line by line
//! bot~ mara: B1 …                      a reminder that went out
//! ```

use super::HOME_GROUP;
use super::{due, opened};
use crate::desk::{Desk, Incoming};
use crate::reply::in_language;
use chrono::{DateTime, Duration, Utc};
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// Why a dialogue cannot be played.
#[derive(Debug, thiserror::Error)]
pub enum DialogueError {
    /// A line that is none of the forms.
    #[error("line {0}: this is not a line of a dialogue")]
    Unreadable(usize),
    /// The store failed under it.
    #[error("the record failed: {0}")]
    Store(#[from] crate::store::StoreError),
    /// The reminders could not be given.
    #[error(transparent)]
    Due(#[from] due::DueError),
}

/// Plays dialogues over one desk.
#[derive(Debug)]
pub struct Player<'a> {
    desk: &'a Desk,
    now: DateTime<Utc>,
    files: PathBuf,
    played: String,
}

impl<'a> Player<'a> {
    /// A player whose clock stands at a moment until the dialogue sets it.
    pub fn new(desk: &'a Desk, now: DateTime<Utc>) -> Self {
        Self { desk, now, files: PathBuf::new(), played: String::new() }
    }

    /// Files that members name are looked for in this folder.
    #[must_use]
    pub fn with_files(self, folder: &Path) -> Self {
        Self { files: folder.to_owned(), ..self }
    }

    /// Where the clock stands.
    pub const fn now(&self) -> DateTime<Utc> {
        self.now
    }

    /// Plays a script and gives it back with what really came.
    pub async fn play(&mut self, script: &str) -> Result<String, DialogueError> {
        for (number, line) in script.lines().enumerate() {
            if line.starts_with("bot< ") || line.starts_with("bot~ ") || line == "bot<" {
                continue;
            }
            self.echo(line);
            if line.starts_with('#') || line.trim().is_empty() {
                continue;
            }
            self.step(line).await?.ok_or(DialogueError::Unreadable(number + 1))?;
        }
        Ok(std::mem::take(&mut self.played))
    }

    async fn step(&mut self, line: &str) -> Result<Option<()>, DialogueError> {
        if let Some(moment) = line.strip_prefix("@at ") {
            let Ok(moment) = moment.trim().parse() else {
                return Ok(None);
            };
            self.now = moment;
            return Ok(Some(()));
        }
        if let Some(length) = line.strip_prefix("@wait ") {
            let Some(length) = hours(length) else {
                return Ok(None);
            };
            return self.wait(length).await.map(Some);
        }
        let confirmed = line.split_once("! ").filter(|(name, _)| is_name(name));
        let plain = line.split_once("> ").filter(|(name, _)| is_name(name));
        let Some((name, text)) = confirmed.or(plain) else {
            return Ok(None);
        };
        let incoming =
            Incoming { confirmed: confirmed.is_some(), ..Incoming::line(HOME_GROUP, name, text, self.now) };
        let language = self.desk.language_of(&incoming.sender);
        let text = match in_language(language, || opened::with_file(incoming, &self.files)) {
            Ok(incoming) => {
                let (answered, language) = self.desk.answer_spoken(&incoming).await;
                in_language(language, || answered.text())
            }
            Err(sentence) => sentence,
        };
        for line in text.lines() {
            self.echo(format!("bot< {line}").trim_end());
        }
        Ok(Some(()))
    }

    /// The clock goes on; each reminder goes out at its own time, as it would in life.
    async fn wait(&mut self, length: Duration) -> Result<(), DialogueError> {
        let until = self.now + length;
        while let Some(next) = self.desk.store().next_due().await?.filter(|next| *next <= until) {
            self.now = self.now.max(next);
            let mut gone = Vec::new();
            due::tick(self.desk.store(), self.now, None, |reminder| {
                gone.push(format!("bot~ {}: {}", reminder.member, reminder.due.text));
                Ok(())
            })
            .await?;
            for line in gone {
                self.echo(&line);
            }
            if self.desk.store().next_due().await? == Some(next) {
                break;
            }
        }
        self.now = until;
        Ok(())
    }

    fn echo(&mut self, line: &str) {
        let _ = writeln!(self.played, "{line}");
    }
}

fn is_name(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|letter| letter.is_alphanumeric() || letter == '-')
}

fn hours(text: &str) -> Option<Duration> {
    let length = crate::desk::hours(text.trim())?;
    Some(Duration::milliseconds((length * 3_600_000.0).round() as i64))
}
