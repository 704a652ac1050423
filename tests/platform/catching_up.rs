//! What a client fetches after it was away: messages by `after`, `before` and `limit`; threads, active and archived.

use serde_json::json;
use serenity::all::{ChannelId, GetMessages};

use crate::client;
use crate::support::stand_in::{Options, Reply, StandIn};

#[tokio::test]
async fn messages_come_newest_first_within_their_bounds() {
    let stand_in = StandIn::start(Options::default()).await;
    let anna = stand_in.user("anna", "Anna");
    let line = stand_in.direct_line(anna);
    let ids: Vec<u64> = (0..120).map(|number| stand_in.direct(anna, &number.to_string()).0).collect();
    assert!(ids.is_sorted_by(|a, b| a < b), "ids only grow");
    let http = client::http(&stand_in, stand_in.token());
    let channel = ChannelId::new(line.0);
    let fetch = async |how: GetMessages| {
        let found = channel.messages(&http, how).await.unwrap();
        found.iter().map(|message| message.content.parse().unwrap()).collect::<Vec<usize>>()
    };
    let all = fetch(GetMessages::new()).await;
    assert_eq!((all.len(), all[0], all[49]), (50, 119, 70), "50 by default");
    let after = fetch(GetMessages::new().after(ids[9]).limit(100)).await;
    assert_eq!(
        (after.len(), after[0], after[99]),
        (100, 109, 10),
        "the oldest after the bound, newest first"
    );
    let before = fetch(GetMessages::new().before(ids[3]).limit(100)).await;
    assert_eq!(before, [2, 1, 0]);
    let few = fetch(GetMessages::new().after(ids[117]).limit(1)).await;
    assert_eq!(few, [118]);
}

#[tokio::test]
async fn reactions_stand_on_the_message_and_arrive_as_events() {
    let stand_in = StandIn::start(Options::default()).await;
    let anna = stand_in.user("anna", "Anna");
    let line = stand_in.direct_line(anna);
    let running = client::start(&stand_in, None).await;
    let asked = stand_in.direct(anna, "ph 5.08");
    let channel = ChannelId::new(line.0);
    channel.create_reaction(&running.http, asked.0, '✅').await.unwrap();
    stand_in.react(anna, asked, "✅", true);
    let read = channel.message(&running.http, asked.0).await.unwrap();
    assert_eq!((read.reactions[0].count, read.reactions[0].me), (2, true));
    running.until(|log| log.reactions == ["✅", "✅"]).await;
    channel.delete_reaction(&running.http, asked.0, None, '✅').await.unwrap();
    assert_eq!(stand_in.message(asked).unwrap().reactions, [("✅".to_owned(), anna)]);
}

#[tokio::test]
async fn threads_are_found_active_or_archived() {
    let stand_in = StandIn::start(Options::default()).await;
    let anna = stand_in.user("anna", "Anna");
    let cellar = stand_in.guild("Cellar (invented)", anna);
    let log = stand_in.channel(cellar, "log");
    let (coppa, lonzino) = (stand_in.thread(log, "coppa", anna), stand_in.thread(log, "lonzino", anna));
    stand_in.post(anna, coppa, "812 g", Reply::None);
    stand_in.change_channel(lonzino, &json!({ "archived": true }));
    let http = client::http(&stand_in, stand_in.token());
    let active = http.get_guild_active_threads(cellar.0.into()).await.unwrap();
    assert_eq!(active.threads.iter().map(|thread| thread.name.as_str()).collect::<Vec<_>>(), ["coppa"]);
    let archived = http.get_channel_archived_public_threads(log.0.into(), None, None).await.unwrap();
    assert_eq!(archived.threads.iter().map(|thread| thread.name.as_str()).collect::<Vec<_>>(), ["lonzino"]);
    let guilds = http.get_guilds(None, None).await.unwrap();
    assert_eq!(guilds[0].name, "Cellar (invented)");
}
