//! The checks themselves.

use chrono::DateTime;
use serde_json::{Value, json};

use crate::support::conformance::{request_faults, response_faults};
use crate::support::stand_in::{Id, Options, Recorded, Reply, StandIn};

pub(crate) const CASES: &[crate::Case] = &[
    ("good_bodies_pass", good_bodies_pass),
    ("each_broken_body_is_caught", each_broken_body_is_caught),
    ("the_librarys_own_bodies_pass", crate::conformance_builders::the_librarys_own_bodies_pass),
    ("the_stand_in_answers_as_described", the_stand_in_answers_as_described),
    ("a_broken_answer_is_caught", a_broken_answer_is_caught),
];

fn recorded(method: &str, path: &str, body: Value) -> Recorded {
    Recorded {
        method: method.to_owned(),
        path: path.to_owned(),
        query: Vec::new(),
        body,
        files: Vec::new(),
        status: 200,
        response: Value::Null,
        at: DateTime::UNIX_EPOCH,
    }
}

const MESSAGE: &str = "/channels/1/messages";
const CALLBACK: &str = "/interactions/1/token/callback";
const COMMANDS: &str = "/applications/1/commands";

fn message(body: Value) -> Recorded {
    recorded("POST", MESSAGE, body)
}

fn commands(body: Value) -> Recorded {
    recorded("PUT", COMMANDS, body)
}

fn callback(body: Value) -> Recorded {
    recorded("POST", CALLBACK, body)
}

fn rows(count: usize) -> Value {
    let row = |number: usize| json!({ "type": 1, "components": [{ "type": 2, "style": 1, "label": "Undo", "custom_id": format!("u{number}") }] });
    (0..count).map(row).collect()
}

fn good_bodies_pass() {
    let with_file = Recorded {
        files: vec![("files[0]".to_owned(), "curve.png".to_owned())],
        ..message(json!({ "content": "x", "attachments": [{ "id": 0, "filename": "curve.png" }] }))
    };
    let good = [
        message(
            json!({ "content": "x".repeat(2000), "nonce": "r1", "enforce_nonce": true, "components": rows(5) }),
        ),
        with_file,
        callback(json!({ "type": 4, "data": { "content": "x", "flags": 64 } })),
        callback(json!({ "type": 5, "data": { "flags": 64 } })),
        callback(json!({ "type": 8, "data": { "choices": [{ "name": "dry", "value": "dry" }] } })),
        callback(json!({ "type": 9, "data": { "custom_id": "f", "title": "Log", "components": [
            { "type": 1, "components": [{ "type": 4, "custom_id": "w", "label": "Weight", "style": 1 }] }] } })),
        commands(
            json!([{ "name": "cure", "description": "Doses" }, { "name": "Log this reading", "type": 3 }]),
        ),
        recorded("POST", "/users/@me/channels", json!({ "recipient_id": "1" })),
    ];
    let faults: Vec<String> = good.iter().flat_map(request_faults).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

fn each_broken_body_is_caught() {
    let field = json!({ "name": "n", "value": "v" });
    let embeds = |embed: Value| message(json!({ "embeds": [embed] }));
    let option =
        |option: Value| commands(json!([{ "name": "cure", "description": "d", "options": [option] }]));
    let choices: Vec<Value> =
        (0..26).map(|number| json!({ "name": number.to_string(), "value": "v" })).collect();
    let many: Vec<Value> =
        (0..131).map(|number| json!({ "name": format!("c{number}"), "description": "d" })).collect();
    let broken = [
        ("content over 2000", message(json!({ "content": "x".repeat(2001) }))),
        (
            "content over 2000 in an answer",
            callback(json!({ "type": 4, "data": { "content": "x".repeat(2001) } })),
        ),
        ("content over 4000", message(json!({ "content": "x".repeat(4001) }))),
        ("nonce over 25", message(json!({ "content": "x", "nonce": "n".repeat(26) }))),
        ("11 embeds", message(json!({ "embeds": vec![json!({ "title": "t" }); 11] }))),
        ("embed title over 256", embeds(json!({ "title": "t".repeat(257) }))),
        ("26 fields", embeds(json!({ "fields": vec![field; 26] }))),
        ("a field without name", embeds(json!({ "fields": [{ "value": "v" }] }))),
        (
            "custom_id over 100",
            message(json!({ "content": "x", "components": [{ "type": 1, "components": [
            { "type": 2, "style": 1, "label": "l", "custom_id": "c".repeat(101) }] }] })),
        ),
        ("6 rows", message(json!({ "content": "x", "components": rows(6) }))),
        ("callback type 99", callback(json!({ "type": 99 }))),
        ("26 suggestions", callback(json!({ "type": 8, "data": { "choices": choices } }))),
        (
            "a form without title",
            callback(json!({ "type": 9, "data": { "custom_id": "f", "components": [
            { "type": 1, "components": [{ "type": 4, "custom_id": "w", "label": "Weight", "style": 1 }] }] } })),
        ),
        ("description over 100", commands(json!([{ "name": "cure", "description": "d".repeat(101) }]))),
        ("131 commands", commands(json!(many))),
        ("an option without description", option(json!({ "type": 3, "name": "method" }))),
        ("upper case in a command", commands(json!([{ "name": "Cure", "description": "d" }]))),
        ("a blank in an option", option(json!({ "type": 3, "name": "the method", "description": "d" }))),
        (
            "permissions that are no bit set",
            commands(json!([
            { "name": "cure", "description": "d", "default_member_permissions": "admin" }])),
        ),
        ("a file that was not sent", message(json!({ "content": "x", "attachments": [{ "id": 0 }] }))),
        ("an unknown path", recorded("POST", "/channels/1/messages/now", json!({}))),
        ("a body where none belongs", recorded("POST", "/channels/1/typing", json!({ "now": true }))),
    ];
    for (name, record) in broken {
        assert!(!request_faults(&record).is_empty(), "not caught: {name}");
    }
}

/// Every kind of answer the stand-in gives, fetched plainly and held against the description.
fn the_stand_in_answers_as_described() {
    let records = run(every_answer());
    let faults: Vec<String> = records.iter().flat_map(response_faults).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(records.len() >= 25, "only {} requests", records.len());
}

fn a_broken_answer_is_caught() {
    let mut records = run(every_answer());
    for record in &mut records {
        let Value::Object(response) = &mut record.response else { continue };
        if record.status == 200 && response.contains_key("id") {
            response.remove("id");
            assert!(!response_faults(record).is_empty(), "not caught: {} {}", record.method, record.path);
        }
    }
}

pub(crate) fn run<T>(work: impl Future<Output = T>) -> T {
    tokio::runtime::Builder::new_multi_thread().enable_all().build().expect("a runtime").block_on(work)
}

/// Asks for one thing after the other; returns all that was recorded.
async fn every_answer() -> Vec<Recorded> {
    let stand_in = StandIn::start(Options::default()).await;
    let anna = stand_in.user("anna", "Anna");
    let cellar = stand_in.guild("Cellar (invented)", anna);
    let (log, shed) = (stand_in.channel(cellar, "log"), stand_in.forum(cellar, "batches"));
    let first = stand_in.post_with(anna, log, "look", Reply::None, &[("scale.png", &[0; 24])]);
    let bot = stand_in.bot();
    let client = Asker { stand_in: &stand_in, client: reqwest::Client::new() };
    for path in [
        "/gateway",
        "/gateway/bot",
        "/users/@me",
        "/users/@me/guilds",
        "/applications/@me",
        "/oauth2/applications/@me",
    ] {
        client.ask("GET", path, Value::Null).await;
    }
    client.ask("GET", &format!("/users/{anna}"), Value::Null).await;
    let spec = json!([
        { "name": "cure", "description": "Doses", "options": [
            { "type": 1, "name": "check", "description": "Checks", "options": [
                { "type": 3, "name": "method", "description": "How", "required": true } ] } ] },
        { "name": "Log this reading", "type": 3 },
    ]);
    let path = format!("/applications/{bot}/commands");
    client.ask("PUT", &path, spec).await;
    client.ask("GET", &path, Value::Null).await;
    client.ask("POST", &path, json!({ "name": "help", "description": "Helps" })).await;
    for path in [
        format!("/guilds/{cellar}"),
        format!("/guilds/{cellar}/channels"),
        format!("/guilds/{cellar}/members/{anna}"),
        format!("/channels/{log}"),
        format!("/channels/{shed}"),
    ] {
        client.ask("GET", &path, Value::Null).await;
    }
    let messages = format!("/channels/{log}/messages");
    let body = json!({ "content": "seen", "nonce": "r1", "message_reference": { "message_id": first.to_string() },
        "components": rows(1), "embeds": [{ "title": "t", "fields": [{ "name": "n", "value": "v" }] }] });
    let sent = client.ask("POST", &messages, body).await;
    let sent = sent["id"].as_str().expect("a message").to_owned();
    client.ask("PUT", &format!("{messages}/{first}/reactions/%E2%9C%85/@me"), Value::Null).await;
    client.ask("GET", &messages, Value::Null).await;
    client.ask("GET", &format!("{messages}/{first}"), Value::Null).await;
    client.ask("PATCH", &format!("{messages}/{sent}"), json!({ "content": "seen twice" })).await;
    client.ask("POST", &format!("{messages}/{first}/threads"), json!({ "name": "coppa" })).await;
    client.ask("POST", &format!("/channels/{log}/threads"), json!({ "name": "bresaola", "type": 11 })).await;
    in_a_forum(&stand_in, &client, shed).await;
    client.ask("PATCH", &format!("/channels/{first}"), json!({ "archived": true })).await;
    client.ask("GET", &format!("/guilds/{cellar}/threads/active"), Value::Null).await;
    client.ask("GET", &format!("/channels/{log}/threads/archived/public"), Value::Null).await;
    client.ask("POST", "/users/@me/channels", json!({ "recipient_id": anna.to_string() })).await;
    client.ask("POST", &format!("/channels/{log}/typing"), Value::Null).await;
    client.ask("GET", "/channels/7", Value::Null).await;
    client.ask("POST", &messages, json!({ "content": "x".repeat(2001) })).await;
    client.ask("DELETE", &format!("{messages}/{sent}"), Value::Null).await;
    answers_to_interactions(&stand_in, &client, anna, log).await;
    stand_in.records()
}

/// Posts with tags, without one where one is asked for, and another tag.
async fn in_a_forum(stand_in: &StandIn, client: &Asker<'_>, forum: Id) {
    let tags = stand_in.tag_forum(forum, &["planned", "drying"], true);
    let path = format!("/channels/{forum}");
    client.ask("GET", &path, Value::Null).await;
    let post =
        |tags: Value| json!({ "name": "lonzino", "applied_tags": tags, "message": { "content": "x" } });
    client.ask("POST", &format!("{path}/threads"), post(json!([]))).await;
    let opened = client.ask("POST", &format!("{path}/threads"), post(json!([tags[0].to_string()]))).await;
    let opened = opened["id"].as_str().expect("a post").to_owned();
    let body = json!({ "applied_tags": [tags[1].to_string()], "archived": false });
    client.ask("PATCH", &format!("/channels/{opened}"), body).await;
}

async fn answers_to_interactions(stand_in: &StandIn, client: &Asker<'_>, anna: Id, log: Id) {
    let bot = stand_in.bot();
    let handle = stand_in.slash(anna, log, "cure check", &[("method", "dry")]);
    let token = handle.token();
    let path = format!("/interactions/{}/{token}/callback", handle.id);
    client.ask("POST", &path, json!({ "type": 5, "data": { "flags": 64 } })).await;
    let original = format!("/webhooks/{bot}/{token}/messages/@original");
    client.ask("GET", &original, Value::Null).await;
    client.ask("PATCH", &original, json!({ "content": "156 ppm", "components": rows(1) })).await;
    client.ask("GET", &original, Value::Null).await;
    client.ask("POST", &format!("/webhooks/{bot}/{token}"), json!({ "content": "more" })).await;
    let answer = handle.now().and_then(|seen| seen.message).expect("an answer");
    let pressed = stand_in.click(anna, answer, "u0");
    let path = format!("/interactions/{}/{}/callback", pressed.id, pressed.token());
    client.ask("POST", &path, json!({ "type": 7, "data": { "content": "undone", "components": [] } })).await;
    client.ask("POST", &path, json!({ "type": 6 })).await;
    client.ask("DELETE", &original, Value::Null).await;
}

/// A plain HTTP client with the application's token.
struct Asker<'a> {
    stand_in: &'a StandIn,
    client: reqwest::Client,
}

impl Asker<'_> {
    async fn ask(&self, method: &str, path: &str, body: Value) -> Value {
        let url = format!("{}/api/v10{path}", self.stand_in.api_url());
        let method = method.parse().expect("a method");
        let mut request = self
            .client
            .request(method, url)
            .header("authorization", format!("Bot {}", self.stand_in.token()));
        if !body.is_null() {
            request = request.header("content-type", "application/json").body(body.to_string());
        }
        let response = request.send().await.expect("the stand-in answers");
        let text = response.text().await.expect("a text");
        if text.is_empty() { Value::Null } else { serde_json::from_str(&text).expect("JSON") }
    }
}
