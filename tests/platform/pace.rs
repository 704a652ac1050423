//! One member who floods it gets a sentence, then silence; what they said within bounds is kept, and others are served.

use crate::assistant::Cellar;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Reply, SOON};
use tallyhook::record::BatchId;

#[tokio::test]
async fn a_flood_is_refused_in_a_sentence_and_keeps_nobody_else_waiting() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let to_us = |text: &str| format!("<@{}> {text}", cellar.stand_in.bot());
    let hung = cellar.stand_in.post(cellar.anna, thread, &to_us("hung 812 g"), Reply::None);
    cellar.stand_in.message_in(thread, SOON, |message| message.reply_to == Some(hung)).await;
    let before = cellar.said_in(thread).len();
    for weight in 0..60 {
        let text = to_us(&format!("#1 {} g", 800 - weight));
        cellar.stand_in.post(cellar.anna, thread, &text, Reply::None);
    }
    // A command is always answered.
    let seen = cellar.ask("me show", &[]).await;
    let theirs =
        cellar.ask_in(cellar.ben, cellar.log, "target weight", &[("green", "1 kg"), ("loss", "35%")]);
    assert!(theirs.await.content.contains("650 g"), "another member is served");
    cellar.stand_in.message_in(thread, 2 * SOON, |message| message.content.contains("at once")).await;
    crate::assistant::pause(1500).await;
    let said = cellar.said_in(thread);
    let refused = said.iter().filter(|text| text.contains("That was a lot at once")).count();
    let kept = said.len() - before - refused;
    // The batch, the hanging and the look at the settings count as well.
    assert!((26..=30).contains(&kept), "{kept} were answered: {seen:?}");
    assert!((1..=3).contains(&refused), "{refused} refusals");
    assert_conforming(&cellar.stand_in.records());
    cellar.stop().await;
    let entries = cellar.record(async |store| store.events_of_batch(BatchId(1)).await.unwrap()).await;
    assert_eq!(entries.iter().filter(|event| event.what.word() == "weight").count(), kept);
}
