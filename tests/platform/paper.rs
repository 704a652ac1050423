//! A batch on paper as it comes in the chat: attached, for who asked alone; private notes never where others read. Invented.

use crate::assistant::Cellar;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Reply, SOON};

#[tokio::test]
async fn a_record_and_labels_come_as_files() {
    let mut cellar = Cellar::new().await;
    cellar.batch().await;
    for (verb, name) in [("record", "B1-juniper-stick-record.pdf"), ("label", "B1-juniper-stick-labels.pdf")]
    {
        let seen = cellar.ask(&format!("batch {verb}"), &[("batch", "B1")]).await;
        assert!(seen.ephemeral && seen.attachments == [name], "{seen:?}");
        let message = cellar.stand_in.message(seen.message.unwrap()).unwrap();
        let attached = &message.attachments[0];
        assert!(attached.description.as_deref().unwrap().contains("B1 Juniper stick"), "{message:?}");
        let file = cellar.stand_in.file(attached.id);
        assert!(file.starts_with(b"%PDF-1.7") && file.len() < 500_000, "{} bytes", file.len());
    }
    assert_conforming(&cellar.stand_in.records());
    cellar.stop().await;
}

#[tokio::test]
async fn a_record_that_may_hold_notes_is_not_posted_where_others_read() {
    let mut cellar = Cellar::new().await;
    cellar.batch().await;
    let line = format!("<@{}> batch record batch:B1 notes:yes", cellar.stand_in.bot());
    let asked = cellar.stand_in.post(cellar.anna, cellar.log, &line, Reply::None);
    let here = cellar.stand_in.reply_after(asked, SOON).await;
    assert!(here.attachments.is_empty() && here.content.contains("to you directly"), "{here:?}");
    let direct = cellar.stand_in.direct_line(cellar.anna);
    let there = cellar.stand_in.messages(direct).pop().unwrap();
    assert_eq!(there.attachments[0].filename, "B1-juniper-stick-record.pdf");
    assert_conforming(&cellar.stand_in.records());
    cellar.stop().await;
}
