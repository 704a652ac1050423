//! The deadlines of interactions, by the stand-in's clock, and what may be answered how often.

use chrono::TimeDelta;
use serde_json::{Value, json};
use serenity::all::HttpError;

use crate::client;
use crate::support::stand_in::{Form, Handle, Id, Options, SOON, StandIn};

struct Place {
    stand_in: StandIn,
    http: client::Guarded,
    anna: Id,
    log: Id,
}

async fn place() -> Place {
    let now = "2026-01-05T09:00:00Z".parse().unwrap();
    let stand_in = StandIn::start(Options { now: Some(now), ..Options::default() }).await;
    let anna = stand_in.user("anna", "Anna");
    let cellar = stand_in.guild("Cellar (invented)", anna);
    let log = stand_in.channel(cellar, "log");
    let http = client::http(&stand_in, stand_in.token());
    http.create_global_commands(&json!([{ "name": "hello", "description": "Says hello" }])).await.unwrap();
    Place { stand_in, http, anna, log }
}

impl Place {
    fn hello(&self) -> Handle {
        self.stand_in.slash(self.anna, self.log, "hello", &[])
    }

    async fn callback(&self, handle: &Handle, body: Value) -> (u16, isize) {
        done(self.http.create_interaction_response(handle.id.0.into(), &handle.token(), &body, vec![]).await)
    }

    async fn edit(&self, handle: &Handle, text: &str) -> (u16, isize) {
        let body = json!({ "content": text });
        done(self.http.edit_original_interaction_response(&handle.token(), &body, vec![]).await)
    }
}

fn done<T: std::fmt::Debug>(result: serenity::Result<T>) -> (u16, isize) {
    match result {
        Ok(_) => (200, 0),
        Err(serenity::Error::Http(HttpError::UnsuccessfulRequest(response))) => {
            (response.status_code.as_u16(), response.error.code)
        }
        other => panic!("{other:?}"),
    }
}

fn say(text: &str) -> Value {
    json!({ "type": 4, "data": { "content": text } })
}

#[tokio::test]
async fn the_first_answer_has_three_seconds_and_comes_once() {
    let place = place().await;
    let late = place.hello();
    place.stand_in.advance(TimeDelta::milliseconds(3001));
    assert_eq!(place.callback(&late, say("late")).await, (404, 10062));
    assert!(!late.acknowledged());
    let timely = place.hello();
    place.stand_in.advance(TimeDelta::milliseconds(3000));
    assert_eq!(place.callback(&timely, say("timely")).await, (200, 0));
    assert_eq!(place.callback(&timely, say("twice")).await, (400, 40060));
    assert_eq!(timely.answer(SOON).await.content, "timely");
}

#[tokio::test]
async fn the_token_lives_fifteen_minutes() {
    let place = place().await;
    let handle = place.hello();
    assert_eq!(place.edit(&handle, "too early").await, (404, 10015));
    assert_eq!(place.callback(&handle, json!({ "type": 5, "data": { "flags": 64 } })).await, (200, 0));
    let thinking = handle.now().unwrap();
    assert!(thinking.thinking && thinking.ephemeral && thinking.content.is_empty());
    place.stand_in.advance(TimeDelta::minutes(15));
    assert_eq!(place.edit(&handle, "in time").await, (200, 0));
    place.stand_in.advance(TimeDelta::milliseconds(1));
    assert_eq!(place.edit(&handle, "too late").await, (401, 50027));
    let seen = handle.answer(SOON).await;
    assert_eq!((seen.content.as_str(), seen.deferred, seen.ephemeral), ("in time", true, true));
}

#[tokio::test]
async fn a_follow_up_to_a_deferred_answer_becomes_it_and_later_ones_follow() {
    let place = place().await;
    let handle = place.hello();
    place.callback(&handle, json!({ "type": 5 })).await;
    for text in ["first", "second"] {
        let body = json!({ "content": text });
        place.http.create_followup_message(&handle.token(), &body, vec![]).await.unwrap();
    }
    let seen = handle.answer(SOON).await;
    assert_eq!((seen.content.as_str(), seen.follow_ups.len()), ("first", 1));
    assert_eq!(seen.follow_ups[0].content, "second");
    place.http.delete_original_interaction_response(&handle.token()).await.unwrap();
    assert_eq!(handle.now().unwrap().message, None);
    assert_eq!(place.edit(&handle, "gone").await, (404, 10008));
}

#[tokio::test]
async fn answers_that_do_not_fit_the_interaction_are_refused() {
    let place = place().await;
    let form = json!({ "type": 9, "data": { "custom_id": "f", "title": "Log", "components": [
        { "type": 1, "components": [{ "type": 4, "custom_id": "w", "label": "Weight", "style": 1 }] }] } });
    let handle = place.hello();
    assert_eq!(place.callback(&handle, json!({ "type": 7, "data": { "content": "x" } })).await, (400, 50035));
    assert_eq!(place.callback(&handle, json!({ "type": 8, "data": { "choices": [] } })).await, (400, 50035));
    let mut long = form.clone();
    long["data"]["title"] = json!("t".repeat(46));
    assert_eq!(place.callback(&handle, long).await, (400, 50035));
    assert_eq!(place.callback(&handle, form.clone()).await, (200, 0));
    let sent = place.stand_in.submit_form(&handle, &[("w", "812 g")], Form::Classic);
    assert_eq!(place.callback(&sent, form).await, (400, 50035), "a form is no answer to a form");
    assert_eq!(place.callback(&sent, say("kept")).await, (200, 0));
}

#[tokio::test]
async fn a_command_in_a_locked_archived_thread_cannot_be_answered() {
    let place = place().await;
    let thread = place.stand_in.thread(place.log, "coppa", place.anna);
    place.stand_in.change_channel(thread, &json!({ "locked": true, "archived": true }));
    let handle = place.stand_in.slash(place.anna, thread, "hello", &[]);
    assert_eq!(place.callback(&handle, say("x")).await, (400, 50083));
}
