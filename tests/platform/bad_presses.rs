//! Buttons and forms pressed twice, by others, after a restart, or forged: nothing is kept by accident.

use chrono::TimeDelta;
use serde_json::json;
use tallyhook::record::BatchId;

use crate::assistant::{Cellar, pause};
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::payload::Begun;
use crate::support::stand_in::{Form, Handle, Id, Reply, SOON, Seen};

/// A reading in the thread, and its echo with the buttons.
async fn echo(cellar: &Cellar, thread: Id, reading: &str) -> Seen {
    let text = format!("<@{}> {reading}", cellar.stand_in.bot());
    let posted = cellar.stand_in.post(cellar.anna, thread, &text, Reply::None);
    Seen::of(&cellar.stand_in.reply_after(posted, SOON).await)
}

/// The words of the batch's entries after its start, once the assistant has stopped.
async fn entries(mut cellar: Cellar) -> Vec<&'static str> {
    cellar.stop().await;
    let kept = cellar.record(async |store| store.events_of_batch(BatchId(1)).await.unwrap()).await;
    assert_conforming(&cellar.stand_in.records());
    kept.iter().skip(1).map(|event| event.what.word()).collect()
}

/// A press whose id nobody was shown, as a changed client can send it.
fn forged(cellar: &Cellar, user: Id, message: Id, custom_id: &str) -> Handle {
    cellar.stand_in.start_interaction(|state| Begun {
        kind: 3,
        user,
        channel: state.world.message(message).unwrap().channel,
        name: custom_id.to_owned(),
        source: Some(message),
        data: json!({ "id": 2, "custom_id": custom_id, "component_type": 2 }),
    })
}

#[tokio::test]
async fn undo_pressed_twice_undoes_once() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let seen = echo(&cellar, thread, "ph 5.40 at 21 C").await;
    let undo = [cellar.press(cellar.anna, &seen, "Undo"), cellar.press(cellar.anna, &seen, "Undo")];
    for pressed in &undo {
        pressed.answer(SOON).await;
    }
    let third = cellar.press(cellar.anna, &seen, "Undo").answer(SOON).await;
    assert!(!third.text().is_empty());
    assert_eq!(entries(cellar).await, ["ph", "undone"]);
}

#[tokio::test]
async fn a_form_sent_twice_is_kept_once_and_opened_again_it_is_another() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let hello = Seen::of(&cellar.stand_in.messages(thread).remove(0));
    for reading in ["ph 5.40 at 21 C", "ph 5.30 at 21 C"] {
        let opened = cellar.press(cellar.anna, &hello, "Log a reading");
        assert!(opened.answer(SOON).await.modal.is_some());
        for _ in 0..2 {
            let sent = cellar.stand_in.submit_form(&opened, &[("1", reading)], Form::Classic);
            assert!(!sent.answer(SOON).await.text().is_empty());
        }
    }
    assert_eq!(entries(cellar).await, ["ph", "ph"]);
}

#[tokio::test]
async fn a_form_without_words_or_of_a_newer_kind_keeps_nothing() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let hello = Seen::of(&cellar.stand_in.messages(thread).remove(0));
    let opened = cellar.press(cellar.anna, &hello, "Log a reading");
    opened.answer(SOON).await;
    let empty = cellar.stand_in.submit_form(&opened, &[("1", "  ")], Form::Classic).answer(SOON).await;
    assert!(empty.ephemeral, "{empty:?}");
    assert!(empty.text().contains("nothing was kept"), "{}", empty.text());
    cellar.stand_in.submit_form(&opened, &[("1", "ph 5.40 at 21 C")], Form::Labelled);
    pause(200).await;
    let seen = cellar.ask("batch show", &[("batch", "B1")]).await;
    assert!(seen.text().contains("B1 Juniper stick"), "the connection is kept: {}", seen.text());
    assert_eq!(entries(cellar).await, [""; 0]);
}

#[tokio::test]
async fn what_another_asked_for_is_not_theirs_to_press() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    // Ben is known to the record, too; that makes the buttons no more his.
    cellar.ask_in(cellar.ben, cellar.log, "me set", &[("country", "DE")]).await;
    let seen = echo(&cellar, thread, "ph 5.40 at 21 C").await;
    for label in ["Undo", "Change"] {
        let answer = cellar.press(cellar.ben, &seen, label).answer(SOON).await;
        assert!(answer.ephemeral && answer.modal.is_none(), "{answer:?}");
        assert_eq!(answer.text(), "These buttons belong to whoever asked. Ask yourself, e.g. batch list.");
    }
    assert_eq!(entries(cellar).await, ["ph"]);
}

#[tokio::test]
async fn a_form_that_another_sends_is_not_theirs() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let hello = Seen::of(&cellar.stand_in.messages(thread).remove(0));
    let opened = cellar.press(cellar.anna, &hello, "Log a reading");
    let form = opened.answer(SOON).await.modal.unwrap();
    let custom_id = form["custom_id"].as_str().unwrap().to_owned();
    let sent = cellar.stand_in.start_interaction(|state| Begun {
        kind: 5,
        user: cellar.ben,
        channel: thread,
        name: custom_id.clone(),
        source: state.world.message(hello.message.unwrap()).map(|message| message.id),
        data: json!({ "custom_id": custom_id, "components": [
            { "type": 1, "id": 1, "components": [{ "type": 4, "id": 2, "custom_id": "1", "value": "ph 5.1 at 21 C" }] },
        ] }),
    });
    let answer = sent.answer(SOON).await;
    assert!(answer.ephemeral);
    assert_eq!(answer.text(), "These buttons belong to whoever asked. Ask yourself, e.g. batch list.");
    assert_eq!(entries(cellar).await, [""; 0]);
}

#[tokio::test]
async fn buttons_outlive_a_restart() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let seen = echo(&cellar, thread, "ph 5.40 at 21 C").await;
    cellar.stop().await;
    cellar.wait(TimeDelta::hours(24));
    cellar.start().await;
    let answer = cellar.press(cellar.anna, &seen, "Undo").answer(SOON).await;
    assert!(answer.text().starts_with("Undone"), "{}", answer.text());
    assert_eq!(entries(cellar).await, ["ph", "undone"]);
}

#[tokio::test]
async fn forged_ids_are_answered_privately_and_do_nothing() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let seen = echo(&cellar, thread, "ph 5.40 at 21 C").await;
    let message = seen.message.unwrap();
    let ids = [
        "",
        "b",
        "b1",
        "b99.0",
        "b1.99",
        "b-1.0",
        "b1.0.1; drop table cards",
        "x1.0",
        // The first card is the start of the batch, which has its working and is hers to leaf through.
        "p99.0",
        "w99.0",
        "f1.0",
        "🧂",
    ];
    for id in ids.into_iter().filter(|id| !id.is_empty()) {
        let answer = forged(&cellar, cellar.anna, message, id).answer(SOON).await;
        // The first button of a card of hers is hers, whatever stands behind its number.
        if id.starts_with("b1.0") {
            continue;
        }
        assert!(answer.ephemeral, "{id}: {answer:?}");
        let text = answer.text();
        assert!(text.starts_with("I no longer"), "{id}: {text}");
    }
    let long = forged(&cellar, cellar.anna, message, &"b".repeat(100)).answer(SOON).await;
    assert!(long.text().starts_with("I no longer know"), "{}", long.text());
    let kept = entries(cellar).await;
    assert_eq!(kept[0], "ph");
}
