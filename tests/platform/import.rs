//! A logger's file in the chat: attached to a command or to a message, fetched once from the platform's own host, shown,
//! and kept after a yes. Invented.

use chrono::TimeDelta;
use tallyhook::record::{ChamberId, Event, Happening};

use crate::assistant::Cellar;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Reply, SOON, Seen, Sent};

const BOX: &[u8] =
    b"time;temperature \xc2\xb0C;humidity %\r\n2026-03-01 06:00;23,7;88\r\n2026-03-01 06:30;24,0;88,5\r\n";
/// Both days could be the other's month.
const UNCLEAR: &[u8] = b"date,temperature C\n01/02/2026 06:00,13.2\n02/01/2026 06:00,13.1\n";

/// A file that lies with the platform.
fn attached(cellar: &Cellar, name: &str, bytes: &[u8]) -> String {
    let message = cellar.stand_in.post_with(cellar.anna, cellar.log, "", Reply::None, &[(name, bytes)]);
    cellar.stand_in.message(message).unwrap().attachments[0].id.to_string()
}

async fn import(cellar: &Cellar, file: &str) -> Seen {
    cellar.ask("log import", &[("file", file)]).await
}

/// What is kept of loggers' files in Anna's chamber.
async fn files(mut cellar: Cellar) -> Vec<(String, u32)> {
    cellar.stop().await;
    assert_conforming(&cellar.stand_in.records());
    let events: Vec<Event> =
        cellar.record(|store| async move { store.events_of_chamber(ChamberId(1)).await.unwrap() }).await;
    let file = |event: Event| match event.what {
        Happening::AirLogged { file, rows, .. } => Some((file, rows)),
        _ => None,
    };
    events.into_iter().filter_map(file).collect()
}

#[tokio::test]
async fn a_file_of_a_command_is_fetched_once_and_kept_after_a_press() {
    let cellar = Cellar::new().await;
    cellar.batch().await;
    let file = attached(&cellar, "box.csv", BOX);
    let shown = import(&cellar, &file).await;
    assert!(shown.ephemeral && shown.content.contains("box.csv: 2 readings for home"), "{}", shown.content);
    assert!(shown.content.contains("semicolons between cells, decimal comma"), "{}", shown.content);
    let kept = cellar.press(cellar.anna, &shown, "Yes").answer(SOON).await;
    assert!(kept.content.starts_with("Kept: box.csv: 2 readings"), "{}", kept.content);
    // Pressed again nothing is kept again; sent again nothing is new.
    let again = cellar.press(cellar.anna, &shown, "Yes").answer(SOON).await;
    assert!(
        again.content.contains("kept before") || again.content.contains("Nothing new"),
        "{}",
        again.content
    );
    let other = attached(&cellar, "box.csv", BOX);
    assert!(import(&cellar, &other).await.content.contains("Nothing new in box.csv"));
    assert_eq!(cellar.stand_in.fetched().len(), 2, "each once: {:?}", cellar.stand_in.fetched());
    assert_eq!(files(cellar).await, [("box.csv".to_owned(), 2)]);
}

#[tokio::test]
async fn a_file_of_a_message_is_kept_after_a_typed_yes() {
    let cellar = Cellar::new().await;
    cellar.batch().await;
    let direct = cellar.stand_in.direct_line(cellar.anna);
    let send = |text: &str, sent: &[(&str, &[u8])]| {
        cellar.wait(TimeDelta::seconds(5));
        cellar.stand_in.post_with(cellar.anna, direct, text, Reply::None, sent)
    };
    let asked = send("log import", &[("box.csv", BOX)]);
    let shown = cellar.stand_in.reply_after(asked, SOON).await;
    assert!(shown.content.contains("2 readings for home"), "{}", shown.content);
    let kept = cellar.stand_in.reply_after(send("yes", &[]), SOON).await;
    assert!(kept.content.starts_with("Kept: box.csv"), "{}", kept.content);
    let two = send("log import", &[("a.csv", BOX), ("b.csv", BOX)]);
    let refused = cellar.stand_in.reply_after(two, SOON).await;
    assert!(refused.content.starts_with("One file at a time"), "{}", refused.content);
    let none = cellar.stand_in.reply_after(send("log import", &[]), SOON).await;
    assert!(none.content.starts_with("Attach the file"), "{}", none.content);
    assert_eq!(files(cellar).await, [("box.csv".to_owned(), 2)]);
}

#[tokio::test]
async fn what_a_file_leaves_open_is_a_tap() {
    let cellar = Cellar::new().await;
    cellar.batch().await;
    let file = attached(&cellar, "unclear.csv", UNCLEAR);
    let asked = import(&cellar, &file).await;
    assert!(asked.content.contains("can be two days"), "{}", asked.content);
    let labels: Vec<&str> = asked.buttons.iter().map(|button| &*button.label).collect();
    assert!(labels.len() >= 2, "{labels:?}");
    let shown = cellar.press(cellar.anna, &asked, labels[0]).answer(SOON).await;
    assert!(shown.content.contains("as you say"), "{}", shown.content);
    let kept = cellar.press(cellar.anna, &shown, "Yes").answer(SOON).await;
    assert!(kept.content.starts_with("Kept: unclear.csv"), "{}", kept.content);
    assert_eq!(cellar.stand_in.fetched().len(), 1, "{:?}", cellar.stand_in.fetched());
    assert_eq!(files(cellar).await, [("unclear.csv".to_owned(), 2)]);
}

#[tokio::test]
async fn what_is_too_large_lies_elsewhere_or_is_gone_is_told_and_never_asked_for_again() {
    let cellar = Cellar::new().await;
    cellar.batch().await;
    let direct = cellar.stand_in.direct_line(cellar.anna);
    let mut said = Vec::new();
    for (name, size, url) in [
        ("huge.csv", 10 * 1024 * 1024 + 1, None),
        ("far.csv", 12, Some("https://evil.example/far.csv")),
        ("metadata.csv", 12, Some("http://169.254.169.254/latest/meta-data")),
        ("gone.csv", 12, None),
    ] {
        cellar.wait(TimeDelta::seconds(5));
        let sent = Sent { name, content_type: "text/csv", size, url };
        let asked = cellar.stand_in.post_sent(cellar.anna, direct, "log import", &[sent]);
        said.push(cellar.stand_in.reply_after(asked, SOON).await.content);
    }
    for (said, told) in said.iter().zip([
        "larger than 10 MB",
        "does not lie with the platform",
        "does not lie",
        "could not be fetched",
    ]) {
        assert!(said.contains(told), "{told}: {said}");
    }
    assert_eq!(cellar.stand_in.fetched().len(), 1, "only the one that is gone was asked for");
    assert_eq!(files(cellar).await, []);
}

#[tokio::test]
async fn after_a_restart_the_file_is_asked_for_again() {
    let mut cellar = Cellar::new().await;
    cellar.batch().await;
    let file = attached(&cellar, "box.csv", BOX);
    let shown = import(&cellar, &file).await;
    cellar.stop().await;
    cellar.start().await;
    let told = cellar.press(cellar.anna, &shown, "Yes").answer(SOON).await;
    assert!(told.ephemeral && told.content.starts_with("Attach the file"), "{}", told.content);
    assert_eq!(files(cellar).await, []);
}
