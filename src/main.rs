//! The program: reads the command line, opens the record, hands over to the terminal.

mod config;
mod serve;

use anyhow::Context;
use chrono::{DateTime, Utc};
use clap::{Args, Parser, Subcommand};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use tallyhook::clock::{Clock, FIRST_YEAR, LAST_YEAR, SystemClock, is_on_the_calendar};
use tallyhook::discord::runtime;
use tallyhook::reply::say;
use tallyhook::store::Store;
use tallyhook::terminal::{ask, chat, commands, demo, due, restore};
use tracing_subscriber::EnvFilter;

/// A chat assistant for people who dry-cure and ferment meat at home.
#[derive(Parser)]
#[command(name = "tallyhook", version, about)]
struct Cli {
    #[command(subcommand)]
    action: Action,
}

#[derive(Subcommand)]
enum Action {
    /// Talk to it: readings and commands, with line editing and history.
    Chat {
        #[command(flatten)]
        record: Record,
        #[command(flatten)]
        who: Who,
    },
    /// Ask one line and get one answer; "-" reads one request a line from standard input.
    Ask {
        #[command(flatten)]
        record: Record,
        #[command(flatten)]
        who: Who,
        /// The moment the line is judged at, e.g. 2026-11-02T08:00:00+01:00; now when not given.
        #[arg(long)]
        at: Option<DateTime<Utc>>,
        /// Answer as one JSON object.
        #[arg(long)]
        json: bool,
        /// Answer the question the line would raise with yes.
        #[arg(long)]
        yes: bool,
        /// Write the chart of the answer there, as a PNG image.
        #[arg(long, value_name = "FILE")]
        chart: Option<PathBuf>,
        /// Write the files of the answer there: one under this name, several into this folder.
        #[arg(long, value_name = "FILE")]
        save: Option<PathBuf>,
        /// The line, or "-".
        #[arg(required = true, num_args = 1..)]
        line: Vec<String>,
    },
    /// Take the JSON file of "me export" back into an empty record.
    Restore {
        #[command(flatten)]
        record: Record,
        #[command(flatten)]
        who: Who,
        /// The moment it is judged at, e.g. 2026-11-02T08:00:00+01:00; now when not given.
        #[arg(long)]
        at: Option<DateTime<Utc>>,
        /// The file.
        #[arg(value_name = "RECORD.json")]
        file: PathBuf,
    },
    /// Run one tick of the reminders and print what goes out.
    Due {
        #[command(flatten)]
        record: Record,
        /// Only those of this member.
        #[arg(long = "as")]
        member: Option<String>,
        /// The moment of the tick; now when not given.
        #[arg(long)]
        at: Option<DateTime<Utc>>,
        /// Print JSON.
        #[arg(long)]
        json: bool,
    },
    /// Load invented batches into a throw-away record and play a short story, or chat there.
    Demo {
        /// Play the story even where somebody could chat.
        #[arg(long)]
        story: bool,
    },
    /// Print the table of commands.
    Commands,
    /// Serve members on Discord until told to stop.
    Serve {
        #[command(flatten)]
        record: Record,
    },
    /// Say what is missing before members can be served: settings, token, permissions, record.
    Check {
        #[command(flatten)]
        record: Record,
    },
}

#[derive(Args)]
struct Record {
    /// The file of the record.
    #[arg(long)]
    data: Option<PathBuf>,
}

#[derive(Args)]
struct Who {
    /// Who speaks.
    #[arg(long = "as", default_value = "me")]
    member: String,
}

fn main() -> ExitCode {
    tracing_subscriber::fmt()
        .with_env_filter(EnvFilter::try_from_default_env().unwrap_or_else(|_| EnvFilter::new("warn")))
        .with_writer(std::io::stderr)
        .init();
    let runtime = match runtime() {
        Ok(runtime) => runtime,
        Err(error) => return report(&error.into()),
    };
    runtime.block_on(run(Cli::parse().action)).unwrap_or_else(|error| report(&error))
}

/// Says in one sentence why nothing could be done.
#[expect(clippy::print_stderr, reason = "the program's last word goes to standard error")]
fn report(error: &anyhow::Error) -> ExitCode {
    eprintln!("tallyhook: {error:#}");
    ExitCode::from(1)
}

/// Says which moments there are.
fn refuse_moment() -> ExitCode {
    let (first, last) = (FIRST_YEAR.to_string(), LAST_YEAR.to_string());
    refuse(&say("terminal.moment_refused", &[("first", &first), ("last", &last)]))
}

/// Says in one sentence what is to be mended in the command line.
#[expect(clippy::print_stderr, reason = "a refused command line is answered on standard error")]
fn refuse(sentence: &str) -> ExitCode {
    eprintln!("tallyhook: {sentence}");
    ExitCode::from(2)
}

async fn run(action: Action) -> anyhow::Result<ExitCode> {
    match action {
        Action::Chat { record, who } => {
            let store = open(record).await?;
            chat::run(store, &who.member).await?;
            Ok(ExitCode::SUCCESS)
        }
        Action::Ask { at: Some(at), .. }
        | Action::Due { at: Some(at), .. }
        | Action::Restore { at: Some(at), .. }
            if !is_on_the_calendar(at) =>
        {
            Ok(refuse_moment())
        }
        Action::Restore { record, who, at, file } => {
            let bytes = match restore::read(&file) {
                Ok(bytes) => bytes,
                Err(sentence) => return Ok(refuse(&sentence)),
            };
            let store = open(record).await?;
            let now = at.unwrap_or_else(|| SystemClock.now());
            Ok(ExitCode::from(restore::run(store, &who.member, now, &bytes).await?))
        }
        Action::Ask { record, who, at, json, yes, chart, save, line } => {
            let store = open(record).await?;
            let line = line.join(" ");
            let asked = ask::Asked { member: who.member, at, json, confirmed: yes, chart, save, line };
            let status = ask::run(store, &asked, &SystemClock).await?;
            Ok(ExitCode::from(status))
        }
        Action::Due { record, member, at, json } => {
            let store = open(record).await?;
            let moment = at.unwrap_or_else(|| SystemClock.now());
            due::run(store, member.as_deref(), moment, json).await?;
            Ok(ExitCode::SUCCESS)
        }
        Action::Demo { story } => {
            demo::run(story).await?;
            Ok(ExitCode::SUCCESS)
        }
        Action::Commands => {
            commands::print();
            Ok(ExitCode::SUCCESS)
        }
        Action::Serve { record } => serve::serve(&config::data_file(record.data)).await,
        Action::Check { record } => serve::check(&config::data_file(record.data)).await,
    }
}

async fn open(record: Record) -> anyhow::Result<Store> {
    open_at(&config::data_file(record.data)).await
}

async fn open_at(file: &Path) -> anyhow::Result<Store> {
    Store::open(file).await.with_context(|| format!("the record {} cannot be used", file.display()))
}
