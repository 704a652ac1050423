//! A newcomer's first minutes, with forms alone.

use crate::assistant::Cellar;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Form, SOON, Seen};

#[tokio::test]
async fn from_the_first_command_to_the_first_reading_by_forms() {
    let mut cellar = Cellar::new().await;
    let begin = cellar.ask("help", &[("about", "start")]).await;
    assert!(begin.ephemeral, "for the newcomer's eyes");
    assert!(begin.text().contains("Country: not said yet"), "{}", begin.text());
    let opened = cellar.press(cellar.anna, &begin, "Country, time zone, units");
    opened.answer(SOON).await;
    let filled = [("0", "IT"), ("1", "Rome"), ("3", "C")];
    let kept = cellar.stand_in.submit_form(&opened, &filled, Form::Classic).answer(SOON).await;
    assert!(kept.text().contains("Country: IT") && kept.text().contains("Europe/Rome"), "{}", kept.text());
    let again = cellar.ask("help", &[("about", "start")]).await;
    assert!(again.text().contains("Country: IT, so its rules judge"), "{}", again.text());
    assert!(again.buttons.iter().all(|button| button.label != "Country, time zone, units"), "it is said");
    let opened = cellar.press(cellar.anna, &again, "Write a batch down");
    opened.answer(SOON).await;
    let filled = [
        ("0", "Juniper stick"),
        ("1", "fermented-sausage"),
        ("2", "2.4 kg pork"),
        ("3", "50 mm"),
        ("4", "38%"),
    ];
    let started = cellar.stand_in.submit_form(&opened, &filled, Form::Classic).answer(SOON).await;
    assert!(started.text().contains("Started B1 Juniper stick"), "{}", started.text());
    let reading = [("batch", "B1"), ("text", "hung 812 798 g")];
    assert!(cellar.ask("log reading", &reading).await.text().contains("Kept for B1"));
    let over = cellar.ask("help", &[("about", "start")]).await;
    assert!(over.text().contains("A batch: B1 Juniper stick is there"), "{}", over.text());
    assert_conforming(&cellar.stand_in.records());
    cellar.stop().await;
}

/// With the first answer comes the form that sets up the member.
#[tokio::test]
async fn the_first_answer_offers_to_set_up() {
    let cellar = Cellar::new().await;
    let first = cellar.ask("target weight", &[("green", "1 kg"), ("loss", "35%")]).await;
    let opened = cellar.press(cellar.anna, &first, "Country, time zone, units");
    let form: Seen = opened.answer(SOON).await;
    assert_eq!(form.modal.unwrap()["title"], "Said once");
    let second = cellar.ask("target weight", &[("green", "1 kg"), ("loss", "35%")]).await;
    assert!(second.buttons.iter().all(|button| button.label != "Country, time zone, units"));
}
