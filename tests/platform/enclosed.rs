//! Files that go with an answer: attached where it is given, never in the record, and never where others read what is
//! about one member. Invented.

use crate::assistant::Cellar;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Reply, SOON, permissions};

const FILES: [&str; 3] = ["tallyhook-record.json", "tallyhook-readings.csv", "tallyhook-entries.csv"];

#[tokio::test]
async fn a_file_comes_with_the_answer_to_a_command() {
    let mut cellar = Cellar::new().await;
    cellar.batch().await;
    let seen = cellar.ask("me export", &[]).await;
    assert!(seen.ephemeral && seen.attachments == FILES, "{seen:?}");
    let message = cellar.stand_in.message(seen.message.unwrap()).unwrap();
    let file = cellar.stand_in.file(message.attachments[0].id);
    let record: serde_json::Value = serde_json::from_slice(&file).unwrap();
    assert!(record.to_string().contains("Juniper stick"), "{record}");
    assert!(message.attachments[0].description.as_deref().unwrap().contains("record"), "{message:?}");
    // It is nowhere in what is kept: a copy of the record would hold every earlier copy.
    let kept = std::fs::read(cellar.file()).unwrap();
    let exported = b"\"exported_at\"";
    assert!(!kept.windows(exported.len()).any(|part| part == exported));
    assert_conforming(&cellar.stand_in.records());
    cellar.stop().await;
}

#[tokio::test]
async fn what_is_about_a_member_is_not_answered_where_others_read() {
    let mut cellar = Cellar::new().await;
    cellar.batch().await;
    let line = format!("<@{}> me export", cellar.stand_in.bot());
    let asked = cellar.stand_in.post(cellar.anna, cellar.log, &line, Reply::None);
    let here = cellar.stand_in.reply_after(asked, SOON).await;
    assert!(here.attachments.is_empty() && here.content.contains("to you directly"), "{here:?}");
    let direct = cellar.stand_in.direct_line(cellar.anna);
    let there = cellar.stand_in.messages(direct).pop().unwrap();
    assert_eq!(there.attachments.iter().map(|file| &*file.filename).collect::<Vec<_>>(), FILES);
    // In a direct conversation there is nobody else.
    let asked = cellar.stand_in.direct(cellar.anna, "me export");
    assert_eq!(cellar.stand_in.reply_after(asked, SOON).await.attachments[0].filename, FILES[0]);
    assert_conforming(&cellar.stand_in.records());
    cellar.stop().await;
}

#[tokio::test]
async fn where_no_files_are_allowed_a_sentence_says_so() {
    let mut cellar = Cellar::new().await;
    cellar.batch().await;
    cellar.stand_in.deny_bot(cellar.log, permissions::ATTACH_FILES);
    let line = format!("<@{}> batch label B1", cellar.stand_in.bot());
    let asked = cellar.stand_in.post(cellar.anna, cellar.log, &line, Reply::None);
    let answer = cellar.stand_in.reply_after(asked, SOON).await;
    assert!(answer.attachments.is_empty(), "{answer:?}");
    assert!(answer.content.contains("I may not attach files here"), "{}", answer.content);
    cellar.stop().await;
}

#[tokio::test]
async fn a_file_goes_along_where_its_answer_is_given_elsewhere() {
    let mut cellar = Cellar::new().await;
    cellar.batch().await;
    cellar.stand_in.deny_bot(cellar.log, permissions::SEND_MESSAGES);
    let line = format!("<@{}> batch label B1", cellar.stand_in.bot());
    cellar.stand_in.post(cellar.anna, cellar.log, &line, Reply::None);
    let direct = cellar.stand_in.direct_line(cellar.anna);
    let answer = cellar.stand_in.message_in(direct, SOON, |it| it.content.contains("label")).await;
    assert_eq!(answer.attachments.len(), 1, "{answer:?}");
    assert_conforming(&cellar.stand_in.records());
    cellar.stop().await;
}
