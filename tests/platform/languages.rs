//! Everybody is spoken to in their own language: the one they set, else the one their platform says it is in, also where
//! it does not say so.

use chrono::TimeDelta;

use crate::assistant::Cellar;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Id, Reply, SOON, Seen};

impl Cellar {
    /// A person's platform is in a language.
    fn speaks(&self, user: Id, locale: &str) {
        self.stand_in.change_user(user, |user| locale.clone_into(&mut user.locale));
    }

    /// A message to the assistant, with its answer.
    async fn says(&self, user: Id, place: Id, text: &str) -> Seen {
        self.wait(TimeDelta::minutes(1));
        let addressed = format!("<@{}> {text}", self.stand_in.bot());
        let posted = self.stand_in.post(user, place, &addressed, Reply::None);
        let answer = self.stand_in.message_in(place, SOON, |message| message.reply_to == Some(posted)).await;
        Seen::of(&answer)
    }
}

const START: [(&str, &str); 5] = [
    ("name", "Wacholder"),
    ("kind", "fermented-sausage"),
    ("meat", "2.4 kg pork"),
    ("casing", "50 mm"),
    ("loss", "38%"),
];

fn has_button(seen: &Seen, label: &str) -> bool {
    seen.buttons.iter().any(|button| button.label == label)
}

#[tokio::test]
async fn who_set_nothing_is_spoken_to_as_their_platform_is() {
    let cellar = Cellar::new().await;
    cellar.speaks(cellar.anna, "de");
    let started = cellar.ask("batch start", &START).await;
    assert!(started.text().contains("B1 Wacholder begonnen"), "{}", started.text());
    assert!(started.text().contains("VORSICHT:"), "{}", started.text());
    let thread = cellar.thread("B1 Wacholder").await;
    assert!(
        cellar.said_in(thread)[0].contains("Schreib die Messwerte hierher"),
        "{:?}",
        cellar.said_in(thread)
    );

    // A message says nothing of a language; what was heard before counts.
    let hung = cellar.says(cellar.anna, thread, "hung 812 798 805 g").await;
    assert!(hung.text().contains("Notiert zu B1 Wacholder"), "{}", hung.text());
    assert!(has_button(&hung, "Zurücknehmen"), "{:?}", hung.buttons);
    let kept = cellar.says(cellar.anna, thread, "B1 pH 5.42 at 21 C").await;
    assert!(kept.text().contains("pH 5.42 bei 21 °C"), "{}", kept.text());

    // A reminder comes unasked: its own sentence, its button, and the word that it is late.
    let begun = cellar.says(cellar.anna, thread, "batch stage to:fermenting").await;
    assert!(begun.text().contains("Fermentieren"), "{}", begun.text());
    cellar.wait(TimeDelta::hours(12));
    let reminder =
        cellar.stand_in.message_in(thread, SOON, |message| message.content.contains("miss den pH")).await;
    assert!(has_button(&Seen::of(&reminder), "Messwerte notieren"), "{reminder:?}");
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn each_presser_is_told_in_their_own_language() {
    let cellar = Cellar::new().await;
    cellar.speaks(cellar.anna, "de");
    cellar.ask("batch start", &START).await;
    let thread = cellar.thread("B1 Wacholder").await;
    let hung = cellar.says(cellar.anna, thread, "hung 812 798 805 g").await;
    // The button is Anna's, the sentence is for Ben.
    let refused = cellar.press(cellar.ben, &hung, "Zurücknehmen").answer(SOON).await;
    assert!(refused.text().contains("These buttons belong to"), "{}", refused.text());
    cellar.speaks(cellar.ben, "de");
    let refused = cellar.press(cellar.ben, &hung, "Zurücknehmen").answer(SOON).await;
    assert!(refused.text().contains("Diese Knöpfe gehören"), "{}", refused.text());
    let form = cellar.press(cellar.anna, &hung, "Ändern").until(SOON, |seen| seen.modal.is_some()).await;
    assert_eq!(form.modal.unwrap()["title"], "Was hätte da stehen sollen?");
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_language_without_a_wording_is_english() {
    let cellar = Cellar::new().await;
    cellar.speaks(cellar.anna, "fr");
    let started = cellar.ask("batch start", &START).await;
    assert!(started.text().contains("Started B1 Wacholder"), "{}", started.text());
    let thread = cellar.thread("B1 Wacholder").await;
    let hung = cellar.says(cellar.anna, thread, "hung 812 798 805 g").await;
    assert!(hung.text().contains("Kept for B1 Wacholder"), "{}", hung.text());
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_language_that_was_set_comes_before_the_platform_s() {
    let cellar = Cellar::new().await;
    cellar.ask("batch start", &START).await;
    let thread = cellar.thread("B1 Wacholder").await;
    cellar.says(cellar.anna, thread, "hung 812 798 805 g").await;
    cellar.says(cellar.anna, thread, "batch stage to:fermenting").await;
    // What waits to be said is worded anew, and the buttons of this very answer are in the new language.
    let set = cellar.ask("me set", &[("language", "de")]).await;
    assert!(set.text().contains("Sprache: Deutsch"), "{}", set.text());
    let shown = cellar.ask("batch show", &[]).await;
    assert!(shown.text().contains("Fermentieren ab jetzt"), "{}", shown.text());
    cellar.wait(TimeDelta::hours(12));
    cellar.stand_in.message_in(thread, SOON, |message| message.content.contains("miss den pH")).await;
    let back = cellar.ask("me set", &[("language", "en")]).await;
    assert!(back.text().contains("Language: English"), "{}", back.text());
    cellar.speaks(cellar.anna, "de");
    let shown = cellar.ask("batch show", &[]).await;
    assert!(shown.text().contains("B1 Wacholder: fermenting"), "{}", shown.text());
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn what_was_planned_in_one_language_is_said_in_the_one_heard_since() {
    let cellar = Cellar::new().await;
    cellar.ask("batch start", &START).await;
    let thread = cellar.thread("B1 Wacholder").await;
    cellar.says(cellar.anna, thread, "hung 812 798 805 g").await;
    cellar.says(cellar.anna, thread, "batch stage to:fermenting").await;
    cellar.speaks(cellar.anna, "de");
    cellar.ask("help", &[]).await;
    cellar.wait(TimeDelta::hours(12));
    cellar.stand_in.message_in(thread, SOON, |message| message.content.contains("miss den pH")).await;
    assert_conforming(&cellar.stand_in.records());
}

/// The program runs on one thread, so the requests of the two take turns on it.
#[tokio::test]
async fn two_members_of_two_languages_do_not_mix() {
    const EACH: usize = 25;
    let cellar = Cellar::new().await;
    cellar.speaks(cellar.anna, "de");
    let mut asked = Vec::new();
    for number in 0..EACH {
        for (user, hello, other) in
            [(cellar.anna, "Befehle von", "Commands of"), (cellar.ben, "Commands of", "Befehle von")]
        {
            let place = cellar.log;
            let line =
                if number % 2 == 0 { ("help", vec![("about", "cure")]) } else { ("batch list", vec![]) };
            let handle = cellar.stand_in.slash(user, place, line.0, &line.1);
            asked.push((handle, number, hello, other));
        }
    }
    for (handle, number, hello, other) in asked {
        let seen = handle.answer(4 * SOON).await.text();
        if number % 2 == 0 {
            assert!(seen.contains(hello) && !seen.contains(other), "{seen}");
        } else {
            let german = hello == "Befehle von";
            assert_eq!(seen.contains("Charge"), german, "{seen}");
        }
    }
    assert_conforming(&cellar.stand_in.records());
}

/// What stands under the batch of somebody whose card is in German is a helper's too, who is spoken to in English.
#[tokio::test]
async fn a_helper_is_asked_and_helps_in_their_own_language() {
    let cellar = Cellar::new().await;
    cellar.speaks(cellar.anna, "de");
    cellar.ask("batch start", &START).await;
    let thread = cellar.thread("B1 Wacholder").await;
    // Ben has a batch of his own, which a form in Anna's thread is not about.
    let own = [("name", "Coppa"), ("kind", "whole-muscle"), ("meat", "1.2 kg pork"), ("thickness", "70 mm")];
    cellar.ask_in(cellar.ben, cellar.log, "batch start", &own).await;
    let ben = format!("<@{}>", cellar.ben);
    cellar.ask("batch helper", &[("batch", "B1"), ("member", &ben)]).await;
    let asked = cellar.stand_in.message_in(thread, SOON, |message| message.pings.contains(&cellar.ben)).await;
    assert!(asked.content.contains("asks you to help"), "{}", asked.content);
    cellar.press(cellar.ben, &Seen::of(&asked), "Help").answer(SOON).await;
    let told =
        cellar.stand_in.message_in(thread, SOON, |message| message.content.contains("Ben hilft")).await;
    assert!(told.pings.contains(&cellar.anna), "{}", told.content);
    let bot = cellar.stand_in.bot();
    let card = cellar.stand_in.messages(thread).into_iter().find(|message| message.author == bot).unwrap();
    let form = cellar.press(cellar.ben, &Seen::of(&card), "Messwerte notieren").answer(SOON).await;
    assert!(form.modal.is_some(), "{}", form.content);
    let slash = cellar.stand_in.slash(cellar.ben, thread, "log reading", &[]).answer(SOON).await;
    assert_eq!(slash.modal.unwrap()["components"][0]["components"][0]["value"], "B1");
    assert_conforming(&cellar.stand_in.records());
}
