//! The door for scripts: a line in, an answer out.

use super::{HOME_GROUP, files, opened, picture};
use crate::clock::Clock;
use crate::desk::{Answered, Desk, Incoming};
use crate::reply::{in_language, say};
use crate::store::Store;
use chrono::{DateTime, Utc};
use std::io::{BufRead, Write};
use std::path::{Path, PathBuf};

/// What was asked on the command line.
#[derive(Debug, Clone)]
pub struct Asked {
    /// Who speaks.
    pub member: String,
    /// The moment every line is judged at; the clock's when not given.
    pub at: Option<DateTime<Utc>>,
    /// Whether answers are JSON objects.
    pub json: bool,
    /// Whether questions are answered with yes.
    pub confirmed: bool,
    /// Where the chart of the answer is written.
    pub chart: Option<PathBuf>,
    /// Where the files of the answer are written.
    pub save: Option<PathBuf>,
    /// The line, or `-` for lines on standard input.
    pub line: String,
}

/// Answers the line, or every line of standard input, and gives the exit status.
///
/// An answer is printed and flushed only after what it says was kept is on the disk: who reads it may rely on it.
pub async fn run(store: Store, asked: &Asked, clock: &dyn Clock) -> std::io::Result<u8> {
    let desk = Desk::new(store);
    let status = if asked.line.trim() == "-" && (asked.chart.is_some() || asked.save.is_some()) {
        let language = desk.language_of(&incoming(asked, clock, "").sender);
        in_language(language, || tell(&say("terminal.chart_of_one_line", &[])))?;
        2
    } else if asked.line.trim() == "-" {
        every_line(&desk, asked, clock).await?
    } else {
        one(&desk, asked, clock, &asked.line).await?
    };
    if let Err(cause) = desk.store().close().await {
        tracing::error!(%cause, "the record was not closed properly");
    }
    Ok(status)
}

async fn every_line(desk: &Desk, asked: &Asked, clock: &dyn Clock) -> std::io::Result<u8> {
    let mut status = 0;
    for line in std::io::stdin().lock().lines() {
        let line = line?;
        if !line.trim().is_empty() {
            status = worse(status, one(desk, asked, clock, &line).await?);
        }
    }
    Ok(status)
}

async fn one(desk: &Desk, asked: &Asked, clock: &dyn Clock, line: &str) -> std::io::Result<u8> {
    let incoming = incoming(asked, clock, line);
    let language = desk.language_of(&incoming.sender);
    let incoming = match in_language(language, || opened::with_file(incoming, Path::new(""))) {
        Ok(incoming) => incoming,
        Err(sentence) => return tell(&sentence).map(|()| 2),
    };
    let (answered, language) = desk.answer_spoken(&incoming).await;
    in_language(language, || {
        print(&answered, asked.json)?;
        let drawn = match &asked.chart {
            Some(path) => draw(&answered, path)?,
            None => answered.exit_status(),
        };
        match &asked.save {
            Some(path) => Ok(worse(drawn, save(&answered, path)?)),
            None => Ok(drawn),
        }
    })
}

/// Writes the chart of an answer. An answer without one is to be asked for otherwise; an error or a question says why
/// there is none.
fn draw(answered: &Answered, path: &Path) -> std::io::Result<u8> {
    let Answered::Reply(_) = answered else { return Ok(answered.exit_status()) };
    let Err(error) = picture::write(answered, path) else { return Ok(answered.exit_status()) };
    if let picture::PictureError::Drawing(cause) = &error {
        tracing::error!(%cause, "a chart could not be drawn");
    }
    tell(&error.sentence(path))?;
    Ok(if matches!(error, picture::PictureError::NoChart) { 2 } else { 1 })
}

/// Writes the files of an answer.
fn save(answered: &Answered, path: &Path) -> std::io::Result<u8> {
    let Answered::Reply(_) = answered else { return Ok(answered.exit_status()) };
    let Err(error) = files::write(answered, path) else { return Ok(answered.exit_status()) };
    tell(&error.sentence())?;
    Ok(if matches!(error, files::FilesError::NoFile) { 2 } else { 1 })
}

/// Beside the answer, so that a script that reads it is not disturbed.
fn tell(sentence: &str) -> std::io::Result<()> {
    writeln!(std::io::stderr(), "tallyhook: {sentence}")
}

fn incoming(asked: &Asked, clock: &dyn Clock, line: &str) -> Incoming {
    let at = asked.at.unwrap_or_else(|| clock.now());
    Incoming { confirmed: asked.confirmed, ..Incoming::line(HOME_GROUP, &asked.member, line, at) }
}

fn print(answered: &Answered, json: bool) -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    if json {
        writeln!(out, "{}", answered.json())?;
    } else {
        writeln!(out, "{}", answered.text())?;
    }
    out.flush()
}

/// Our fault outweighs a line to be mended, that outweighs a question.
const fn worse(one: u8, other: u8) -> u8 {
    const fn weight(status: u8) -> u8 {
        match status {
            1 => 3,
            2 => 2,
            3 => 1,
            _ => 0,
        }
    }
    if weight(other) > weight(one) { other } else { one }
}
