//! What leaves outside an answer, while the platform fails in every way it can: nothing twice, nothing lost.

use std::collections::BTreeSet;

use chrono::TimeDelta;
use serde_json::json;
use tallyhook::record::{Reminder, ReminderState};

use crate::assistant::{Cellar, pause};
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::message::Message;
use crate::support::stand_in::{Action, Fault, Id, Recorded, Reply, SOON, Seen, permissions};

pub(crate) const TEXT: &str = "turn the bag";

impl Cellar {
    pub(crate) fn strike(&self, method: &'static str, path: &str, times: usize, action: Action) {
        self.stand_in.fault(Fault { method, path: path.to_owned(), times, action });
    }

    /// The next posts into a place fail.
    pub(crate) fn strike_posts(&self, place: Id, times: usize, action: Action) {
        self.strike("POST", &format!("^/channels/{place}/messages$"), times, action);
    }

    pub(crate) async fn remind(&self, text: &str, when: &str, batch: Option<&str>) {
        let mut options = vec![("text", text), ("when", when)];
        options.extend(batch.map(|batch| ("batch", batch)));
        let seen = self.ask("remind set", &options).await;
        assert!(seen.text().contains("I remind you"), "{}", seen.text());
    }

    /// Requests to post a text into a place, whatever became of them.
    pub(crate) fn posts(&self, place: Id, text: &str) -> Vec<Recorded> {
        let path = format!("/channels/{place}/messages");
        let says =
            |post: &Recorded| post.body["content"].as_str().is_some_and(|content| content.contains(text));
        let records = self.stand_in.records().into_iter();
        records.filter(|record| record.is("POST", &path, "") && says(record)).collect()
    }

    pub(crate) fn reminders_in(&self, place: Id, text: &str) -> Vec<Message> {
        let messages = self.stand_in.messages(place).into_iter();
        messages.filter(|message| message.content.contains(text)).collect()
    }

    pub(crate) async fn reminder_in(&self, place: Id, text: &str) -> Message {
        self.stand_in.message_in(place, SOON, |message| message.content.contains(text)).await
    }

    /// Lets both clocks go on, as in the pauses of the loop, until so many posts were tried.
    pub(crate) async fn until_posts(&self, place: Id, text: &str, count: usize) {
        for _ in 0..60 {
            if self.posts(place, text).len() >= count {
                return;
            }
            pause(200).await;
            self.wait(TimeDelta::seconds(3));
        }
        panic!("{} posts, not {count}", self.posts(place, text).len());
    }

    /// What became of Anna's reminders.
    pub(crate) async fn reminders(&mut self) -> Vec<Reminder> {
        self.stop().await;
        let user = i64::try_from(self.anna.0).unwrap();
        self.record(async move |store| {
            let anna = store.member_by_chat(tallyhook::record::ChatId(user)).unwrap();
            store.all_reminders_of(anna.id).await.unwrap()
        })
        .await
    }
}

pub(crate) fn hour() -> TimeDelta {
    TimeDelta::hours(1)
}

pub(crate) fn nonces(posts: &[Recorded]) -> BTreeSet<String> {
    posts.iter().map(|post| post.body["nonce"].as_str().unwrap().to_owned()).collect()
}

pub(crate) fn status(code: u16) -> Action {
    Action::Status { code, body: json!({ "code": 0, "message": "no" }), headers: Vec::new() }
}

#[tokio::test]
async fn a_reminder_goes_to_the_thread_and_pings_whom_it_is_for() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    cellar.remind(TEXT, "in 1 h", Some("B1")).await;
    cellar.wait(hour());
    let reminder = cellar.reminder_in(thread, TEXT).await;
    assert_eq!(reminder.pings, BTreeSet::from([cellar.anna]));
    let kept = cellar.reminders().await;
    assert_eq!(kept[0].state, ReminderState::Sent, "{kept:#?}");
    for post in cellar.stand_in.records().iter().filter(|record| record.is("POST", "/channels/", "/messages"))
    {
        let nonce = post.body["nonce"].as_str().unwrap();
        assert!((1..=25).contains(&nonce.chars().count()), "{nonce}");
        assert_eq!(post.body["enforce_nonce"], true);
    }
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_press_puts_a_reminder_off_once() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    cellar.remind(TEXT, "in 1 h", Some("B1")).await;
    cellar.wait(hour());
    let reminder = Seen::of(&cellar.reminder_in(thread, TEXT).await);
    let not_his = cellar.press(cellar.ben, &reminder, "Again in 1 h").answer(SOON).await;
    assert!(not_his.ephemeral && not_his.content.contains("belong"), "{not_his:?}");
    for says in ["in 1 h", "done before"] {
        let pressed = cellar.press(cellar.anna, &reminder, "Again in 1 h").answer(SOON).await;
        assert!(pressed.ephemeral && pressed.text().contains(says), "{pressed:?}");
    }
    assert_eq!(cellar.posts(thread, TEXT).len(), 1);
    cellar.wait(hour());
    cellar.until_posts(thread, TEXT, 2).await;
    assert_eq!(nonces(&cellar.posts(thread, TEXT)).len(), 2, "a second message, not the first one again");
    let kept = cellar.reminders().await;
    assert_eq!(kept[0].state, ReminderState::Sent, "{kept:#?}");
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_post_whose_answer_was_lost_is_only_repeated_with_its_nonce() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    // After four tries in a row the loop pauses, and then looks first whether one of them arrived.
    for (text, lost, tries) in [("turn the bag", 1, 2), ("weigh the sticks", 4, 4)] {
        cellar.remind(text, "in 1 h", Some("B1")).await;
        cellar.strike_posts(thread, lost, Action::DropAfter);
        cellar.wait(hour());
        cellar.until_posts(thread, text, tries).await;
        pause(300).await;
        cellar.wait(TimeDelta::seconds(31));
        pause(300).await;
        assert_eq!(cellar.reminders_in(thread, text).len(), 1);
        assert_eq!(cellar.posts(thread, text).len(), tries);
        assert_eq!(nonces(&cellar.posts(thread, text)).len(), 1);
    }
    let kept = cellar.reminders().await;
    assert!(kept.iter().all(|reminder| reminder.state == ReminderState::Sent), "{kept:#?}");
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_post_whose_answer_was_lost_is_not_repeated_by_the_next_process_either() {
    for reads_back in [true, false] {
        let mut cellar = Cellar::new().await;
        let thread = cellar.batch().await;
        if !reads_back {
            // Then it cannot look what arrived, and the nonce alone must do.
            cellar.stand_in.deny_bot(thread, permissions::READ_MESSAGE_HISTORY);
        }
        cellar.remind(TEXT, "in 1 h", Some("B1")).await;
        cellar.strike_posts(thread, 1, Action::DropAfter);
        cellar.wait(hour());
        cellar.reminder_in(thread, TEXT).await;
        cellar.kill().await;
        let before = cellar.posts(thread, TEXT).len();
        cellar.start().await;
        pause(500).await;
        let posts = cellar.posts(thread, TEXT);
        assert_eq!(posts.len(), before + usize::from(!reads_back));
        assert_eq!(nonces(&posts).len(), 1);
        assert_eq!(cellar.reminders_in(thread, TEXT).len(), 1);
        let kept = cellar.reminders().await;
        assert_eq!(kept[0].state, ReminderState::Sent);
        assert_conforming(&cellar.stand_in.records());
    }
}

#[tokio::test]
async fn what_arrived_before_a_long_absence_is_found_again() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let line = cellar.stand_in.direct_line(cellar.anna);
    for (place, batch) in [(thread, Some("B1")), (line, None)] {
        cellar.remind(TEXT, "in 1 h", batch).await;
        cellar.strike_posts(place, 1, Action::DropAfter);
        cellar.wait(hour());
        cellar.reminder_in(place, TEXT).await;
        cellar.kill().await;
        cellar.wait(TimeDelta::hours(2));
        cellar.start().await;
        pause(300).await;
        assert_eq!(cellar.reminders_in(place, TEXT).len(), 1, "{:?}", cellar.said_in(place));
    }
    let kept = cellar.reminders().await;
    assert!(kept.iter().all(|reminder| reminder.state == ReminderState::Sent), "{kept:#?}");
    assert_conforming(&cellar.stand_in.records());
}

/// What was turned away is tried again after a pause, and arrives once.
async fn is_tried_again(action: Action, pause_of_the_loop: TimeDelta) {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    cellar.remind(TEXT, "in 1 h", Some("B1")).await;
    cellar.strike_posts(thread, 5, action);
    cellar.wait(hour());
    for _ in 0..40 {
        if cellar.posts(thread, TEXT).len() < 4 {
            pause(200).await;
        }
    }
    cellar.until_posts(thread, TEXT, 6).await;
    cellar.reminder_in(thread, TEXT).await;
    pause(300).await;
    let posts = cellar.posts(thread, TEXT);
    assert_eq!(posts.iter().filter(|post| post.status == 200).count(), 1);
    assert_eq!(posts.len(), 6, "no more than it takes");
    assert_eq!(nonces(&posts).len(), 1);
    assert!(posts[4].at - posts[3].at >= pause_of_the_loop);
    assert_eq!(cellar.reminders().await[0].state, ReminderState::Sent);
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn too_many_requests_are_waited_for() {
    let too_many = Action::TooMany { retry_after_seconds: 1.0, global: false };
    is_tried_again(too_many, TimeDelta::seconds(5)).await;
}

#[tokio::test]
async fn a_failing_platform_is_tried_again() {
    is_tried_again(status(503), TimeDelta::seconds(30)).await;
}

#[tokio::test]
async fn a_broken_way_is_tried_again() {
    is_tried_again(Action::DropBefore, TimeDelta::seconds(30)).await;
}

#[tokio::test]
async fn a_command_is_answered_once_over_a_broken_way() {
    let mut cellar = Cellar::new().await;
    cellar.batch().await;
    let too_many = Action::TooMany { retry_after_seconds: 1.0, global: false };
    for action in [Action::DropBefore, Action::DropAfter, status(502), too_many] {
        cellar.strike("POST", "^/interactions/.*/callback$", 1, action);
        let seen = cellar.ask("batch list", &[]).await;
        assert!(seen.text().contains("Juniper stick") && seen.follow_ups.is_empty(), "{seen:?}");
    }
    cellar.stop().await;
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_withdrawn_token_gives_no_reminder_up() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    cellar.remind(TEXT, "in 1 h", Some("B1")).await;
    cellar.strike_posts(thread, 3, status(401));
    cellar.wait(hour());
    cellar.until_posts(thread, TEXT, 3).await;
    cellar.reminder_in(thread, TEXT).await;
    assert_eq!(cellar.reminders().await[0].state, ReminderState::Sent);
    assert_conforming(&cellar.stand_in.records());
}

impl Cellar {
    /// Starts a batch whose thread or post is opened, though the answer to that is lost, also with a kill in between;
    /// gives the place that is found again.
    pub(crate) async fn opening_lost(&mut self, killed: bool) -> Id {
        self.strike("POST", r"^/channels/\d+/threads$", 1, Action::DropAfter);
        let options = [("name", "Coppa"), ("kind", "whole-muscle"), ("meat", "1.2 kg pork")];
        let handle = self.stand_in.slash(self.anna, self.log, "batch start", &options);
        self.stand_in.wait(SOON, |record| record.is("POST", "/channels/", "/threads")).await;
        if killed {
            self.kill().await;
            self.start().await;
        } else {
            handle.answer(SOON).await;
        }
        self.wait(TimeDelta::seconds(31));
        let found = self.thread("B1 Coppa").await;
        pause(300).await;
        found
    }
}

#[tokio::test]
async fn a_thread_whose_opening_was_lost_is_found_again() {
    for killed in [false, true] {
        let mut cellar = Cellar::new().await;
        let thread = cellar.opening_lost(killed).await;
        let channels = cellar.stand_in.channels(cellar.group);
        assert_eq!(channels.iter().filter(|(name, _)| name == "B1 Coppa").count(), 1);
        let hellos =
            cellar.said_in(thread).iter().filter(|said| said.contains("Post its readings here")).count();
        assert_eq!(hellos, 1);
        let records = cellar.stand_in.records();
        assert_eq!(records.iter().filter(|record| record.is("POST", "/channels/", "/threads")).count(), 1);
        cellar.stop().await;
        let batch = tallyhook::record::BatchId(1);
        let place =
            cellar.record(async move |store| store.place_of_batch(batch).await.unwrap().unwrap()).await;
        assert_eq!(place.id.0, i64::try_from(thread.0).unwrap());
        assert_conforming(&records);
    }
}

#[tokio::test]
async fn a_reminder_that_fell_due_while_it_was_down_says_so_and_comes_once() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    cellar.remind(TEXT, "in 1 h", Some("B1")).await;
    cellar.stop().await;
    cellar.wait(TimeDelta::hours(5));
    cellar.start().await;
    let reminder = cellar.reminder_in(thread, TEXT).await;
    assert!(reminder.content.contains("Late, was due Sun 1 Mar, 09:00"), "{}", reminder.content);
    cellar.kill().await;
    cellar.start().await;
    pause(500).await;
    assert_eq!(cellar.reminders_in(thread, TEXT).len(), 1);
    assert_eq!(cellar.reminders().await[0].state, ReminderState::Sent);
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn no_text_of_a_member_pings_anybody() {
    let mut cellar = Cellar::new().await;
    let hostile = format!("@everyone <@{}> <@&{}>", cellar.ben, cellar.group);
    let started = [("name", &*hostile), ("kind", "whole-muscle"), ("meat", "1.2 kg pork")];
    cellar.ask("batch start", &started).await;
    let opened = cellar.stand_in.wait(SOON, |record| record.is("POST", "/channels/", "/threads")).await;
    let thread = cellar.thread(opened.body["name"].as_str().unwrap()).await;
    cellar.remind(&hostile, "in 1 h", Some("B1")).await;
    cellar.ask("batch show", &[("batch", "B1")]).await;
    let first = cellar.stand_in.messages(thread).remove(0).id;
    let reply = Reply::To { message: first, ping: true };
    let asked = cellar.stand_in.post(cellar.anna, thread, &format!("smell {hostile}"), reply);
    cellar.stand_in.reply_after(asked, SOON).await;
    cellar.wait(hour());
    let bot = cellar.stand_in.bot();
    let reminder = |message: &Message| message.author == bot && message.pings.contains(&cellar.anna);
    let reminder = cellar.stand_in.message_in(thread, SOON, reminder).await;
    for message in cellar.stand_in.all_messages().iter().filter(|message| message.author == bot) {
        let allowed = BTreeSet::from_iter((message.id == reminder.id).then_some(cellar.anna));
        assert_eq!(message.pings, allowed, "{}", message.content);
        assert!(!message.mention_everyone);
        assert_eq!(message.allowed_mentions["parse"], json!([]), "{}", message.content);
    }
    assert_eq!(cellar.reminders().await[0].state, ReminderState::Sent);
    assert_conforming(&cellar.stand_in.records());
}
