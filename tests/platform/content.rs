//! Who may read what: the content intent (the platform's gateway page, "Message Content Intent").

use serenity::all::{GatewayIntents, Message};

use crate::client::{Running, start, start_with};
use crate::support::stand_in::{Id, Options, Reply, SOON, StandIn};

async fn place() -> (StandIn, Id, Id) {
    let stand_in = StandIn::start(Options::default()).await;
    let anna = stand_in.user("anna", "Anna");
    let cellar = stand_in.guild("Cellar (invented)", anna);
    let log = stand_in.channel(cellar, "log");
    (stand_in, anna, log)
}

async fn without_intent(stand_in: &StandIn) -> Running {
    let running = start_with(stand_in, stand_in.token(), GatewayIntents::non_privileged(), None).await;
    stand_in.ready().await;
    running
}

async fn event(running: &Running, id: Id) -> Message {
    let same = |message: &&Message| message.id.get() == id.0;
    running.until(|log| log.messages.iter().any(|message| same(&message))).await;
    running.log.lock().unwrap().messages.iter().find(same).unwrap().clone()
}

#[tokio::test]
async fn without_the_intent_only_what_is_meant_for_the_application_can_be_read() {
    let (stand_in, anna, log) = place().await;
    let running = without_intent(&stand_in).await;
    let plain = stand_in.post_with(anna, log, "ph 5.08", Reply::None, &[("a.txt", b"x")]);
    let read = event(&running, plain).await;
    assert_eq!((read.content.as_str(), read.attachments.len()), ("", 0));
    let fetched = running.http.get_message(log.0.into(), plain.0.into()).await.unwrap();
    assert_eq!((fetched.content.as_str(), fetched.attachments.len()), ("", 0));
    let named = stand_in.post(anna, log, &format!("<@{}> ph 5.08", stand_in.bot()), Reply::None);
    assert!(event(&running, named).await.content.ends_with("ph 5.08"));
    let direct = stand_in.direct(anna, "ph 5.08");
    assert_eq!(event(&running, direct).await.content, "ph 5.08");
}

#[tokio::test]
async fn a_reply_can_be_read_if_it_pings_a_regular_message() {
    let (stand_in, anna, log) = place().await;
    let running = without_intent(&stand_in).await;
    let channel = serenity::all::ChannelId::new(log.0);
    let own = Id(channel.say(&running.http, "which batch?").await.unwrap().id.get());
    assert_eq!(event(&running, own).await.content, "which batch?");
    let pinging = stand_in.post(anna, log, "coppa 1", Reply::To { message: own, ping: true });
    assert_eq!(event(&running, pinging).await.content, "coppa 1");
    let quiet = stand_in.post(anna, log, "coppa 2", Reply::To { message: own, ping: false });
    assert_eq!(event(&running, quiet).await.content, "");
}

#[tokio::test]
async fn a_pinging_reply_to_an_answered_command_cannot_be_read() {
    let (stand_in, anna, log) = place().await;
    let running = without_intent(&stand_in).await;
    let spec = serenity::all::CreateCommand::new("hello").description("Says hello");
    serenity::all::Command::set_global_commands(&running.http, vec![spec]).await.unwrap();
    let handle = stand_in.slash(anna, log, "hello", &[]);
    let body = serde_json::json!({ "type": 4, "data": { "content": "hello" } });
    running
        .http
        .create_interaction_response(handle.id.0.into(), &handle.token(), &body, vec![])
        .await
        .unwrap();
    let answer = handle.answer(SOON).await.message.unwrap();
    let reply = stand_in.post(anna, log, "ph 5.08", Reply::To { message: answer, ping: true });
    assert_eq!(event(&running, reply).await.content, "");
}

#[tokio::test]
async fn with_the_intent_everything_can_be_read() {
    let (stand_in, anna, log) = place().await;
    let running = start(&stand_in, None).await;
    let plain = stand_in.post(anna, log, "ph 5.08", Reply::None);
    assert_eq!(event(&running, plain).await.content, "ph 5.08");
    let fetched = running.http.get_message(log.0.into(), plain.0.into()).await.unwrap();
    assert_eq!(fetched.content, "ph 5.08");
    assert_eq!(fetched.timestamp.timestamp_millis(), plain.made_at().timestamp_millis());
}
