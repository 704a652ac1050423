//! Places that cannot be posted to any more: what was to be said there is said in the next best place, with one notice.

use std::collections::BTreeSet;

use serde_json::json;
use tallyhook::record::{ChatId, ReminderState};

use crate::assistant::{Cellar, pause};
use crate::client;
use crate::delivery::{TEXT, hour};
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Id, Reply, SOON, permissions};

#[tokio::test]
async fn with_closed_direct_messages_the_thread_is_used_or_the_member_told_once() {
    let mut cellar = Cellar::new().await;
    let (thread, line) = (cellar.batch().await, cellar.stand_in.direct_line(cellar.anna));
    let told = async |cellar: &Cellar| {
        let seen = cellar.stand_in.slash(cellar.anna, cellar.log, "batch list", &[]);
        seen.answer(SOON).await;
        pause(300).await;
        seen.now().unwrap().follow_ups.iter().filter(|further| further.content.contains("directly")).count()
    };
    cellar.stand_in.change_user(cellar.anna, |anna| anna.direct_messages_closed = true);
    cellar.remind("turn the bag", "in 1 h", Some("B1")).await;
    cellar.remind("order casings", "in 2 h", None).await;
    cellar.wait(hour());
    cellar.reminder_in(thread, "turn the bag").await;
    assert!(cellar.posts(line, "").is_empty());
    cellar.wait(hour());
    cellar.until_posts(line, "order casings", 1).await;
    pause(300).await;
    cellar.kill().await;
    cellar.start().await;
    assert_eq!((told(&cellar).await, told(&cellar).await), (1, 0));
    assert_eq!(cellar.posts(line, "order casings").len(), 1, "given up at once");
    cellar.stand_in.change_user(cellar.anna, |anna| anna.direct_messages_closed = false);
    cellar.remind("buy salt", "in 1 h", None).await;
    cellar.wait(hour());
    cellar.reminder_in(line, "buy salt").await;
    let kept = cellar.reminders().await;
    let given_up = kept.iter().find(|reminder| reminder.text == "order casings").unwrap();
    assert_eq!(given_up.state, ReminderState::GaveUp);
    assert!(given_up.failure.as_ref().unwrap().contains("50007"), "{given_up:?}");
    assert_conforming(&cellar.stand_in.records());
}

/// A thread that cannot be posted to: reminders come directly, with one notice, and the place is left alone.
async fn moves(dies: impl FnOnce(&Cellar, Id), tries: usize, why: &str) {
    let mut cellar = Cellar::new().await;
    let (thread, line) = (cellar.batch().await, cellar.stand_in.direct_line(cellar.anna));
    cellar.remind("turn the bag", "in 1 h", Some("B1")).await;
    cellar.remind("weigh the sticks", "in 2 h", Some("B1")).await;
    dies(&cellar, thread);
    pause(200).await;
    for text in ["turn the bag", "weigh the sticks"] {
        cellar.wait(hour());
        let reminder = cellar.reminder_in(line, text).await;
        assert!(reminder.content.contains(&format!("<@{}>", cellar.anna)), "{}", reminder.content);
        assert_eq!(reminder.pings, BTreeSet::from([cellar.anna]));
    }
    let notice =
        cellar.stand_in.message_in(line, SOON, |message| message.content.contains("no longer post")).await;
    assert!(notice.content.contains(why), "{}", notice.content);
    pause(300).await;
    assert_eq!(cellar.reminders_in(line, "no longer post").len(), 1, "{:?}", cellar.said_in(line));
    let refused: usize =
        ["turn the bag", "weigh the sticks"].map(|text| cellar.posts(thread, text).len()).iter().sum();
    assert_eq!(refused, tries);
    let kept = cellar.reminders().await;
    assert!(kept.iter().all(|reminder| reminder.state == ReminderState::Sent), "{kept:#?}");
    let number = ChatId(i64::try_from(thread.0).unwrap());
    let place = cellar.record(async move |store| store.place(number).await.unwrap().unwrap()).await;
    assert!(!place.reachable);
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn after_a_threads_deletion_reminders_come_directly() {
    moves(|cellar, thread| cellar.stand_in.delete_channel(thread), 0, "it is gone").await;
}

#[tokio::test]
async fn a_thread_found_deleted_is_tried_once() {
    let unseen = |cellar: &Cellar, thread| {
        cellar.stand_in.hold();
        cellar.stand_in.delete_channel(thread);
        // The commands' answers need no events, and the next ones are not needed.
    };
    moves(unseen, 1, "it is gone").await;
}

#[tokio::test]
async fn a_locked_thread_is_tried_once() {
    let locked = json!({ "locked": true });
    moves(|cellar, thread| cellar.stand_in.change_channel(thread, &locked), 1, "locked").await;
    let archived = json!({ "locked": true, "archived": true });
    moves(|cellar, thread| cellar.stand_in.change_channel(thread, &archived), 1, "locked").await;
}

#[tokio::test]
async fn a_thread_without_permission_is_tried_once() {
    let denied = permissions::SEND_MESSAGES_IN_THREADS;
    moves(|cellar, thread| cellar.stand_in.deny_bot(thread, denied), 1, "may not write").await;
}

#[tokio::test]
async fn an_answer_that_may_not_be_given_there_is_given_directly() {
    let mut cellar = Cellar::new().await;
    let (thread, line) = (cellar.batch().await, cellar.stand_in.direct_line(cellar.anna));
    cellar.stand_in.deny_bot(thread, permissions::SEND_MESSAGES_IN_THREADS);
    let text = format!("<@{}> ph 5.88 at 21 C", cellar.stand_in.bot());
    cellar.stand_in.post(cellar.anna, thread, &text, Reply::None);
    cellar.reminder_in(line, "5.88").await;
    cellar.kill().await;
    cellar.start().await;
    pause(300).await;
    assert_eq!(cellar.reminders_in(line, "5.88").len(), 1);
    cellar.stop().await;
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn an_archived_thread_wakes_up() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    cellar.remind(TEXT, "in 1 h", Some("B1")).await;
    cellar.stand_in.change_channel(thread, &json!({ "archived": true }));
    cellar.wait(hour());
    cellar.reminder_in(thread, TEXT).await;
    let http = client::http(&cellar.stand_in, cellar.stand_in.token());
    let open = http.get_guild_active_threads(cellar.group.0.into()).await.unwrap();
    assert_eq!(open.threads.len(), 1);
    assert_eq!(cellar.reminders().await[0].state, ReminderState::Sent);
    assert_conforming(&cellar.stand_in.records());
}
