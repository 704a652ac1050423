//! A whole batch from a phone: started by slash, readings posted in five ways, a stage by a button, a reminder, the end
//! on the group's board. All invented.

use chrono::TimeDelta;
use tallyhook::record::{BatchId, BatchStage};

use crate::assistant::Cellar;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::clock::Id;
use crate::support::stand_in::message::Message;
use crate::support::stand_in::{Form, Reply, SOON, Seen};

impl Cellar {
    /// What the assistant says to a message, checked to be about what was meant.
    async fn heard(&self, posted: Id, expected: &str) -> Message {
        let answer = self.stand_in.reply_after(posted, SOON).await;
        let text = Seen::of(&answer).text();
        assert!(text.contains(expected), "expected {expected:?} in:\n{text}");
        assert_eq!(answer.reply_to, Some(posted), "an answer replies to its question");
        answer
    }

    fn mention(&self, text: &str) -> String {
        format!("<@{}> {text}", self.stand_in.bot())
    }
}

#[tokio::test]
async fn a_batch_from_the_start_to_the_board() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let hello = cellar.stand_in.messages(thread).remove(0);
    assert!(hello.content.contains("reply to this message"), "{}", hello.content);
    make_and_ferment(&cellar, thread, &hello).await;
    dry(&cellar, thread, hello.id).await;
    finish(&cellar, thread).await;
    assert_conforming(&cellar.stand_in.records());
    cellar.stop().await;
    let state = cellar.record(|store| async move { store.batch(BatchId(1)).await.unwrap().unwrap().0 }).await;
    assert_eq!(state.stage().0, BatchStage::Finished);
    let weights: Vec<usize> = state.pieces.iter().map(|piece| piece.weighings.len()).collect();
    // Weighed once by mention, once by form, once by the menu, once by reply: every one of them once.
    assert_eq!(weights, [4, 4]);
}

/// The dose, the pieces by a reply with a ping, the room by mention, the stage, the pH directly.
async fn make_and_ferment(cellar: &Cellar, thread: Id, hello: &Message) {
    let (anna, stand_in) = (cellar.anna, &cellar.stand_in);
    let dose = [("method", "comminuted"), ("meat", "2.4 kg"), ("cure", "5 g"), ("nitrite", "6.25%")];
    let dose: Vec<(&str, &str)> =
        [("batch", "B1")].into_iter().chain(dose).chain([("country", "US")]).collect();
    let seen = cellar.ask_in(anna, thread, "batch cure", &dose).await;
    assert!(seen.text().contains("130.21 mg/kg"), "{}", seen.text());
    let hung = stand_in.post(anna, thread, "hung 812 798 g", Reply::To { message: hello.id, ping: true });
    cellar.heard(hung, "hung #1 812 g, #2 798 g").await;
    let air = stand_in.post(anna, thread, &cellar.mention("chamber set to 24 C 88%"), Reply::None);
    cellar.heard(air, "set to 24 °C, 88 %").await;
    let card = cellar.ask_in(anna, thread, "batch show", &[]).await;
    let started = cellar.press(anna, &card, "Start fermenting").answer(SOON).await;
    assert!(started.content.contains("now fermenting"), "{}", started.content);
    cellar.wait(TimeDelta::hours(20));
    // Somebody looks at the room, so that the hours are counted by more than the setting.
    let air = stand_in.post(anna, thread, &cellar.mention("24 C"), Reply::None);
    cellar.heard(air, "24 °C").await;
    let acid = stand_in.direct(anna, "pH 5.05 at 21 C calibrated 2 h ago slope 98%");
    cellar.heard(acid, "pH 5.05").await;
    cellar.wait(TimeDelta::hours(2));
    let acid = stand_in.direct(anna, "pH 5.0 at 21 C calibrated 3 h ago slope 98%");
    let answer = Seen::of(&cellar.heard(acid, "pH 5").await);
    let drying = cellar.press(anna, &answer, "Start drying").answer(SOON).await;
    assert!(drying.content.contains("now drying"), "{}", drying.content);
}

/// The room, and the weights in four ways; in between the batch asks for a weighing.
async fn dry(cellar: &Cellar, thread: Id, hello: Id) {
    let (anna, stand_in) = (cellar.anna, &cellar.stand_in);
    let air = stand_in.post(anna, thread, &cellar.mention("chamber set to 13 C 80%"), Reply::None);
    cellar.heard(air, "set to 13 °C").await;
    cellar.wait(TimeDelta::hours(7 * 24 + 4));
    let reminder = stand_in.message_in(thread, SOON, |message| message.content.contains("eigh")).await;
    assert!(reminder.content.starts_with(&format!("<@{anna}>")), "{}", reminder.content);
    assert_eq!(reminder.pings.iter().copied().collect::<Vec<_>>(), [anna], "and nobody else");
    let weights = stand_in.post(anna, thread, &cellar.mention("701 689 g"), Reply::None);
    cellar.heard(weights, "#1 701 g").await;
    cellar.wait(TimeDelta::days(5));
    by_form(cellar, &reminder).await;
    cellar.wait(TimeDelta::days(5));
    let note = stand_in.post(anna, cellar.log, "564 551 g", Reply::None);
    let logged = stand_in.menu(anna, note, "Log this reading").answer(SOON).await;
    assert!(logged.text().contains("#1 564 g"), "{}", logged.text());
    let again = stand_in.menu(anna, note, "Log this reading").answer(SOON).await;
    assert!(again.text().contains("kept before"), "a message is logged once: {}", again.text());
    cellar.wait(TimeDelta::days(6));
    let last = stand_in.post(anna, thread, "500 492 g", Reply::To { message: hello, ping: true });
    cellar.heard(last, "#2 492 g").await;
}

async fn by_form(cellar: &Cellar, reminder: &Message) {
    let pressed = cellar.press(cellar.anna, &Seen::of(reminder), "Log a reading");
    let form = pressed.answer(SOON).await.modal.unwrap();
    assert_eq!(form["components"][0]["type"], 1, "the newer fields lose what is typed: {form}");
    let logged = cellar.stand_in.submit_form(&pressed, &[("2", "625 610 g")], Form::Classic);
    let logged = logged.answer(SOON).await;
    assert!(logged.text().contains("#2 610 g"), "{}", logged.text());
}

/// Undone and changed by buttons on the way; finished by a button; shown to the group; seen by the other member.
async fn finish(cellar: &Cellar, thread: Id) {
    let (anna, ben, stand_in) = (cellar.anna, cellar.ben, &cellar.stand_in);
    let slip = stand_in.post(anna, thread, &cellar.mention("#1 49 g"), Reply::None);
    let asked = cellar.heard(slip, "#1").await;
    let left = cellar.press(anna, &Seen::of(&asked), "Discard it").answer(SOON).await;
    assert!(left.in_place && left.buttons.is_empty(), "{left:?}");
    let air = stand_in.post(anna, thread, &cellar.mention("12 C 75%"), Reply::None);
    let kept = Seen::of(&cellar.heard(air, "12 °C").await);
    let undone = cellar.press(anna, &kept, "Undo").answer(SOON).await;
    assert!(undone.content.contains("12 °C"), "{}", undone.content);
    let not_his = cellar.press(ben, &kept, "Undo").answer(SOON).await;
    assert!(not_his.ephemeral && not_his.content.contains("belong"), "{not_his:?}");
    let card = cellar.ask_in(anna, thread, "batch show", &[]).await;
    cellar.press(anna, &card, "Start equalising").answer(SOON).await;
    let card = cellar.ask_in(anna, thread, "batch show", &[]).await;
    let opened = cellar.press(anna, &card, "Finish and rate");
    opened.answer(SOON).await;
    let finished = stand_in.submit_form(&opened, &[("1", "4")], Form::Classic).answer(SOON).await;
    assert!(finished.text().contains("taste 4 of 5, very good"), "{}", finished.text());
    let preview = cellar.press(anna, &finished, "Share").answer(SOON).await;
    assert!(preview.ephemeral && preview.text().contains("taste 4 of 5"), "{preview:?}");
    cellar.press(anna, &preview, "Share").answer(SOON).await;
    let board = cellar.ask_in(ben, cellar.log, "group board", &[]).await;
    assert!(board.text().contains("Juniper stick"), "{}", board.text());
}
