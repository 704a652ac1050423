//! The life of the connection to the gateway: whatever happens to it, what was written is kept once and answered once.

use std::time::Duration;

use chrono::TimeDelta;
use serde_json::json;
use tallyhook::discord::Settings;
use tallyhook::discord::start::{Ended, serve};
use tallyhook::store::Store;

use crate::assistant::{morning, pause, raw};
use crate::readings::Story;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::sessions::Gateway;
use crate::support::stand_in::{Action, Fault, Options, SOON, StandIn};

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

#[tokio::test]
async fn with_few_connections_left_it_waits_until_there_are_more() {
    let stand_in =
        StandIn::start(Options { now: Some(morning()), starts_left: 49, ..Options::default() }).await;
    let settings = Settings::read(&raw(&stand_in)).unwrap();
    let store = Store::open_temporary().await.unwrap();
    let clock = std::sync::Arc::new(tallyhook::clock::FixedClock::at(morning()));
    let (stop, stopped) = tokio::sync::oneshot::channel::<()>();
    let served = serve(&settings, store, clock, async move { drop(stopped.await) });
    let asked = || stand_in.records().iter().filter(|record| record.is("GET", "/gateway/bot", "")).count();
    let story = async {
        pause(1000).await;
        assert_eq!((asked(), stand_in.identifies().len()), (1, 0));
        stand_in.starts_left(50);
        stand_in.gateway_until(Gateway::ready).await;
        assert_eq!((asked(), stand_in.identifies().len()), (2, 1));
        stop.send(()).unwrap();
    };
    let (ended, ()) = tokio::join!(served, story);
    assert_eq!(ended.unwrap(), Ended::Stopped);
    assert_conforming(&stand_in.records());
}

/// The library begins anew every five seconds, so this takes half a minute.
#[tokio::test]
async fn sessions_that_break_again_and_again_are_begun_five_times_and_then_not_for_a_while() {
    let story = Story::new(false).await;
    let stand_in = &story.cellar.stand_in;
    for begun in 1..=5 {
        stand_in.gateway_until(|gateway| gateway.identifies.len() == begun && gateway.ready()).await;
        stand_in.invalidate(false);
    }
    pause(7500).await;
    assert_eq!(stand_in.identifies().len(), 5);
    // What needs no connection goes on.
    story.cellar.wait(TimeDelta::days(9));
    let thread = story.thread;
    stand_in.message_in(thread, SOON, |message| message.content.contains("B1")).await;
    assert_conforming(&stand_in.records());
}
