//! The gateway's faults, and what the chat library does about them.

use std::time::Duration;

use serde_json::json;
use serenity::all::{GatewayError, GatewayIntents};

use crate::client::{start, start_with};
use crate::support::stand_in::{Id, Options, Reply, StandIn, permissions};

struct Place {
    stand_in: StandIn,
    anna: Id,
    log: Id,
}

async fn place(options: Options) -> Place {
    let stand_in = StandIn::start(options).await;
    let anna = stand_in.user("anna", "Anna");
    let cellar = stand_in.guild("Cellar (invented)", anna);
    let log = stand_in.channel(cellar, "log");
    Place { stand_in, anna, log }
}

impl Place {
    fn says(&self, text: &str) -> Id {
        self.stand_in.post(self.anna, self.log, text, Reply::None)
    }
}

#[tokio::test]
async fn a_broken_connection_is_resumed_and_what_was_missed_is_replayed() {
    let place = place(Options::default()).await;
    let running = start(&place.stand_in, None).await;
    place.says("one");
    running.reads(&["one"]).await;
    place.stand_in.offline(true, |_| {
        place.says("two");
    });
    running.reads(&["one", "two"]).await;
    assert_eq!((place.stand_in.identifies().len(), place.stand_in.resumes().len()), (1, 1));
    assert_eq!(place.stand_in.connections(), 2);
}

#[tokio::test]
async fn while_the_gateway_is_shut_the_http_interface_goes_on() {
    let place = place(Options::default()).await;
    let running = start(&place.stand_in, None).await;
    place.stand_in.shut(true);
    serenity::all::ChannelId::new(place.log.0).say(&running.http, "reminder").await.unwrap();
    place.says("answer");
    assert!(running.texts().is_empty());
    place.stand_in.open();
    running.reads(&["reminder", "answer"]).await;
}

#[tokio::test]
async fn a_server_brings_the_applications_rights_and_no_other_members() {
    let place = place(Options::default()).await;
    let ben = place.stand_in.user("ben", "Ben");
    place.stand_in.member(place.stand_in.guild_of(place.log), ben, permissions::MEMBER);
    let running = start(&place.stand_in, None).await;
    running.until(|log| log.guilds.len() == 1).await;
    place.stand_in.deny_bot(place.log, permissions::SEND_MESSAGES);
    running.until(|log| log.channel_updates.len() == 1).await;
    let log = running.log.lock().unwrap();
    let known = &log.guilds[0];
    assert_eq!((known.members.len(), known.member_count, known.roles.len()), (1, 3, 4));
    let me = &known.members[&place.stand_in.bot().0.into()];
    let before = known.user_permissions_in(&known.channels[&place.log.0.into()], me);
    let after = known.user_permissions_in(&log.channel_updates[0], me);
    assert!(before.send_messages() && after.view_channel() && !after.send_messages(), "{before} {after}");
}

#[tokio::test]
async fn what_happened_before_a_fresh_identify_is_only_in_the_http_interface() {
    let place = place(Options::default()).await;
    let running = start(&place.stand_in, None).await;
    place.stand_in.offline(false, |_| {
        place.says("missed");
    });
    place.stand_in.gateway_until(|gateway| gateway.identifies.len() == 2).await;
    place.stand_in.ready().await;
    place.says("seen");
    running.reads(&["seen"]).await;
    let messages = running.http.get_messages(place.log.0.into(), None, None).await.unwrap();
    let texts: Vec<&str> = messages.iter().map(|message| message.content.as_str()).collect();
    assert_eq!(texts, ["seen", "missed"]);
}

#[tokio::test]
async fn op_7_and_resumable_op_9_are_answered_with_a_resume() {
    let place = place(Options::default()).await;
    let running = start(&place.stand_in, None).await;
    place.stand_in.reconnect();
    place.stand_in.gateway_until(|gateway| gateway.resumes.len() == 1 && gateway.ready()).await;
    running.until(|log| log.resumed == 1).await;
    place.stand_in.invalidate(true);
    running.until(|log| log.resumed == 2).await;
    place.says("still here");
    running.reads(&["still here"]).await;
    assert_eq!(place.stand_in.identifies().len(), 1);
}

#[tokio::test]
async fn an_invalid_session_is_answered_with_a_fresh_identify() {
    let place = place(Options::default()).await;
    let running = start(&place.stand_in, None).await;
    place.stand_in.invalidate(false);
    place.stand_in.gateway_until(|gateway| gateway.identifies.len() == 2).await;
    place.stand_in.ready().await;
    place.says("again");
    running.reads(&["again"]).await;
}

#[tokio::test]
async fn close_codes_lead_to_a_resume_or_a_fresh_identify() {
    let place = place(Options::default()).await;
    let running = start(&place.stand_in, None).await;
    place.stand_in.close(Some(4000));
    place.stand_in.gateway_until(|gateway| gateway.resumes.len() == 1).await;
    running.until(|log| log.resumed == 1).await;
    place.stand_in.close(Some(4009));
    place.stand_in.gateway_until(|gateway| gateway.identifies.len() == 2).await;
}

#[tokio::test]
async fn a_close_frame_without_a_code_is_survived() {
    let place = place(Options { heartbeat: Duration::from_secs(1), ..Options::default() }).await;
    let running = start(&place.stand_in, None).await;
    place.stand_in.close(None);
    place.stand_in.gateway_until(|gateway| gateway.connections == 2 && gateway.ready()).await;
    place.says("back");
    running.reads(&["back"]).await;
}

#[tokio::test]
async fn unanswered_heartbeats_lead_to_a_new_connection() {
    let place = place(Options { heartbeat: Duration::from_millis(500), ..Options::default() }).await;
    let _running = start(&place.stand_in, None).await;
    place.stand_in.gateway_until(|gateway| gateway.heartbeats >= 2).await;
    assert_eq!(place.stand_in.connections(), 1);
    place.stand_in.ignore_heartbeats(true);
    place.stand_in.gateway_until(|gateway| gateway.connections == 2).await;
}

#[tokio::test]
async fn a_wrong_token_ends_with_4004_and_a_forbidden_intent_with_4014() {
    let place = place(Options { privileged_content_intent_enabled: false, ..Options::default() }).await;
    let intents = GatewayIntents::non_privileged();
    let mut running = start_with(&place.stand_in, "another-invented-token", intents, None).await;
    let end = (&mut running.task).await.unwrap();
    assert!(matches!(end, Err(serenity::Error::Gateway(GatewayError::InvalidAuthentication))), "{end:?}");
    let all = intents | GatewayIntents::MESSAGE_CONTENT;
    let mut running = start_with(&place.stand_in, place.stand_in.token(), all, None).await;
    let end = (&mut running.task).await.unwrap();
    assert!(matches!(end, Err(serenity::Error::Gateway(GatewayError::DisallowedGatewayIntents))), "{end:?}");
    let _running = start_with(&place.stand_in, place.stand_in.token(), intents, None).await;
    place.stand_in.ready().await;
}

#[tokio::test]
async fn compressed_payloads_are_read() {
    let place = place(Options { zlib: true, ..Options::default() }).await;
    let running = start(&place.stand_in, None).await;
    place.says("packed");
    running.reads(&["packed"]).await;
    assert_eq!(place.stand_in.identifies()[0]["compress"], true);
}

#[tokio::test]
async fn events_come_twice_or_last_first_when_told_to() {
    let place = place(Options::default()).await;
    let running = start(&place.stand_in, None).await;
    place.says("one");
    running.reads(&["one"]).await;
    place.stand_in.repeat_last(1);
    running.reads(&["one", "one"]).await;
    place.stand_in.repeat_on_resume(1);
    place.stand_in.drop_tcp();
    running.reads(&["one", "one", "one"]).await;
    running.log.lock().unwrap().messages.clear();
    place.stand_in.hold();
    let (first, second) = (place.says("first"), place.says("second"));
    assert!(first < second);
    tokio::task::yield_now().await;
    assert!(running.texts().is_empty());
    place.stand_in.release(true);
    running.until(|log| log.messages.len() == 2).await;
}

#[tokio::test]
async fn unknown_and_malformed_events_leave_the_connection_alone() {
    let place = place(Options::default()).await;
    let running = start(&place.stand_in, None).await;
    place.stand_in.event("SOMETHING_NEW", json!({ "a": 1 }));
    place.stand_in.event("INTERACTION_CREATE", json!({ "id": "no number" }));
    place.stand_in.event("MESSAGE_CREATE", json!({ "id": [] }));
    place.stand_in.raw_text("{ not json");
    place.says("well");
    running.reads(&["well"]).await;
}

#[tokio::test]
async fn outages_removals_and_deletions_arrive() {
    let place = place(Options::default()).await;
    let running = start(&place.stand_in, None).await;
    let thread = place.stand_in.thread(place.log, "coppa", place.anna);
    place.stand_in.delete_channel(thread);
    let gone = running.http.get_channel(thread.0.into()).await.unwrap_err();
    assert!(gone.to_string().contains("Unknown Channel"), "{gone}");
    let cellar = place.stand_in.guild("Shed (invented)", place.anna);
    place.stand_in.guild_delete(cellar, true);
    place.stand_in.guild_returns(cellar);
    place.stand_in.guild_delete(cellar, false);
    let gone = running.http.get_guild(cellar.0.into()).await.unwrap_err();
    assert!(gone.to_string().contains("Unknown Guild"), "{gone}");
}
