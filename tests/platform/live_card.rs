//! The card at the top of a batch's thread shows where the batch stands, whatever changed it, and is edited no more often
//! than that takes. All invented.

use chrono::TimeDelta;
use serde_json::json;
use sqlx::sqlite::{SqliteConnectOptions, SqlitePool};
use tallyhook::desk::{Attention, Desk, Incoming, Said, Sender};
use tallyhook::record::{BatchId, ChatId, LiveCard};
use tallyhook::store::Store;

use crate::assistant::{Cellar, pause};
use crate::delivery::status;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::message::Message;
use crate::support::stand_in::{Action, Form, Id, Recorded, Reply, SOON, Seen, permissions};

impl Cellar {
    /// The message of a place that shows where the batch stands and says how to answer.
    pub(crate) fn card(&self, place: Id) -> Message {
        let mut messages = self.stand_in.messages(place).into_iter();
        messages.find(|message| message.content.contains("Post its readings")).unwrap()
    }

    /// Waits until the card says something, letting the pace of edits pass.
    pub(crate) async fn card_says(&self, place: Id, text: &str) -> Seen {
        for _ in 0..30 {
            let seen = Seen::of(&self.card(place));
            if seen.text().contains(text) {
                return seen;
            }
            pause(100).await;
            self.wait(TimeDelta::seconds(2));
        }
        panic!("the card does not say {text:?}:\n{}", Seen::of(&self.card(place)).text());
    }

    /// The edits that were tried in a place.
    pub(crate) fn edits(&self, place: Id) -> Vec<Recorded> {
        let path = format!("/channels/{place}/messages/");
        self.stand_in.records().into_iter().filter(|record| record.is("PATCH", &path, "")).collect()
    }

    pub(crate) async fn log_in(&self, place: Id, line: &str) -> Seen {
        let seen = self.ask_in(self.anna, place, "log reading", &[("text", line)]).await;
        assert!(seen.text().contains("Kept"), "{}", seen.text());
        seen
    }

    /// Waits for something that is not to come.
    pub(crate) async fn settle(&self, time: TimeDelta) {
        self.wait(time);
        pause(400).await;
    }

    /// What is kept of the card, at the end.
    pub(crate) async fn live_card(&mut self) -> LiveCard {
        self.stop().await;
        self.record(async |store| store.live_card(BatchId(1)).await.unwrap().unwrap()).await
    }
}

fn minute() -> TimeDelta {
    TimeDelta::minutes(1)
}

#[tokio::test]
async fn the_card_is_current_after_every_kind_of_change() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let first = Seen::of(&cellar.card(thread));
    assert!(first.content.starts_with("B1 Juniper stick: planned"), "{}", first.content);
    assert!(first.content.contains("reply to this message"), "{}", first.content);
    let stamp = format!("As of <t:{}:f>.", cellar.stand_in.now().timestamp());
    assert!(first.content.contains(&stamp), "{}", first.content);
    // A reading in the thread, one by slash elsewhere, one directly, one by the card's own form.
    let hung = format!("<@{}> hung 812 798 g", cellar.stand_in.bot());
    cellar.stand_in.post(cellar.anna, thread, &hung, Reply::None);
    cellar.card_says(thread, "cased").await;
    let direct = cellar.stand_in.direct(cellar.anna, "B1 pH 5.40 at 21 C");
    cellar.card_says(thread, "5.40").await;
    let undone = cellar.log_in(cellar.log, "B1 #1 790 g").await;
    let seen = cellar.card_says(thread, "790 g").await;
    let labels: Vec<&str> = seen.buttons.iter().map(|button| button.label.as_str()).collect();
    let once = labels.iter().collect::<std::collections::BTreeSet<_>>();
    assert_eq!(once.len(), labels.len(), "each once: {labels:?}");
    let pressed = cellar.press(cellar.anna, &seen, "Log a reading");
    pressed.answer(SOON).await;
    cellar.stand_in.submit_form(&pressed, &[("2", "#2 770 g")], Form::Classic).answer(SOON).await;
    cellar.card_says(thread, "770 g").await;
    // Taken back; changed by an edit of the message; a stage by the card's own button.
    cellar.press(cellar.anna, &undone, "Undo").answer(SOON).await;
    for _ in 0..30 {
        if !Seen::of(&cellar.card(thread)).text().contains("790 g") {
            break;
        }
        pause(100).await;
        cellar.wait(TimeDelta::seconds(2));
    }
    assert!(!Seen::of(&cellar.card(thread)).text().contains("790 g"));
    cellar.stand_in.edit(direct, "B1 pH 5.30 at 21 C");
    let seen = cellar.card_says(thread, "5.30").await;
    cellar.press(cellar.anna, &seen, "Start fermenting").answer(SOON).await;
    cellar.card_says(thread, "fermenting").await;
    // The room that it is in.
    cellar.log_in(cellar.log, "chamber 24 C 88%").await;
    cellar.card_says(thread, "24 °C").await;
    cellar.ask("batch discard", &[("batch", "B1"), ("reason", "it fell on the floor")]).await;
    let seen = cellar.ask("batch show", &[("batch", "B1")]).await;
    if !seen.content.contains("discarded") {
        let asked = cellar.ask("batch discard", &[("batch", "B1"), ("reason", "it fell")]).await;
        cellar.press(cellar.anna, &asked, "Yes").answer(SOON).await;
    }
    let last = cellar.card_says(thread, "discarded").await;
    assert!(last.buttons.iter().any(|button| button.label == "Where it stands"), "{last:?}");
    let live = cellar.live_card().await;
    assert_eq!(live.ages, None, "what is over does not age");
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn ten_readings_in_a_second_are_two_edits_at_most_and_the_last_is_shown() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    pause(300).await;
    let before = cellar.edits(thread).len();
    assert_eq!(before, 0, "what was just posted is current");
    cellar.log_in(thread, "hung 812 798 g").await;
    for weight in 0..9 {
        cellar.log_in(thread, &format!("#1 {} g", 800 - weight)).await;
    }
    pause(400).await;
    assert_eq!(cellar.edits(thread).len(), 1, "the rest waits for its time");
    cellar.wait(TimeDelta::seconds(20));
    let shown = cellar.card_says(thread, "792 g").await;
    assert!(!shown.text().contains("800 g"));
    cellar.settle(minute()).await;
    assert_eq!(cellar.edits(thread).len(), 2);
    // Other lines change nothing.
    cellar.ask("batch list", &[]).await;
    cellar.settle(minute()).await;
    assert_eq!(cellar.edits(thread).len(), 2);
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn what_changed_before_a_kill_is_shown_after_the_start() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    cellar.log_in(thread, "hung 812 798 g").await;
    cellar.card_says(thread, "cased").await;
    // Within the pace, so it waits; then the process is gone.
    cellar.log_in(thread, "#1 790 g").await;
    cellar.kill().await;
    assert!(!Seen::of(&cellar.card(thread)).text().contains("790 g"));
    cellar.start().await;
    cellar.card_says(thread, "790 g").await;
    // Carried out, and the answer lost with the process.
    cellar.wait(minute());
    cellar.strike("PATCH", &format!("^/channels/{thread}/messages/"), 1, Action::DropAfter);
    cellar.log_in(thread, "#1 780 g").await;
    cellar.stand_in.wait(SOON, |record| record.method == "PATCH" && record.status == 0).await;
    cellar.kill().await;
    cellar.start().await;
    cellar.card_says(thread, "780 g").await;
    // What a shell keeps while nobody serves is shown with the next start, and buttons work on.
    cellar.stop().await;
    cellar.wait(minute());
    in_a_shell(&cellar, "B1 #1 770 g").await;
    cellar.start().await;
    let seen = cellar.card_says(thread, "770 g").await;
    let shown = cellar.press(cellar.anna, &seen, "Where it stands").answer(SOON).await;
    assert!(shown.content.contains("cased"), "{}", shown.content);
    assert_eq!(cellar.said_in(thread).iter().filter(|said| said.contains("Post its readings")).count(), 1);
    assert_conforming(&cellar.stand_in.records());
}

/// Anna's line, typed in a shell on the machine.
async fn in_a_shell(cellar: &Cellar, line: &str) {
    let desk = Desk::new(Store::open(cellar.file()).await.unwrap());
    let answered = desk
        .answer(&Incoming {
            id: None,
            sender: Sender::Named { group: "Cellar (invented)".to_owned(), member: "Anna".to_owned() },
            said: Said::Line(line.to_owned()),
            at: cellar.stand_in.now(),
            confirmed: false,
            place: None,
            channel: None,
            file: None,
            attention: Attention::Addressed,
        })
        .await;
    assert!(answered.text().contains("Kept"), "{}", answered.text());
    desk.store().close().await.unwrap();
}

#[tokio::test]
async fn a_card_whose_posting_was_lost_is_found_and_goes_on() {
    let mut cellar = Cellar::new().await;
    cellar.strike("POST", r"^/channels/\d+/messages$", 4, Action::DropAfter);
    let options = [("name", "Coppa"), ("kind", "whole-muscle"), ("meat", "1.2 kg pork")];
    cellar.ask("batch start", &options).await;
    let thread = cellar.thread("B1 Coppa").await;
    pause(300).await;
    cellar.kill().await;
    cellar.wait(TimeDelta::minutes(10));
    cellar.start().await;
    cellar.wait(minute());
    pause(300).await;
    cellar.ask_in(cellar.anna, thread, "batch stage", &[("to", "curing")]).await;
    cellar.card_says(thread, "curing").await;
    assert_eq!(cellar.said_in(thread).iter().filter(|said| said.contains("Post its readings")).count(), 1);
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_fermenting_batch_ages_by_the_hour_and_others_by_the_day() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    cellar.log_in(thread, "hung 812 798 g").await;
    cellar.card_says(thread, "cased").await;
    let edits = || cellar.edits(thread).len();
    cellar.settle(TimeDelta::seconds(30)).await;
    let before = edits();
    cellar.settle(TimeDelta::hours(2)).await;
    assert_eq!(edits(), before, "nothing was written, and it counts in days");
    cellar.settle(TimeDelta::hours(22)).await;
    assert_eq!(edits(), before + 1);
    cellar.ask_in(cellar.anna, thread, "batch stage", &[("to", "fermenting")]).await;
    cellar.card_says(thread, "fermenting").await;
    let before = edits();
    for _ in 0..3 {
        cellar.settle(TimeDelta::minutes(61)).await;
    }
    assert_eq!(edits(), before + 3);
    assert!(
        Seen::of(&cellar.card(thread)).content.contains("fermenting for 3 h"),
        "{:?}",
        cellar.said_in(thread)
    );
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn edits_of_an_old_message_back_off_and_the_last_state_gets_there() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    pause(300).await;
    cellar.wait(TimeDelta::hours(2));
    cellar.stand_in.old_edits_left(Some(0));
    cellar.log_in(thread, "hung 812 798 g").await;
    pause(300).await;
    let tried = || cellar.edits(thread).iter().filter(|edit| edit.status == 429).count();
    assert_eq!(tried(), 1);
    // Ten minutes, then twenty, …: far from a storm, whatever is written meanwhile.
    for _ in 0..9 {
        cellar.log_in(thread, "#1 800 g").await;
        cellar.settle(minute()).await;
    }
    assert_eq!(tried(), 1);
    cellar.settle(TimeDelta::minutes(2)).await;
    assert_eq!(tried(), 2);
    cellar.settle(TimeDelta::minutes(10)).await;
    assert_eq!(tried(), 2);
    cellar.stand_in.old_edits_left(None);
    cellar.settle(TimeDelta::minutes(11)).await;
    cellar.card_says(thread, "cased").await;
    assert_eq!(cellar.live_card().await.failures, 0);
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_failing_platform_is_tried_again_and_the_last_state_gets_there() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let path = format!("^/channels/{thread}/messages/");
    for action in
        [status(503), Action::DropBefore, Action::TooMany { retry_after_seconds: 1.0, global: false }]
    {
        cellar.strike("PATCH", &path, 1, action);
    }
    cellar.log_in(thread, "hung 812 798 g").await;
    pause(300).await;
    for pause_s in [30, 60, 120] {
        cellar.settle(TimeDelta::seconds(pause_s + 1)).await;
    }
    let edits: Vec<u16> = cellar.edits(thread).iter().map(|edit| edit.status).collect();
    assert_eq!(edits, [503, 0, 429, 200]);
    cellar.card_says(thread, "cased").await;
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_deleted_card_is_posted_once_more_and_then_left() {
    let mut cellar = Cellar::new().await;
    let (thread, line) = (cellar.batch().await, cellar.stand_in.direct_line(cellar.anna));
    pause(200).await;
    let delete = |cellar: &Cellar| {
        let card = cellar.card(thread).id;
        cellar.stand_in.delete(card);
    };
    delete(&cellar);
    cellar.log_in(thread, "hung 812 798 g").await;
    let bot = cellar.stand_in.bot();
    let is_card = |message: &Message| message.author == bot && message.content.contains("Post its readings");
    cellar.stand_in.message_in(thread, SOON, is_card).await;
    cellar.card_says(thread, "cased").await;
    // A reply to the new one is heard.
    let card = cellar.stand_in.messages(thread).into_iter().find(is_card).unwrap().id;
    let reply =
        cellar.stand_in.post(cellar.anna, thread, "#1 790 g", Reply::To { message: card, ping: true });
    cellar.stand_in.reply_after(reply, SOON).await;
    cellar.stand_in.delete(card);
    cellar.wait(minute());
    cellar.log_in(thread, "#1 780 g").await;
    let told = cellar.stand_in.message_in(line, SOON, |it| it.content.contains("deleted again")).await;
    assert!(told.content.contains("batch show batch:B1"), "{}", told.content);
    for weight in ["775", "770"] {
        cellar.log_in(thread, &format!("#1 {weight} g")).await;
        cellar.settle(TimeDelta::hours(7)).await;
    }
    assert!(!cellar.stand_in.messages(thread).iter().any(is_card));
    assert_eq!(cellar.said_in(line).iter().filter(|said| said.contains("deleted again")).count(), 1);
    let tried = cellar.edits(thread).iter().filter(|edit| edit.status == 404).count();
    assert_eq!(tried, 2);
    // Wanted back in so many words, it comes back.
    cellar.ask("batch show", &[("batch", "B1")]).await;
    let card = cellar.stand_in.message_in(thread, SOON, is_card).await;
    assert!(Seen::of(&card).text().contains("770 g"));
    let live = cellar.live_card().await;
    assert_eq!(live.message, Some(ChatId(i64::try_from(card.id.0).unwrap())));
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn an_archived_thread_is_woken_by_a_change_and_not_by_the_clock() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    cellar.log_in(thread, "hung 812 798 g").await;
    cellar.card_says(thread, "cased").await;
    cellar.settle(TimeDelta::hours(1)).await;
    cellar.stand_in.change_channel(thread, &json!({ "archived": true }));
    cellar.settle(TimeDelta::hours(24)).await;
    let woken = || {
        let path = format!("/channels/{thread}");
        let records = cellar.stand_in.records().into_iter();
        records.filter(|it| it.method == "PATCH" && it.path == path).map(|it| it.status).collect::<Vec<_>>()
    };
    assert_eq!(woken(), [0_u16; 0], "a day alone wakes nobody");
    cellar.log_in(cellar.log, "B1 #1 790 g").await;
    cellar.card_says(thread, "790 g").await;
    assert_eq!(woken(), [200]);
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_thread_from_before_there_were_cards_gets_one_when_its_batch_is_looked_at() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    cellar.stop().await;
    let pool = SqlitePool::connect_with(SqliteConnectOptions::new().filename(cellar.file())).await.unwrap();
    sqlx::query("delete from live_cards").execute(&pool).await.unwrap();
    pool.close().await;
    cellar.start().await;
    let cards = || cellar.said_in(thread).iter().filter(|said| said.contains("Post its readings")).count();
    for _ in 0..2 {
        cellar.ask("batch show", &[("batch", "B1")]).await;
        pause(300).await;
        assert_eq!(cards(), 2, "the old one and a card that lives");
    }
    assert_conforming(&cellar.stand_in.records());
}

/// A thread in which the card cannot be edited: the owner is told once, and the record goes on.
async fn is_lost(lose: impl FnOnce(&Cellar, Id), tries: usize, why: &str) {
    let mut cellar = Cellar::new().await;
    let (thread, line) = (cellar.batch().await, cellar.stand_in.direct_line(cellar.anna));
    pause(300).await;
    lose(&cellar, thread);
    pause(200).await;
    cellar.log_in(cellar.log, "B1 hung 812 798 g").await;
    let told = cellar.stand_in.message_in(line, SOON, |it| it.content.contains("no longer post")).await;
    assert!(told.content.contains(why) && told.content.contains("B1"), "{}", told.content);
    for weight in ["790", "780", "770"] {
        cellar.log_in(cellar.log, &format!("B1 #1 {weight} g")).await;
        cellar.settle(TimeDelta::hours(7)).await;
    }
    assert_eq!(cellar.said_in(line).iter().filter(|said| said.contains("no longer post")).count(), 1);
    assert_eq!(cellar.edits(thread).len(), tries, "no storm");
    let seen = cellar.ask("batch show", &[("batch", "B1")]).await;
    assert!(seen.text().contains("770 g"), "{}", seen.text());
    let live = cellar.live_card().await;
    assert!(live.is_behind(), "should the place come back, the card goes on");
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_locked_and_archived_thread_is_named() {
    let locked = json!({ "locked": true, "archived": true });
    is_lost(|cellar, thread| cellar.stand_in.change_channel(thread, &locked), 1, "locked").await;
}

#[tokio::test]
async fn a_thread_found_deleted_is_named() {
    // Its deletion was told while nobody listened; so it is found at the next edit.
    let unseen = |cellar: &Cellar, thread: Id| {
        let body = json!({ "code": 10003, "message": "Unknown Channel" });
        let action = Action::Status { code: 404, body, headers: Vec::new() };
        cellar.strike("PATCH", &format!("^/channels/{thread}/messages/"), 9, action);
    };
    is_lost(unseen, 1, "it is gone").await;
    // Told of, it is not even tried.
    is_lost(|cellar, thread| cellar.stand_in.delete_channel(thread), 0, "it is gone").await;
}

#[tokio::test]
async fn a_thread_that_may_not_be_seen_is_named() {
    let hidden = |cellar: &Cellar, thread| cellar.stand_in.deny_bot(thread, permissions::VIEW_CHANNEL);
    is_lost(hidden, 1, "may not see it").await;
}

#[tokio::test]
async fn an_edit_that_is_not_permitted_is_named() {
    let refused = |cellar: &Cellar, thread: Id| {
        let body = json!({ "code": 50013, "message": "Missing Permissions" });
        let action = Action::Status { code: 403, body, headers: Vec::new() };
        cellar.strike("PATCH", &format!("^/channels/{thread}/messages/"), 9, action);
    };
    is_lost(refused, 1, "may not write there").await;
}

#[tokio::test]
async fn where_no_thread_can_be_opened_the_owner_is_told_why_once() {
    for (forbid, why) in [
        (permissions::CREATE_PUBLIC_THREADS, "may not create public threads"),
        (0, "as many open threads as Discord allows"),
    ] {
        let cellar = Cellar::new().await;
        let line = cellar.stand_in.direct_line(cellar.anna);
        if forbid == 0 {
            cellar.stand_in.most_open_threads(0);
        } else {
            cellar.stand_in.deny_bot(cellar.log, forbid);
        }
        for name in ["Coppa", "Lonza"] {
            let options = [("name", name), ("kind", "whole-muscle"), ("meat", "1.2 kg pork")];
            cellar.ask("batch start", &options).await;
        }
        let told = cellar.stand_in.message_in(line, SOON, |it| it.content.contains("B1 has no thread")).await;
        assert!(told.content.contains(why), "{}", told.content);
        pause(300).await;
        cellar.settle(TimeDelta::hours(1)).await;
        let tried =
            || cellar.stand_in.records().iter().filter(|it| it.is("POST", "/channels/", "/threads")).count();
        assert_eq!((tried(), cellar.said_in(line).len()), (2, 1), "{:?}", cellar.said_in(line));
        // The record goes on; once there is room, a look at the batch opens its thread.
        cellar.log_in(cellar.log, "B1 hung 1180 g").await;
        cellar.stand_in.most_open_threads(10);
        cellar.stand_in.deny_bot(cellar.log, 0);
        cellar.ask("batch show", &[("batch", "B1")]).await;
        cellar.thread("B1 Coppa").await;
        assert_conforming(&cellar.stand_in.records());
    }
}
