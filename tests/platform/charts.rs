//! Charts on Discord: a picture with its words under the card, in every way a card is asked for. Invented.

use chrono::TimeDelta;

use crate::assistant::Cellar;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::clock::Id;
use crate::support::stand_in::message::Message;
use crate::support::stand_in::{Reply, SOON, permissions};

/// A batch that dries, weighed twice.
async fn drying(cellar: &Cellar) -> Id {
    let thread = cellar.batch().await;
    let (anna, stand_in) = (cellar.anna, &cellar.stand_in);
    for line in ["hung 812 798 g", "batch stage to:drying"] {
        let asked = stand_in.post(anna, thread, &format!("<@{}> {line}", stand_in.bot()), Reply::None);
        stand_in.reply_after(asked, SOON).await;
    }
    for weights in ["B1 745 731 g", "B1 690 674 g"] {
        cellar.wait(TimeDelta::days(4));
        let asked = stand_in.direct(anna, weights);
        stand_in.reply_after(asked, SOON).await;
    }
    thread
}

/// That a message carries one picture, whole and with the numbers in words.
fn assert_pictured(cellar: &Cellar, message: &Message) {
    let [file] = message.attachments.as_slice() else { panic!("{:?}", message.attachments) };
    assert_eq!(file.filename, "chart.png");
    let alt = file.description.as_deref().unwrap();
    for said in
        ["Juniper stick: drying", "#1 812 g when hung", "690 g on", "15.0 % lost", "Target 38 %", "Forecast"]
    {
        assert!(alt.contains(said), "no {said:?} in {alt:?}");
    }
    assert!(alt.encode_utf16().count() <= 1024);
    let image = cellar.stand_in.file(file.id);
    assert_eq!(image[..8], *b"\x89PNG\r\n\x1a\n");
    // Width and height in the header, by the PNG specification (ISO/IEC 15948) 11.2.2.
    assert_eq!(image[16..24], [0, 0, 3, 232, 0, 0, 2, 238]);
    assert!(image.len() < 200_000, "{} bytes", image.len());
}

#[tokio::test]
async fn a_card_asked_for_by_command_carries_its_chart() {
    let mut cellar = Cellar::new().await;
    let thread = drying(&cellar).await;
    let seen = cellar.ask_in(cellar.anna, thread, "batch show", &[("chart", "drying")]).await;
    assert!(seen.content.contains("drying for"), "{seen:?}");
    let message = cellar.stand_in.message(seen.message.unwrap()).unwrap();
    assert_pictured(&cellar, &message);
    // The card itself carries none, and turning a page of it would send none again.
    let plain = cellar.ask_in(cellar.anna, thread, "batch show", &[]).await;
    assert!(plain.attachments.is_empty());
    // Nothing to see is said in one sentence.
    let nothing = cellar.ask_in(cellar.anna, thread, "batch show", &[("chart", "chamber")]).await;
    assert!(nothing.attachments.is_empty() && nothing.text().contains("No chamber chart"), "{nothing:?}");
    assert_conforming(&cellar.stand_in.records());
    cellar.stop().await;
}

#[tokio::test]
async fn a_card_asked_for_in_a_message_carries_its_chart() {
    let mut cellar = Cellar::new().await;
    let thread = drying(&cellar).await;
    let line = format!("<@{}> batch show chart:drying", cellar.stand_in.bot());
    let asked = cellar.stand_in.post(cellar.anna, thread, &line, Reply::None);
    let answer = cellar.stand_in.reply_after(asked, SOON).await;
    assert_pictured(&cellar, &answer);
    let asked = cellar.stand_in.direct(cellar.anna, "batch show B1 chart:drying");
    assert_pictured(&cellar, &cellar.stand_in.reply_after(asked, SOON).await);
    assert_conforming(&cellar.stand_in.records());
    cellar.stop().await;
}

#[tokio::test]
async fn where_no_files_are_allowed_the_numbers_come_in_words() {
    let mut cellar = Cellar::new().await;
    drying(&cellar).await;
    cellar.stand_in.deny_bot(cellar.log, permissions::ATTACH_FILES);
    let line = format!("<@{}> batch show B1 chart:drying", cellar.stand_in.bot());
    let asked = cellar.stand_in.post(cellar.anna, cellar.log, &line, Reply::None);
    let answer = cellar.stand_in.reply_after(asked, SOON).await;
    assert!(answer.attachments.is_empty());
    assert!(answer.content.contains("812 g when hung"), "{}", answer.content);
    cellar.stop().await;
}
