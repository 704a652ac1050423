//! The program as a service: starting, stopping, and what to say when it cannot start.
#![expect(clippy::print_stdout, clippy::print_stderr, reason = "the program speaks to its operator")]

use crate::config;
use std::path::Path;
use std::process::ExitCode;
use std::sync::Arc;
use tallyhook::clock::SystemClock;
use tallyhook::discord::{Ended, Settings, check as checking, start};
use tokio::signal::unix::{SignalKind, signal};

/// What a supervisor should not try again before somebody has changed a setting (`EX_CONFIG` of sysexits.h).
const CONFIGURATION: u8 = 78;

/// Serves members until the process is told to stop.
pub(crate) async fn serve(data: &Path) -> anyhow::Result<ExitCode> {
    let settings = match config::discord() {
        Ok(settings) => settings,
        Err(error) => return Ok(misconfigured(&format!("{error:#}"))),
    };
    let store = crate::open_at(data).await?;
    let _check = store.check_in_background();
    match start::serve(&settings, store, Arc::new(SystemClock), told_to_stop()).await? {
        Ended::Stopped => Ok(ExitCode::SUCCESS),
        Ended::WrongToken => Ok(misconfigured("the platform does not know this token; copy it again")),
        Ended::IntentsForbidden => Ok(misconfigured(
            "TALLYHOOK_LISTEN needs the message content intent; switch it on at the application's page, or unset it",
        )),
    }
}

/// Prints what is there and what is missing.
pub(crate) async fn check(data: &Path) -> anyhow::Result<ExitCode> {
    let mut missing = false;
    match crate::open_at(data).await {
        Ok(store) => {
            println!("The record {} can be used.", data.display());
            store.close().await?;
        }
        Err(error) => {
            println!("{error:#}");
            missing = true;
        }
    }
    match config::discord() {
        Ok(settings) => missing |= platform(&settings).await?,
        Err(error) => {
            println!("{error:#}");
            missing = true;
        }
    }
    Ok(if missing { ExitCode::from(CONFIGURATION) } else { ExitCode::SUCCESS })
}

async fn platform(settings: &Settings) -> anyhow::Result<bool> {
    let found = checking::check(settings).await?;
    for line in &found.lines {
        println!("{line}");
    }
    Ok(found.missing)
}

fn misconfigured(sentence: &str) -> ExitCode {
    eprintln!("tallyhook: {sentence}");
    ExitCode::from(CONFIGURATION)
}

/// Ready when the process is asked to end.
async fn told_to_stop() {
    let Ok(mut terminate) = signal(SignalKind::terminate()) else {
        return std::future::pending().await;
    };
    tokio::select! {
        _ = terminate.recv() => {}
        _ = tokio::signal::ctrl_c() => {}
    }
}
