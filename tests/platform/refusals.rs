//! The platform's error bodies, one by one (its reference, "Opcodes and Status Codes").

use serde_json::{Value, json};
use serenity::all::{ChannelId, CreateMessage, HttpError, UserId};

use crate::client;
use crate::support::stand_in::{Id, Options, Reply, StandIn, permissions};

struct Place {
    stand_in: StandIn,
    http: client::Guarded,
    anna: Id,
    log: Id,
}

async fn place() -> Place {
    let stand_in = StandIn::start(Options::default()).await;
    let anna = stand_in.user("anna", "Anna");
    let cellar = stand_in.guild("Cellar (invented)", anna);
    let log = stand_in.channel(cellar, "log");
    let http = client::http(&stand_in, stand_in.token());
    Place { stand_in, http, anna, log }
}

/// Status and code of a refused request.
fn code<T: std::fmt::Debug>(result: serenity::Result<T>) -> (u16, isize) {
    match result {
        Err(serenity::Error::Http(HttpError::UnsuccessfulRequest(response))) => {
            (response.status_code.as_u16(), response.error.code)
        }
        other => panic!("not refused: {other:?}"),
    }
}

async fn send(place: &Place, channel: Id, body: &Value) -> (u16, isize) {
    code(place.http.send_message(channel.0.into(), vec![], body).await)
}

#[tokio::test]
async fn channels_and_messages_that_cannot_be_used() {
    let place = place().await;
    let hello = json!({ "content": "hello" });
    assert_eq!(send(&place, Id(7), &hello).await, (404, 10003));
    assert_eq!(code(place.http.get_message(place.log.0.into(), 7.into()).await), (404, 10008));
    let theirs = place.stand_in.post(place.anna, place.log, "x", Reply::None);
    assert_eq!(
        code(place.http.edit_message(place.log.0.into(), theirs.0.into(), &hello, vec![]).await),
        (403, 50005)
    );
    assert_eq!(
        code(place.http.delete_message(place.log.0.into(), theirs.0.into(), None).await),
        (403, 50013)
    );
    place.stand_in.deny_bot(place.log, permissions::SEND_MESSAGES);
    assert_eq!(send(&place, place.log, &hello).await, (403, 50013));
    place.stand_in.deny_bot(place.log, permissions::VIEW_CHANNEL);
    assert_eq!(send(&place, place.log, &hello).await, (403, 50001));
    place.stand_in.deny_bot(place.log, permissions::READ_MESSAGE_HISTORY);
    let none = place.http.get_messages(place.log.0.into(), None, None).await.unwrap();
    assert!(none.is_empty(), "without the history nothing is listed");
}

#[tokio::test]
async fn a_wrong_token_gets_nothing() {
    let place = place().await;
    let http = client::http(&place.stand_in, "another-invented-token");
    let refused = http.get_current_user().await;
    assert_eq!(code(refused), (401, 0));
}

#[tokio::test]
async fn direct_messages_can_be_closed() {
    let place = place().await;
    let line = UserId::new(place.anna.0).create_dm_channel(&place.http).await.unwrap();
    line.id.say(&place.http, "hello").await.unwrap();
    place.stand_in.change_user(place.anna, |anna| anna.direct_messages_closed = true);
    assert_eq!(code(line.id.say(&place.http, "hello").await), (403, 50007));
}

#[tokio::test]
async fn threads_archived_and_locked() {
    let place = place().await;
    let thread = place.stand_in.thread(place.log, "coppa", place.anna);
    place.stand_in.change_channel(thread, &json!({ "archived": true }));
    ChannelId::new(thread.0).say(&place.http, "wakes").await.unwrap();
    let awake = ChannelId::new(thread.0).to_channel(&place.http).await.unwrap().guild().unwrap();
    assert!(!awake.thread_metadata.unwrap().archived);
    place.stand_in.change_channel(thread, &json!({ "locked": true }));
    assert_eq!(send(&place, thread, &json!({ "content": "x" })).await, (403, 160_005));
    place.stand_in.change_channel(thread, &json!({ "archived": true }));
    assert_eq!(send(&place, thread, &json!({ "content": "x" })).await, (400, 50083));
}

#[tokio::test]
async fn forums_their_tags_and_full_servers() {
    let place = place().await;
    let guild = place.stand_in.guild_of(place.log);
    let forum = place.stand_in.forum(guild, "batches");
    let tags = place.stand_in.tag_forum(forum, &["planned", "pork"], true);
    let described = ChannelId::new(forum.0).to_channel(&place.http).await.unwrap().guild().unwrap();
    assert_eq!(described.available_tags.len(), 2);
    assert!(described.flags.contains(serenity::all::ChannelFlags::REQUIRE_TAG));
    let body = |tags: &[Id]| {
        let tags: Vec<String> = tags.iter().map(ToString::to_string).collect();
        json!({ "name": "coppa", "applied_tags": tags, "message": { "content": "hello" } })
    };
    let open = |tags: &[Id]| {
        let body = body(tags);
        let http = &place.http;
        async move { http.create_forum_post(forum.0.into(), &body, None).await }
    };
    assert_eq!(code(open(&[]).await), (400, 40067));
    assert_eq!(code(open(&[Id(7)]).await), (400, 50035));
    let six = [tags[0]; 6];
    assert_eq!(code(open(&six).await), (400, 50035));
    let post = open(&tags).await.unwrap();
    assert_eq!(post.applied_tags.len(), 2);
    let first = place.http.get_message(post.id, post.id.get().into()).await.unwrap();
    assert_eq!(first.content, "hello", "the first message has the number of the post");
    place.stand_in.moderate_tags(forum);
    assert_eq!(code(open(&tags).await), (403, 50013));
    place.stand_in.most_open_threads(1);
    assert_eq!(code(open(&tags).await), (400, 160_006));
}

#[tokio::test]
async fn old_messages_are_edited_only_so_often() {
    let place = place().await;
    let said = ChannelId::new(place.log.0).say(&place.http, "hello").await.unwrap();
    place.stand_in.old_edits_left(Some(1));
    let edit = async || {
        let body = json!({ "content": "hello again" });
        place.http.edit_message(said.channel_id, said.id, &body, vec![]).await
    };
    edit().await.unwrap();
    edit().await.unwrap();
    place.stand_in.advance(chrono::TimeDelta::minutes(61));
    edit().await.unwrap();
    assert_eq!(code(edit().await), (429, 30046));
}

#[tokio::test]
async fn bodies_over_the_limits() {
    let place = place().await;
    let button = |id: String| json!({ "type": 2, "style": 1, "label": "l", "custom_id": id });
    let row = |parts: Vec<Value>| json!({ "type": 1, "components": parts });
    let rows = |count: usize| (0..count).map(|n| row(vec![button(n.to_string())])).collect::<Value>();
    let fields = |count: usize| vec![json!({ "name": "n", "value": "v" }); count];
    let embed = |embed: Value| json!({ "embeds": [embed] });
    let five = || {
        (0..5).map(|n| json!({ "description": "d".repeat(if n < 4 { 1500 } else { 1 }) })).collect::<Value>()
    };
    let over = [
        json!({ "content": "x".repeat(2001) }),
        json!({ "content": "x", "nonce": "n".repeat(26) }),
        json!({ "embeds": vec![json!({ "title": "t" }); 11] }),
        embed(json!({ "title": "t".repeat(257) })),
        embed(json!({ "description": "t".repeat(4097) })),
        embed(json!({ "title": "t", "footer": { "text": "t".repeat(2049) } })),
        embed(json!({ "fields": fields(26) })),
        embed(json!({ "fields": [{ "name": "n".repeat(257), "value": "v" }] })),
        embed(json!({ "fields": [{ "name": "n", "value": "v".repeat(1025) }] })),
        embed(json!({ "fields": [{ "name": "n", "value": "" }] })),
        json!({ "embeds": five() }),
        json!({ "content": "x", "components": rows(6) }),
        json!({ "content": "x", "components": [row((0..6).map(|n| button(n.to_string())).collect())] }),
        json!({ "content": "x", "components": [row(vec![button("c".repeat(101))])] }),
        json!({ "content": "x", "components": [row(vec![button("a".into()), button("a".into())])] }),
        json!({ "content": "x", "components": [row(vec![json!({ "type": 2, "style": 1, "label": "l".repeat(81), "custom_id": "c" })])] }),
        json!({ "content": "x", "message_reference": { "message_id": "7" } }),
    ];
    for body in over {
        assert_eq!(send(&place, place.log, &body).await, (400, 50035), "{body}");
    }
    assert_eq!(send(&place, place.log, &json!({ "content": " " })).await, (400, 50006));
    let at_the_limit = json!({ "content": "x".repeat(2000), "components": rows(5), "embeds": [{ "fields": fields(25) }],
        "message_reference": { "message_id": "7", "fail_if_not_exists": false } });
    place.http.send_message(place.log.0.into(), vec![], &at_the_limit).await.unwrap();
}

#[tokio::test]
async fn commands_over_the_limits() {
    let place = place().await;
    let command = |name: &str| json!({ "name": name, "description": "d" });
    let with = |option: Value| json!([{ "name": "cure", "description": "d", "options": [option] }]);
    let choices: Vec<Value> =
        (0..26).map(|n| json!({ "name": n.to_string(), "value": n.to_string() })).collect();
    let long: Vec<Value> = (0..25)
        .map(|n| json!({ "type": 1, "name": format!("o{n}"), "description": "d", "options": (0..25).map(|m|
            json!({ "type": 3, "name": format!("p{m}"), "description": "d".repeat(20) })).collect::<Value>() }))
        .collect();
    let over = [
        json!([command("Cure")]),
        json!([command("cure check")]),
        json!([command(&"c".repeat(33))]),
        json!([command("cure"), command("cure")]),
        json!([{ "name": "cure" }]),
        json!([{ "name": "cure", "description": "d".repeat(101) }]),
        with(json!({ "type": 3, "name": "method", "description": "d", "choices": choices })),
        json!([{ "name": "cure", "description": "d", "options": long }]),
        json!([{ "name": "cure", "description": "d", "options": [
            { "type": 3, "name": "a", "description": "d" },
            { "type": 3, "name": "b", "description": "d", "required": true }] }]),
    ];
    for body in over {
        assert_eq!(code(place.http.create_global_commands(&body).await), (400, 50035), "{body}");
    }
    let many: Vec<Value> = (0..101).map(|n| command(&format!("c{n}"))).collect();
    assert_eq!(code(place.http.create_global_commands(&many).await), (400, 30032));
    let menus: Vec<Value> = (0..15).map(|n| json!({ "name": format!("Log this {n}"), "type": 3 })).collect();
    assert_eq!(place.http.create_global_commands(&menus).await.unwrap().len(), 15);
}

#[tokio::test]
async fn pings_follow_allowed_mentions() {
    let place = place().await;
    let ben = place.stand_in.user("ben", "Ben");
    let anna = place.anna;
    let text = format!("<@{anna}> <@{ben}> @everyone");
    let channel = ChannelId::new(place.log.0);
    let all = channel.say(&place.http, &text).await.unwrap();
    let all = place.stand_in.message(Id(all.id.get())).unwrap();
    assert_eq!(
        all.pings.iter().collect::<Vec<_>>(),
        [&anna],
        "Ben is not in the server; the application may not ping everyone"
    );
    let none = serenity::all::CreateAllowedMentions::new();
    let quiet = channel
        .send_message(&place.http, CreateMessage::new().content(&text).allowed_mentions(none))
        .await
        .unwrap();
    assert!(place.stand_in.message(Id(quiet.id.get())).unwrap().pings.is_empty());
    let silent =
        CreateMessage::new().content(&text).flags(serenity::all::MessageFlags::SUPPRESS_NOTIFICATIONS);
    let silent = channel.send_message(&place.http, silent).await.unwrap();
    let silent = place.stand_in.message(Id(silent.id.get())).unwrap();
    assert!(silent.pings.is_empty() && silent.mentions.contains(&anna));
}
