//! The life of the connection to the gateway: whatever happens to it, what was written is kept once and answered once.

use std::collections::hash_map::RandomState;
use std::hash::{BuildHasher, Hasher};
use std::time::Duration;

use chrono::TimeDelta;
use serde_json::json;
use tallyhook::discord::Settings;
use tallyhook::discord::start::{Ended, serve};
use tallyhook::record::BatchId;
use tallyhook::store::Store;

use crate::assistant::{Cellar, morning, pause, raw};
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Action, Fault, Id, Options, Reply, SOON, StandIn};

/// A cellar with a batch, and the places a reading can be posted in.
struct Story {
    cellar: Cellar,
    thread: Id,
    posted: Vec<Id>,
    listens: bool,
}

impl Story {
    async fn new(listens: bool) -> Self {
        Self::with(Options { now: Some(morning()), ..Options::default() }, listens).await
    }

    async fn with(options: Options, listens: bool) -> Self {
        let cellar = Cellar::with(options, listens).await;
        let thread = cellar.batch().await;
        Self { cellar, thread, posted: Vec::new(), listens }
    }

    /// A pH that no earlier one was, as a member types it.
    fn reading(&mut self) -> String {
        self.cellar.wait(TimeDelta::seconds(1));
        format!("ph {:.2} at 21 C", 5.90 - 0.02 * self.posted.len() as f64)
    }

    fn post(&mut self, place: Id, text: &str, reply: Reply) {
        let posted = self.cellar.stand_in.post(self.cellar.anna, place, text, reply);
        self.posted.push(posted);
    }

    fn mention_in(&mut self, place: Id) {
        let reading = self.reading();
        let text = format!("<@{}> {reading}", self.cellar.stand_in.bot());
        self.post(place, &text, Reply::None);
    }

    fn mention(&mut self) {
        self.mention_in(self.thread);
    }

    /// One reading in every way there is.
    fn everywhere(&mut self) {
        self.mention();
        let (thread, log) = (self.thread, self.cellar.log);
        let reading = self.reading();
        let hello = self.cellar.stand_in.messages(thread)[0].id;
        self.post(thread, &reading, Reply::To { message: hello, ping: true });
        let reading = self.reading();
        let line = self.cellar.stand_in.direct_line(self.cellar.anna);
        self.post(line, &reading, Reply::None);
        if self.listens {
            for place in [thread, log] {
                let reading = self.reading();
                self.post(place, &reading, Reply::None);
            }
        } else {
            self.mention_in(log);
        }
    }

    /// Every reading has its answer.
    async fn answered(&self) {
        for posted in &self.posted {
            let place = self.cellar.stand_in.message(*posted).unwrap().channel;
            self.cellar
                .stand_in
                .message_in(place, 2 * SOON, |message| message.reply_to == Some(*posted))
                .await;
        }
    }

    /// Waits for every answer, then looks that there is one of each, and each reading once in the record.
    async fn told_once(mut self) {
        self.answered().await;
        pause(300).await;
        self.cellar.stop().await;
        let all = self.cellar.stand_in.all_messages();
        for posted in &self.posted {
            let answers: Vec<&str> = all
                .iter()
                .filter(|message| message.reply_to == Some(*posted))
                .filter(|message| message.author == self.cellar.stand_in.bot())
                .map(|message| message.content.as_str())
                .collect();
            assert_eq!(answers.len(), 1, "{answers:#?}");
            // Killed after keeping it and before laying the answer out, it only knows that it was kept.
            let known = answers[0].contains("pH") || answers[0].contains("was kept before");
            assert!(known, "{answers:#?}");
        }
        let kept = self.cellar.record(async |store| store.events_of_batch(BatchId(1)).await.unwrap()).await;
        let mut typed: Vec<String> =
            kept.into_iter().filter(|event| event.what.word() == "ph").map(|event| event.typed).collect();
        assert_eq!(typed.len(), self.posted.len(), "{typed:#?}");
        typed.sort();
        typed.dedup();
        assert_eq!(typed.len(), self.posted.len(), "{typed:#?}");
        assert_conforming(&self.cellar.stand_in.records());
    }
}

#[tokio::test]
async fn a_broken_connection_is_resumed() {
    let mut story = Story::new(false).await;
    story.everywhere();
    story.answered().await;
    story.cellar.stand_in.repeat_on_resume(3);
    story.cellar.stand_in.shut(true);
    story.everywhere();
    story.cellar.stand_in.open();
    story.answered().await;
    assert_eq!(story.cellar.stand_in.resumes().len(), 1);
    assert_eq!(story.cellar.stand_in.identifies().len(), 1);
    story.told_once().await;
}

#[tokio::test]
async fn op_7_and_close_code_4000_are_resumed() {
    let mut story = Story::new(false).await;
    story.cellar.stand_in.reconnect();
    story.mention();
    story.cellar.stand_in.gateway_until(|gateway| gateway.resumes.len() == 1 && gateway.ready()).await;
    story.mention();
    story.cellar.stand_in.close(Some(4000));
    story.mention();
    story.cellar.stand_in.gateway_until(|gateway| gateway.resumes.len() == 2 && gateway.ready()).await;
    story.mention();
    assert_eq!(story.cellar.stand_in.identifies().len(), 1);
    story.told_once().await;
}

/// After a fresh IDENTIFY nothing is replayed: what was written before it can only be fetched.
async fn is_caught_up_with(listens: bool, cause: impl FnOnce(&StandIn)) {
    let mut story = Story::new(listens).await;
    story.everywhere();
    story.answered().await;
    cause(&story.cellar.stand_in);
    story.everywhere();
    story.cellar.wait(TimeDelta::minutes(10));
    story.cellar.stand_in.open();
    story.cellar.stand_in.gateway_until(|gateway| gateway.identifies.len() == 2 && gateway.ready()).await;
    story.everywhere();
    story.told_once().await;
}

#[tokio::test]
async fn what_was_written_before_a_fresh_identify_is_caught_up_with() {
    is_caught_up_with(false, |stand_in| stand_in.shut(false)).await;
}

#[tokio::test]
async fn where_it_listens_it_catches_up_too() {
    is_caught_up_with(true, |stand_in| stand_in.shut(false)).await;
}

#[tokio::test]
async fn after_an_invalid_session_it_catches_up() {
    is_caught_up_with(false, |stand_in| stand_in.invalidate(false)).await;
}

#[tokio::test]
async fn after_close_code_4009_it_catches_up() {
    is_caught_up_with(true, |stand_in| stand_in.close(Some(4009))).await;
}

#[tokio::test]
async fn unanswered_heartbeats_lead_to_another_connection() {
    let heartbeat = Duration::from_millis(500);
    let mut story =
        Story::with(Options { heartbeat, now: Some(morning()), ..Options::default() }, false).await;
    story.cellar.stand_in.ignore_heartbeats(true);
    story.mention();
    story.cellar.stand_in.gateway_until(|gateway| gateway.connections >= 2).await;
    story.mention();
    story.cellar.stand_in.ignore_heartbeats(false);
    story.mention();
    story.told_once().await;
}

#[tokio::test]
async fn a_close_frame_without_a_code_is_survived() {
    let heartbeat = Duration::from_millis(500);
    let mut story =
        Story::with(Options { heartbeat, now: Some(morning()), ..Options::default() }, false).await;
    story.cellar.stand_in.close(None);
    story.mention();
    story.cellar.stand_in.gateway_until(|gateway| gateway.connections == 2 && gateway.ready()).await;
    story.mention();
    story.told_once().await;
}

#[tokio::test]
async fn what_was_written_while_it_was_down_is_caught_up_with() {
    for (listens, killed) in [(false, false), (false, true), (true, false), (true, true)] {
        let mut story = Story::new(listens).await;
        story.everywhere();
        story.answered().await;
        if killed {
            story.cellar.kill().await
        } else {
            story.cellar.stop().await
        }
        story.everywhere();
        story.cellar.wait(TimeDelta::minutes(10));
        story.cellar.start().await;
        story.everywhere();
        story.told_once().await;
    }
}

#[tokio::test]
async fn a_message_of_now_does_not_hide_one_that_is_not_caught_up_with() {
    let mut story = Story::new(false).await;
    story.mention();
    story.answered().await;
    story.cellar.stand_in.shut(false);
    story.mention();
    story.cellar.wait(TimeDelta::minutes(1));
    let path = format!("^/channels/{}/messages$", story.thread);
    // More failures than one round of tries: the rest needs the pause after it.
    story.cellar.stand_in.fault(Fault { method: "GET", path, times: 6, action: Action::DropBefore });
    story.cellar.stand_in.open();
    story.cellar.stand_in.gateway_until(|gateway| gateway.identifies.len() == 2 && gateway.ready()).await;
    story.mention();
    let now = *story.posted.last().unwrap();
    story.cellar.stand_in.reply_after(now, SOON).await;
    story.cellar.kill().await;
    story.cellar.start().await;
    story.told_once().await;
}

#[tokio::test]
async fn a_direct_answer_to_a_reminder_is_caught_up_with() {
    let mut story = Story::new(false).await;
    story.cellar.ask("remind set", &[("text", "read the ph"), ("when", "in 1 h")]).await;
    story.cellar.wait(TimeDelta::hours(1));
    let line = story.cellar.stand_in.direct_line(story.cellar.anna);
    story.cellar.stand_in.message_in(line, SOON, |message| message.content.contains("read the ph")).await;
    story.cellar.stop().await;
    let reading = story.reading();
    story.post(line, &reading, Reply::None);
    story.cellar.start().await;
    story.told_once().await;
}

#[tokio::test]
async fn what_was_kept_before_a_kill_is_answered_after_it() {
    let mut story = Story::new(false).await;
    let path = format!("^/channels/{}/messages$", story.thread);
    for action in [Action::DropBefore, Action::DropAfter] {
        story.cellar.stand_in.clear_records();
        story.cellar.stand_in.fault(Fault { method: "POST", path: path.clone(), times: 1, action });
        story.mention();
        story.cellar.stand_in.wait(SOON, |record| record.is("POST", "/channels/", "/messages")).await;
        story.cellar.kill().await;
        story.cellar.start().await;
    }
    story.told_once().await;
}

#[tokio::test]
async fn events_that_come_again_or_last_first_are_dealt_with_once() {
    let mut story = Story::new(false).await;
    story.everywhere();
    story.answered().await;
    story.cellar.stand_in.repeat_last(20);
    story.cellar.stand_in.hold();
    story.everywhere();
    story.cellar.stand_in.release(true);
    story.answered().await;
    story.cellar.stand_in.repeat_last(20);
    story.cellar.stand_in.invalidate(false);
    story.cellar.stand_in.gateway_until(|gateway| gateway.identifies.len() == 2 && gateway.ready()).await;
    pause(300).await;
    // The command that began the story came again too.
    assert_eq!(story.cellar.stand_in.channels(story.cellar.group).len(), 2);
    let records = story.cellar.stand_in.records();
    assert_eq!(records.iter().filter(|record| record.is("POST", "/interactions/", "/callback")).count(), 1);
    story.told_once().await;
}

#[tokio::test]
async fn what_cannot_be_read_leaves_the_connection_alone() {
    let mut story = Story::new(false).await;
    let stand_in = &story.cellar.stand_in;
    stand_in.event("SOMETHING_NEW", json!({ "a": 1 }));
    stand_in.event("INTERACTION_CREATE", json!({ "id": "no number" }));
    stand_in.event("INTERACTION_CREATE", json!({ "id": "17", "type": 99, "token": "t", "version": 1 }));
    stand_in.event("MESSAGE_CREATE", json!({ "id": [] }));
    stand_in.raw_text("{ not json");
    let seen = story.cellar.ask("batch list", &[]).await;
    assert!(seen.text().contains("Juniper stick"), "{}", seen.text());
    story.mention();
    assert_eq!(story.cellar.stand_in.connections(), 1);
    story.told_once().await;
}

/// Posts into the thread that say a text.
fn posts(story: &Story, text: &str) -> usize {
    let path = format!("/channels/{}/messages", story.thread);
    let records = story.cellar.stand_in.records().into_iter();
    records.filter(|record| record.is("POST", &path, "") && record.body.to_string().contains(text)).count()
}

#[tokio::test]
async fn an_outage_of_a_group_changes_nothing() {
    let mut story = Story::new(false).await;
    story.mention();
    story.answered().await;
    story.cellar.ask("remind set", &[("text", "turn it"), ("when", "in 1 h"), ("batch", "B1")]).await;
    story.cellar.stand_in.guild_delete(story.cellar.group, true);
    story.cellar.stand_in.guild_returns(story.cellar.group);
    pause(200).await;
    story.cellar.wait(TimeDelta::hours(1));
    story.cellar.stand_in.message_in(story.thread, SOON, |message| message.content.contains("turn it")).await;
    story.mention();
    story.told_once().await;
}

#[tokio::test]
async fn a_group_that_lets_it_go_is_left_alone_until_somebody_writes_there_again() {
    let mut story = Story::new(false).await;
    story.mention();
    story.answered().await;
    for (text, when) in [("turn it", "in 1 h"), ("weigh it", "in 2 h")] {
        story.cellar.ask("remind set", &[("text", text), ("when", when), ("batch", "B1")]).await;
    }
    let gone = json!({ "id": story.cellar.group.to_string() });
    story.cellar.stand_in.event("GUILD_DELETE", gone);
    pause(300).await;
    story.cellar.wait(TimeDelta::hours(1));
    let line = story.cellar.stand_in.direct_line(story.cellar.anna);
    story.cellar.stand_in.message_in(line, SOON, |message| message.content.contains("turn it")).await;
    assert_eq!(posts(&story, "turn it"), 0);
    story.mention();
    story.answered().await;
    pause(200).await;
    story.cellar.wait(TimeDelta::hours(1));
    story
        .cellar
        .stand_in
        .message_in(story.thread, SOON, |message| message.content.contains("weigh it"))
        .await;
    story.told_once().await;
}

async fn ends(stand_in: &StandIn, listen: Option<&str>, token: &str) -> Ended {
    let mut raw = raw(stand_in);
    raw.listen = listen.map(str::to_owned);
    raw.token = Some(token.to_owned());
    let settings = Settings::read(&raw).unwrap();
    let store = Store::open_temporary().await.unwrap();
    let clock = std::sync::Arc::new(tallyhook::clock::FixedClock::at(morning()));
    let served = serve(&settings, store, clock, std::future::pending());
    tokio::time::timeout(2 * SOON, served).await.unwrap().unwrap()
}

#[tokio::test]
async fn a_wrong_token_or_a_forbidden_intent_ends_it() {
    let stand_in =
        StandIn::start(Options { privileged_content_intent_enabled: false, ..Options::default() }).await;
    assert_eq!(ends(&stand_in, None, "another-invented-token").await, Ended::WrongToken);
    assert!(stand_in.identifies().is_empty(), "the gateway is not even tried");
    assert_eq!(ends(&stand_in, Some("17"), stand_in.token()).await, Ended::IntentsForbidden);
    assert_conforming(&stand_in.records());
}

#[tokio::test]
async fn a_stop_waits_for_what_is_being_answered() {
    let mut story = Story::new(false).await;
    let slow = |method, path: &str| Fault {
        method,
        path: path.to_owned(),
        times: 1,
        action: Action::Delay(Duration::from_millis(1500)),
    };
    story.cellar.stand_in.fault(slow("POST", "^/interactions/.*/callback$"));
    story.cellar.stand_in.fault(slow("POST", "^/channels/.*/messages$"));
    story.mention();
    let command = story.cellar.stand_in.slash(story.cellar.anna, story.cellar.log, "batch list", &[]);
    pause(400).await;
    assert!(!command.acknowledged());
    story.cellar.stop().await;
    assert!(command.now().unwrap().content.contains("batch"), "{:?}", command.now());
    assert_eq!(
        story.cellar.stand_in.all_messages().iter().filter(|message| message.reply_to.is_some()).count(),
        1
    );
    story.cellar.start().await;
    story.told_once().await;
}

/// Marsaglia's xorshift (2003), for the moments of the kills.
struct Moments(u64);

impl Moments {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % limit
    }
}

/// The random start value, or that of an earlier run, set to repeat it.
#[expect(clippy::disallowed_methods, reason = "a setting of the tests, not of the program")]
fn start_value() -> u64 {
    let given = std::env::var("RANDOM_START_VALUE").ok().and_then(|value| value.parse().ok());
    given.unwrap_or_else(|| RandomState::new().build_hasher().finish() | 1)
}

#[tokio::test]
async fn ten_kills_lose_nothing_and_repeat_nothing() {
    let start = start_value();
    println!("random start value: {start}");
    let mut moments = Moments(start);
    let mut story = Story::new(false).await;
    for _ in 0..10 {
        let upto = moments.below(5);
        for number in 0..4 {
            if number == upto {
                story.cellar.kill().await;
            }
            story.mention();
            pause(moments.below(40)).await;
        }
        if upto == 4 {
            story.cellar.kill().await;
        }
        story.cellar.start().await;
        pause(moments.below(120)).await;
    }
    assert_eq!(story.posted.len(), 40);
    story.told_once().await;
}
