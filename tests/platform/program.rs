//! The program itself, started as an operator starts it.

use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

use crate::support::stand_in::{Options, StandIn, permissions};

fn program(action: &str, stand_in: &StandIn, folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tallyhook"));
    command.arg(action).arg("--data").arg(folder.join("record.sqlite3"));
    command.env_clear();
    command.env("TALLYHOOK_API", stand_in.api_url()).env("TALLYHOOK_GATEWAY", stand_in.gateway_url());
    command.env("TALLYHOOK_TOKEN", stand_in.token());
    command
}

async fn run(mut command: Command) -> Output {
    tokio::task::spawn_blocking(move || command.output().unwrap()).await.unwrap()
}

fn said(output: &Output) -> String {
    format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr))
}

async fn cellar() -> StandIn {
    let stand_in = StandIn::start(Options::default()).await;
    let anna = stand_in.user("anna", "Anna");
    let group = stand_in.guild("Cellar (invented)", anna);
    stand_in.channel(group, "log");
    stand_in
}

#[tokio::test(flavor = "multi_thread")]
async fn check_says_what_is_there_and_what_is_missing() {
    let (stand_in, folder) = (cellar().await, tempfile::tempdir().unwrap());
    let output = run(program("check", &stand_in, folder.path())).await;
    let text = said(&output);
    assert_eq!(output.status.code(), Some(0), "{text}");
    for part in ["can be used", "belongs to tallyhook", "permissions=", "Cellar (invented): every permission"]
    {
        assert!(text.contains(part), "{part} in {text}");
    }
    assert!(stand_in.records().iter().all(|record| record.method == "GET"), "it changes nothing");
    let group = stand_in.guild("Attic (invented)", stand_in.user("ben", "Ben"));
    stand_in.member(group, stand_in.bot(), permissions::BOT & !permissions::SEND_MESSAGES_IN_THREADS);
    let output = run(program("check", &stand_in, folder.path())).await;
    let text = said(&output);
    assert_eq!(output.status.code(), Some(78), "{text}");
    assert!(text.contains("Attic (invented): it may not send messages in threads"), "{text}");
}

#[tokio::test(flavor = "multi_thread")]
async fn what_cannot_be_mended_by_trying_again_ends_with_78_and_one_line() {
    let (stand_in, folder) = (cellar().await, tempfile::tempdir().unwrap());
    let closed =
        StandIn::start(Options { privileged_content_intent_enabled: false, ..Options::default() }).await;
    let with = |name: &str, value: &str, at: &StandIn| {
        let mut command = program("serve", at, folder.path());
        command.env(name, value);
        command
    };
    let without_token = {
        let mut command = program("serve", &stand_in, folder.path());
        command.env_remove("TALLYHOOK_TOKEN");
        command
    };
    for (command, part) in [
        (with("TALLYHOOK_TOKEN", "another-invented-token", &stand_in), "does not know this token"),
        (with("TALLYHOOK_TOKEN", "one\ntwo", &stand_in), "line break"),
        (with("TALLYHOOK_TOKEN_FILE", "no/such/file", &stand_in), "cannot be read"),
        (with("TALLYHOOK_GATEWAY", "wss://gateway.example", &stand_in), "both be on this machine"),
        (with("TALLYHOOK_LISTEN", "log", &stand_in), "channel numbers"),
        (with("TALLYHOOK_LISTEN", "1234", &closed), "message content intent"),
        (without_token, "no token is set"),
    ] {
        let output = run(command).await;
        let text = said(&output);
        assert_eq!(output.status.code(), Some(78), "{text}");
        assert!(text.contains(part), "{part} in {text}");
        let own: Vec<&str> = text.lines().filter(|line| line.starts_with("tallyhook:")).collect();
        assert_eq!(own.len(), 1, "{text}");
        assert!(!text.contains("another-invented-token"), "{text}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn it_serves_until_it_is_told_to_stop() {
    let (stand_in, folder) = (cellar().await, tempfile::tempdir().unwrap());
    let mut command = program("serve", &stand_in, folder.path());
    let file = folder.path().join("token");
    std::fs::write(&file, format!("{}\n", stand_in.token())).unwrap();
    command.env_remove("TALLYHOOK_TOKEN").env("TALLYHOOK_TOKEN_FILE", &file);
    let mut running = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
    stand_in.ready().await;
    let started = Instant::now();
    let told = Command::new("kill").arg(running.id().to_string()).status().unwrap();
    assert!(told.success());
    let status = tokio::task::spawn_blocking(move || running.wait().unwrap()).await.unwrap();
    assert_eq!(status.code(), Some(0));
    assert!(started.elapsed() < Duration::from_secs(10), "{:?}", started.elapsed());
    let puts = |stand_in: &StandIn| stand_in.records().iter().filter(|it| it.method == "PUT").count();
    assert_eq!(puts(&stand_in), 1, "the commands were registered");
    // A second start finds them there and writes nothing.
    let mut running = program("serve", &stand_in, folder.path())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    stand_in.gateway_until(|gateway| gateway.identifies.len() == 2).await;
    assert_eq!(puts(&stand_in), 1);
    running.kill().unwrap();
    running.wait().unwrap();
}
