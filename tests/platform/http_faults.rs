//! Faults of the HTTP interface, with the library's rate limiter off and, over TLS, on.

use std::time::{Duration, Instant};

use serde_json::{Value, json};
use serenity::all::{ChannelId, CreateMessage, Http, HttpBuilder, Nonce};

use crate::client;
use crate::support::guard::{Guard, assert_loopback};
use crate::support::stand_in::{Action, Fault, Id, Options, StandIn};

const MESSAGES: &str = r"^/channels/\d+/messages$";

async fn place(options: Options) -> (StandIn, Id) {
    let stand_in = StandIn::start(options).await;
    let anna = stand_in.user("anna", "Anna");
    let cellar = stand_in.guild("Cellar (invented)", anna);
    let log = stand_in.channel(cellar, "log");
    (stand_in, log)
}

fn strike(stand_in: &StandIn, action: Action) {
    stand_in.fault(Fault { method: "POST", path: MESSAGES.to_owned(), times: 1, action });
}

/// The library as it runs in earnest, limiter and all; only the name leads here.
fn over_tls(stand_in: &StandIn, guard: &Guard) -> Http {
    let certificate = reqwest::Certificate::from_pem(stand_in.certificate_pem().as_bytes()).unwrap();
    let builder = guard.client_builder().use_rustls_tls().add_root_certificate(certificate);
    let client = builder.resolve("discord.com", stand_in.tls_address()).build().unwrap();
    HttpBuilder::new(stand_in.token()).client(client).build()
}

#[tokio::test]
async fn a_request_dropped_before_is_not_carried_out_and_dropped_after_it_is() {
    let (stand_in, log) = place(Options::default()).await;
    let http = client::http(&stand_in, stand_in.token());
    let channel = ChannelId::new(log.0);
    strike(&stand_in, Action::DropBefore);
    assert!(channel.say(&http, "one").await.is_err());
    assert!(stand_in.messages(log).is_empty());
    strike(&stand_in, Action::DropAfter);
    assert!(channel.say(&http, "two").await.is_err());
    assert_eq!(stand_in.messages(log).len(), 1);
    assert_eq!(stand_in.records().iter().map(|record| record.status).collect::<Vec<_>>(), [0, 0]);
}

#[tokio::test]
async fn the_same_nonce_brings_the_first_message_for_a_few_minutes() {
    let now = "2026-01-05T09:00:00Z".parse().unwrap();
    let (stand_in, log) = place(Options { now: Some(now), ..Options::default() }).await;
    let http = client::http(&stand_in, stand_in.token());
    let channel = ChannelId::new(log.0);
    let message = |text: &str, enforce: bool| {
        CreateMessage::new().content(text).nonce(Nonce::String("r1".to_owned())).enforce_nonce(enforce)
    };
    strike(&stand_in, Action::DropAfter);
    assert!(channel.send_message(&http, message("due", true)).await.is_err());
    let again = channel.send_message(&http, message("due", true)).await.unwrap();
    assert_eq!(stand_in.messages(log).len(), 1);
    assert_eq!(stand_in.messages(log)[0].id.0, again.id.get());
    channel.send_message(&http, message("due", false)).await.unwrap();
    assert_eq!(stand_in.messages(log).len(), 2, "without enforce_nonce the nonce says nothing");
    stand_in.advance(chrono::TimeDelta::minutes(30));
    channel.send_message(&http, message("due", true)).await.unwrap();
    assert_eq!(stand_in.messages(log).len(), 3, "a nonce is forgotten after a while");
}

#[tokio::test]
async fn server_errors_and_late_answers_come_as_told() {
    let (stand_in, log) = place(Options::default()).await;
    let http = client::http(&stand_in, stand_in.token());
    let channel = ChannelId::new(log.0);
    strike(
        &stand_in,
        Action::Status { code: 503, body: json!({ "code": 0, "message": "down" }), headers: vec![] },
    );
    assert!(channel.say(&http, "one").await.unwrap_err().to_string().contains("down"));
    strike(&stand_in, Action::Delay(Duration::from_millis(200)));
    let before = Instant::now();
    channel.say(&http, "two").await.unwrap();
    assert!(before.elapsed() >= Duration::from_millis(200));
    strike(&stand_in, Action::TooMany { retry_after_seconds: 1.0, global: false });
    assert!(channel.say(&http, "three").await.unwrap_err().to_string().contains("rate limited"));
    assert_eq!(stand_in.messages(log).len(), 1);
}

#[tokio::test]
async fn over_tls_the_librarys_own_rate_limiter_waits_and_tries_again() {
    let (stand_in, log) = place(Options { tls: true, ..Options::default() }).await;
    let guard = Guard::default();
    let http = over_tls(&stand_in, &guard);
    let channel = ChannelId::new(log.0);
    for global in [false, true] {
        strike(&stand_in, Action::TooMany { retry_after_seconds: 0.3, global });
        let before = Instant::now();
        channel.say(&http, "due").await.unwrap();
        assert!(before.elapsed() >= Duration::from_millis(300), "{global}");
    }
    assert_eq!(stand_in.messages(log).len(), 2);
    let statuses: Vec<u16> = stand_in.records().iter().map(|record| record.status).collect();
    assert_eq!(statuses, [429, 200, 429, 200]);
}

#[tokio::test]
async fn the_counters_of_a_rate_limit_make_the_librarys_limiter_wait() {
    let (stand_in, log) = place(Options { tls: true, ..Options::default() }).await;
    let guard = Guard::default();
    let http = over_tls(&stand_in, &guard);
    let counters =
        [("x-ratelimit-limit", "1"), ("x-ratelimit-remaining", "0"), ("x-ratelimit-reset-after", "0.4")];
    let counters = counters.map(|(name, value)| (name.to_owned(), value.to_owned())).to_vec();
    strike(&stand_in, Action::Headers(counters));
    let before = Instant::now();
    ChannelId::new(log.0).say(&http, "one").await.unwrap();
    ChannelId::new(log.0).say(&http, "two").await.unwrap();
    assert!(before.elapsed() >= Duration::from_millis(380));
    assert_eq!(stand_in.messages(log).len(), 2);
}

#[tokio::test]
async fn the_real_host_is_out_of_reach() {
    let (stand_in, _) = place(Options::default()).await;
    let guard = Guard::default();
    // With its limiter on, the library forgets about a proxy and goes for the real host.
    let client = guard.client_builder().build().unwrap();
    let strayed = HttpBuilder::new(stand_in.token()).client(client).proxy(stand_in.api_url()).build();
    assert!(strayed.get_current_user().await.is_err());
    assert_eq!(guard.strays(), ["discord.com"]);
    assert!(stand_in.records().is_empty());
    let http = client::http(&stand_in, stand_in.token());
    assert_eq!(http.get_current_user().await.unwrap().id.get(), stand_in.bot().0);
    let record = stand_in.records().pop().unwrap();
    assert_eq!((record.path.as_str(), record.body), ("/users/@me", Value::Null));
}

#[test]
fn an_address_elsewhere_fails_the_test() {
    assert_loopback("ws://127.0.0.1:4000/");
    for elsewhere in ["wss://gateway.example.org", "ws://10.0.0.1:4000", "ws://127.0.0.1.example.org:1", ""] {
        assert!(std::panic::catch_unwind(|| assert_loopback(elsewhere)).is_err(), "{elsewhere}");
    }
}

#[tokio::test]
#[should_panic(expected = "would have reached")]
async fn a_guard_that_saw_a_stray_fails_the_test() {
    let guard = Guard::default();
    let client = guard.client_builder().build().unwrap();
    let _ = client.get("https://elsewhere.example.org/").send().await;
}
