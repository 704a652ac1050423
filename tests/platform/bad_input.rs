//! Whatever arrives that is not as it should be: one sentence to whoever can mend it, nothing kept by accident, the
//! connection kept.

use serde_json::{Value, json};
use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{ConnectOptions, Executor};
use tallyhook::record::{BatchId, ChatId};

use crate::assistant::{Cellar, pause};
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::payload::Begun;
use crate::support::stand_in::{Handle, Id, Reply, SOON};

const PICTURE: &[u8] = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01";

async fn entries(mut cellar: Cellar) -> Vec<&'static str> {
    cellar.stop().await;
    let kept = cellar.record(async |store| store.events_of_batch(BatchId(1)).await.unwrap()).await;
    assert_conforming(&cellar.stand_in.records());
    kept.iter().skip(1).map(|event| event.what.word()).collect()
}

/// What is answered to a direct message.
async fn answer_to(cellar: &Cellar, text: &str) -> String {
    let posted = cellar.stand_in.direct(cellar.anna, text);
    cellar.stand_in.reply_after(posted, SOON).await.content
}

/// A slash command with options that the platform's own app would not have sent.
fn command(cellar: &Cellar, root: &str, options: &Value) -> Handle {
    cellar.stand_in.start_interaction(|_| Begun {
        kind: 2,
        user: cellar.anna,
        channel: cellar.log,
        name: root.to_owned(),
        source: None,
        data: json!({ "id": "1477576124006400009", "name": root, "type": 1, "options": options }),
    })
}

#[tokio::test]
async fn a_message_of_four_thousand_characters_gets_one_sentence() {
    let cellar = Cellar::new().await;
    cellar.batch().await;
    let answer = answer_to(&cellar, &"ph 5.4 at 21 C, and then ".repeat(160)).await;
    assert!(answer.chars().count() < 300, "{answer}");
    assert!(!answer.contains("Kept"), "{answer}");
    let answer = answer_to(&cellar, &"9".repeat(4_000)).await;
    assert!(answer.chars().count() < 300, "{answer}");
    assert_eq!(entries(cellar).await, [""; 0]);
}

#[tokio::test]
async fn five_pictures_are_kept_as_references_and_words_beside_them_are_read() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let files = ["1.png", "2.png", "3.png", "4.png", "5.png"].map(|name| (name, PICTURE));
    let bot = cellar.stand_in.bot();
    let alone = cellar.stand_in.post_with(cellar.anna, thread, &format!("<@{bot}>"), Reply::None, &files);
    let answer = cellar.stand_in.reply_after(alone, SOON).await.content;
    assert_eq!(answer, "5 photos kept with B1 Juniper stick.");
    let text = format!("<@{bot}> ph 5.40 at 21 C");
    let with_words = cellar.stand_in.post_with(cellar.anna, thread, &text, Reply::None, &files);
    let answer = cellar.stand_in.reply_after(with_words, SOON).await.content;
    assert!(answer.contains("Kept for B1 Juniper stick: pH 5.4 at 21 °C"), "{answer}");
    assert_eq!(entries(cellar).await, ["picture", "ph", "picture"]);
}

#[tokio::test]
async fn letters_that_turn_or_break_a_line_are_refused() {
    let cellar = Cellar::new().await;
    cellar.batch().await;
    for text in
        ["ph 5.4\u{202e} at 21 C", "batch note text:salt\u{0007}ed", "812 g\u{2066}", "batch\u{2028}list"]
    {
        let answer = answer_to(&cellar, text).await;
        assert!(!answer.contains(['\u{202e}', '\u{2066}', '\u{7}', '\u{2028}']), "{answer:?}");
        assert!(!answer.contains("Kept"), "{text:?}: {answer}");
    }
    assert_eq!(entries(cellar).await, [""; 0]);
}

#[tokio::test]
async fn option_values_of_six_thousand_characters_are_refused() {
    let cellar = Cellar::new().await;
    cellar.batch().await;
    let long = "salt ".repeat(1_200);
    for (line, options) in [
        ("batch note", vec![("text", long.as_str())]),
        ("cure mix", vec![("meat", long.as_str()), ("nitrite", "6.25%")]),
    ] {
        let seen = cellar.ask(line, &options).await;
        assert!(seen.ephemeral, "{line}: what went wrong is between the two of them");
        assert!(seen.text().chars().count() < 400, "{line}: {}", seen.text());
    }
    assert_eq!(entries(cellar).await, [""; 0]);
}

#[tokio::test]
async fn options_that_are_missing_or_nobody_s_are_named() {
    let cellar = Cellar::new().await;
    cellar.batch().await;
    let verb = |name: &str, options: Value| json!([{ "name": name, "type": 1, "options": options }]);
    let text = |name: &str, value: &str| json!({ "name": name, "type": 3, "value": value });
    let missing = command(&cellar, "cure", &verb("mix", json!([text("meat", "2 kg")]))).answer(SOON).await;
    assert!(missing.ephemeral && missing.text().contains("nitrite"), "{}", missing.text());
    let extra = json!([text("meat", "2 kg"), text("nitrite", "6.25%"), text("moon", "full")]);
    let extra = command(&cellar, "cure", &verb("mix", extra)).answer(SOON).await;
    assert!(extra.ephemeral && extra.text().contains("moon"), "{}", extra.text());
    let unknown = command(&cellar, "cure", &verb("guess", json!([]))).answer(SOON).await;
    assert!(unknown.ephemeral && unknown.text().contains("guess"), "{}", unknown.text());
    let root = command(&cellar, "wine", &json!([])).answer(SOON).await;
    assert!(root.ephemeral && !root.text().is_empty(), "{}", root.text());
    assert_eq!(entries(cellar).await, [""; 0]);
}

#[tokio::test]
async fn what_people_say_to_each_other_is_left_to_them() {
    let cellar = Cellar::listening().await;
    let thread = cellar.batch().await;
    let stand_in = &cellar.stand_in;
    let before = stand_in.all_messages().len();
    let chatter = [
        "anybody seen my knife?",
        "mine lost 812 g of fat, haha",
        "I paid 24 for it",
        "see you at 8",
        "batch is looking good",
        "help yourselves to the salt",
        "https://example.invalid/5.12",
    ];
    for text in chatter {
        stand_in.post(cellar.ben, cellar.log, text, Reply::None);
        stand_in.post(cellar.ben, thread, text, Reply::None);
    }
    pause(300).await;
    assert_eq!(stand_in.all_messages().len(), before + 2 * chatter.len(), "{:#?}", cellar.said_in(thread));
    let ben = ChatId(i64::try_from(cellar.ben.0).unwrap());
    let mut cellar = cellar;
    cellar.stop().await;
    let known = cellar.record(async move |store| store.member_by_chat(ben)).await;
    assert!(known.is_none(), "nobody becomes a member by talking to others");
    cellar.start().await;
    assert_eq!(entries(cellar).await, [""; 0]);
}

#[tokio::test]
async fn machines_are_not_listened_to() {
    let cellar = Cellar::listening().await;
    let thread = cellar.batch().await;
    let stand_in = &cellar.stand_in;
    let machine = stand_in.user("scales", "Scales");
    stand_in.change_user(machine, |user| user.bot = true);
    stand_in.member(cellar.group, machine, crate::support::stand_in::permissions::MEMBER);
    let before = stand_in.all_messages().len();
    let text = format!("<@{}> ph 5.40 at 21 C", stand_in.bot());
    for place in [thread, cellar.log] {
        stand_in.post(machine, place, &text, Reply::None);
    }
    pause(300).await;
    assert_eq!(stand_in.all_messages().len(), before + 2);
    assert_eq!(entries(cellar).await, [""; 0]);
}

#[tokio::test]
async fn without_the_content_intent_an_unaddressed_message_is_never_a_reading() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    for reading in ["ph 5.40 at 21 C", "812 g", "ph 5.30 at 21 C"] {
        cellar.stand_in.post(cellar.anna, thread, reading, Reply::None);
    }
    pause(300).await;
    let said = cellar.said_in(thread);
    assert_eq!(said.iter().filter(|text| text.starts_with("I cannot read this.")).count(), 1, "{said:#?}");
    assert_eq!(entries(cellar).await, [""; 0]);
}

#[tokio::test]
async fn a_suggestion_is_a_help_and_no_ticket() {
    let cellar = Cellar::new().await;
    for number in 0..30 {
        let name = format!("Juniper {number}");
        let options = [("name", name.as_str()), ("kind", "dried-sausage"), ("meat", "1 kg pork")];
        cellar.ask("batch start", &options).await;
    }
    let typed = [("batch", "Jun")];
    let suggested =
        cellar.stand_in.autocomplete(cellar.anna, cellar.log, "batch show", &typed, "batch").await;
    assert_eq!(suggested.len(), 25);
    let others = cellar.stand_in.autocomplete(cellar.ben, cellar.log, "batch show", &typed, "batch").await;
    assert_eq!(others, [], "Ben has none");
    let never = cellar.ask("batch show", &[("batch", "B99")]).await;
    assert!(never.ephemeral && never.text().contains("B99"), "{}", never.text());
    // What was never suggested to him is not his to write to, however he came by it.
    let note = [("batch", "B1"), ("text", "I was here")];
    let theft = cellar.ask_in(cellar.ben, cellar.log, "batch note", &note).await;
    assert!(theft.ephemeral, "{theft:?}");
    assert_eq!(entries(cellar).await, [""; 0]);
}

#[tokio::test]
async fn personal_answers_are_for_the_members_eyes() {
    let cellar = Cellar::new().await;
    cellar.batch().await;
    for line in ["me show", "me privacy", "me export", "remind list", "log history", "batch list"] {
        let seen = cellar.ask(line, &[]).await;
        let personal = line != "batch list";
        assert_eq!(seen.ephemeral, personal, "{line}: {}", seen.text());
    }
    let seen = cellar.ask("batch show", &[("batch", "B1")]).await;
    assert!(!seen.ephemeral, "a card is for the group");
}

/// While another process holds the file's lock, the record cannot be written; the timer says so in time.
#[tokio::test]
async fn a_slow_answer_is_deferred_by_a_timer() {
    let cellar = Cellar::new().await;
    let options = SqliteConnectOptions::new().filename(cellar.file());
    let mut other = options.connect().await.unwrap();
    other.execute("BEGIN IMMEDIATE").await.unwrap();
    let options = [("name", "Slow"), ("kind", "dried-sausage"), ("meat", "1 kg pork")];
    let asked = cellar.stand_in.slash(cellar.anna, cellar.log, "batch start", &options);
    let thinking = asked.until(SOON, |seen| seen.thinking).await;
    assert!(thinking.deferred);
    other.execute("ROLLBACK").await.unwrap();
    let seen = asked.answer(SOON).await;
    assert!(seen.text().contains("Started B1 Slow"), "{}", seen.text());
    assert_eq!(entries(cellar).await, [""; 0]);
}

#[tokio::test]
async fn a_command_in_a_closed_thread_is_answered_or_left() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    cellar.stand_in.change_channel(thread, &json!({ "archived": true }));
    let archived = cellar.ask_in(cellar.anna, thread, "batch note", &[("text", "smells fine")]).await;
    assert!(archived.text().contains("Noted"), "{}", archived.text());
    cellar.stand_in.change_channel(thread, &json!({ "archived": true, "locked": true }));
    cellar.stand_in.slash(cellar.anna, thread, "batch show", &[]);
    pause(200).await;
    let seen = cellar.ask("batch show", &[("batch", "B1")]).await;
    assert!(seen.text().contains("B1 Juniper stick"), "{}", seen.text());
    assert_eq!(entries(cellar).await, ["note"]);
}

/// Each is sent as an event of the gateway; afterwards everything goes on over the same connection.
#[tokio::test]
async fn events_that_cannot_be_read_leave_the_connection_alone() {
    let cellar = Cellar::new().await;
    cellar.batch().await;
    let stand_in = &cellar.stand_in;
    let connections = stand_in.connections();
    let id = |number: u32| format!("14775761240064900{number:02}");
    let odd = [
        ("INTERACTION_CREATE", json!({})),
        ("INTERACTION_CREATE", json!({ "id": id(1), "type": 2 })),
        ("INTERACTION_CREATE", json!({ "id": id(2), "type": 99, "token": "t", "application_id": id(3) })),
        ("INTERACTION_CREATE", json!({ "id": "salt", "type": 3, "token": 5 })),
        ("INTERACTION_CREATE", json!([])),
        ("MESSAGE_CREATE", json!({ "id": id(4), "content": "ph 5.4" })),
        ("MESSAGE_CREATE", json!(null)),
        ("THREAD_DELETE", json!({ "id": "x" })),
        ("GUILD_DELETE", json!({})),
        ("CELLAR_FLOODED", json!({ "depth": "20 cm" })),
    ];
    for (name, data) in odd {
        stand_in.event(name, data);
    }
    pause(200).await;
    let seen = cellar.ask("batch show", &[("batch", "B1")]).await;
    assert!(seen.text().contains("B1 Juniper stick"), "{}", seen.text());
    assert_eq!(stand_in.connections(), connections);
    assert_eq!(entries(cellar).await, [""; 0]);
}

/// In a place of two people's, a direct line, no name of a place is needed.
#[tokio::test]
async fn a_bare_mention_is_told_what_to_write() {
    let cellar = Cellar::new().await;
    let bot: Id = cellar.stand_in.bot();
    let posted = cellar.stand_in.post(cellar.ben, cellar.log, &format!("<@{bot}>"), Reply::None);
    let answer = cellar.stand_in.reply_after(posted, SOON).await;
    assert!(answer.content.starts_with("Write a reading or a command after my name"), "{}", answer.content);
    assert!(answer.pings.is_empty());
}
