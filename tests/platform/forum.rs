//! A group whose batches have their posts in a forum: opened with the card as the first message, tagged with the stage.
//! All invented.

use chrono::TimeDelta;
use serde_json::{Value, json};

use crate::assistant::{Cellar, pause};
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Id, Recorded, Reply, SOON, Seen, permissions};

const STAGES: [&str; 4] = ["Planned", "CASED", "fermenting", "pork"];

/// A group whose steward has picked a forum.
async fn with_forum(tags: &[&str], required: bool) -> (Cellar, Id, Vec<Id>) {
    let cellar = Cellar::new().await;
    let forum = cellar.stand_in.forum(cellar.group, "batches");
    let ids = cellar.stand_in.tag_forum(forum, tags, required);
    let seen = cellar.ask("group settings", &[("forum", &format!("<#{forum}>"))]).await;
    assert!(seen.text().contains("Each batch gets its post"), "{}", seen.text());
    (cellar, forum, ids)
}

fn opened(cellar: &Cellar) -> Vec<Recorded> {
    let records = cellar.stand_in.records().into_iter();
    records.filter(|record| record.is("POST", "/channels/", "/threads")).collect()
}

async fn start(cellar: &Cellar) -> Seen {
    let options = [("name", "Coppa"), ("kind", "whole-muscle"), ("meat", "1.2 kg pork")];
    cellar.ask("batch start", &options).await
}

async fn until_tagged(cellar: &Cellar, post: Id, tags: &[&str]) {
    for _ in 0..30 {
        if cellar.stand_in.tags(post) == tags {
            return;
        }
        pause(100).await;
        cellar.wait(TimeDelta::seconds(2));
    }
    panic!("tagged {:?}, not {tags:?}", cellar.stand_in.tags(post));
}

fn changes_of(cellar: &Cellar, post: Id) -> Vec<Value> {
    let path = format!("/channels/{post}");
    let records = cellar.stand_in.records().into_iter();
    records.filter(|it| it.method == "PATCH" && it.path == path).map(|it| it.body).collect()
}

#[tokio::test]
async fn a_post_opens_with_the_card_and_its_tag_goes_with_the_stage() {
    let (mut cellar, forum, ids) = with_forum(&STAGES, false).await;
    let post = cellar.batch().await;
    assert_eq!(cellar.stand_in.tags(post), ["Planned"]);
    let card = cellar.card(post);
    assert_eq!(card.id, post, "the first message has the number of the post");
    assert!(card.content.contains("B1 Juniper stick: planned"), "{}", card.content);
    // The form of the card works, a reply to it is heard.
    let reply = Reply::To { message: card.id, ping: true };
    let hung = cellar.stand_in.post(cellar.anna, post, "hung 812 798 g", reply);
    cellar.stand_in.reply_after(hung, SOON).await;
    cellar.card_says(post, "cased").await;
    until_tagged(&cellar, post, &["CASED"]).await;
    // Somebody else's tag stays.
    cellar.stand_in.apply_tags(post, &[ids[1], ids[3]]);
    let seen = Seen::of(&cellar.card(post));
    cellar.press(cellar.anna, &seen, "Start fermenting").answer(SOON).await;
    until_tagged(&cellar, post, &["pork", "fermenting"]).await;
    let changes = changes_of(&cellar, post).len();
    assert_eq!(changes, 2);
    cellar.log_in(post, "pH 5.40 at 21 C").await;
    cellar.card_says(post, "pH 5.4").await;
    cellar.settle(TimeDelta::minutes(5)).await;
    assert_eq!(changes_of(&cellar, post).len(), changes, "a tag changes with the stage alone");
    assert_eq!(opened(&cellar).len(), 1);
    assert!(opened(&cellar)[0].path.contains(&forum.to_string()));
    let live = cellar.live_card().await;
    assert_eq!(live.tagged.as_deref(), Some("fermenting"));
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_post_whose_opening_was_lost_is_found_again() {
    for killed in [false, true] {
        let (mut cellar, _, _) = with_forum(&STAGES, false).await;
        let post = cellar.opening_lost(killed).await;
        assert_eq!(opened(&cellar).len(), 1);
        let named = cellar.stand_in.channels(cellar.group);
        assert_eq!(named.iter().filter(|(name, _)| name == "B1 Coppa").count(), 1);
        cellar.ask_in(cellar.anna, post, "batch stage", &[("to", "curing")]).await;
        let seen = cellar.card_says(post, "curing").await;
        let form = cellar.press(cellar.anna, &seen, "Log a reading").answer(SOON).await;
        assert!(form.modal.is_some());
        assert_eq!(cellar.live_card().await.posts, 1);
        assert_conforming(&cellar.stand_in.records());
    }
}

#[tokio::test]
async fn a_command_in_a_post_makes_it_the_batchs() {
    let (mut cellar, forum, ids) = with_forum(&STAGES, false).await;
    let post = cellar.stand_in.thread(forum, "My coppa", cellar.anna);
    cellar.stand_in.apply_tags(post, &[ids[3]]);
    let options = [("name", "Coppa"), ("kind", "whole-muscle"), ("meat", "1.2 kg pork")];
    cellar.ask_in(cellar.anna, post, "batch start", &options).await;
    let bot = cellar.stand_in.bot();
    cellar
        .stand_in
        .message_in(post, SOON, |it| it.author == bot && it.content.contains("Post its readings"))
        .await;
    assert!(opened(&cellar).is_empty());
    // Somebody else's post: tagging it takes the right to manage threads, and the owner is told so once.
    let line = cellar.stand_in.direct_line(cellar.anna);
    let told = cellar.stand_in.message_in(line, SOON, |it| it.content.contains("may not tag")).await;
    assert!(told.content.contains("manage threads"), "{}", told.content);
    cellar.ask_in(cellar.anna, post, "batch stage", &[("to", "curing")]).await;
    cellar.settle(TimeDelta::hours(1)).await;
    assert_eq!(cellar.stand_in.tags(post), ["pork"]);
    assert_eq!(cellar.said_in(line).len(), 1);
    // With that right it is tagged at the next stage.
    cellar.stand_in.member(cellar.group, bot, permissions::BOT | permissions::MANAGE_THREADS);
    cellar.log_in(post, "hung 1180 g").await;
    until_tagged(&cellar, post, &["pork", "CASED"]).await;
    let live = cellar.live_card().await;
    assert_eq!(live.failures, 0);
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_tag_that_is_asked_for_is_given_or_the_thread_is_an_ordinary_one() {
    let (cellar, _, _) = with_forum(&["planned", "pork"], true).await;
    let post = cellar.batch().await;
    assert_eq!(cellar.stand_in.tags(post), ["planned"]);
    cellar.log_in(post, "hung 812 798 g").await;
    cellar.card_says(post, "cased").await;
    cellar.settle(TimeDelta::minutes(5)).await;
    assert_eq!(cellar.stand_in.tags(post), ["planned"], "none is named like the stage, and one is asked for");
    assert_conforming(&cellar.stand_in.records());
}

/// A forum that takes no post: the batch gets an ordinary thread where it was started, and its owner one sentence.
async fn falls_back(lose: impl FnOnce(&Cellar, Id), tags: &[&str], required: bool, why: &str) {
    let (cellar, forum, _) = with_forum(tags, required).await;
    lose(&cellar, forum);
    start(&cellar).await;
    let thread = cellar.thread("B1 Coppa").await;
    let line = cellar.stand_in.direct_line(cellar.anna);
    let told = cellar.stand_in.message_in(line, SOON, |it| it.content.contains("has no post")).await;
    assert!(told.content.contains(why) && told.content.contains("ordinary thread"), "{}", told.content);
    assert!(cellar.card(thread).content.contains("B1 Coppa: planned"));
    let path = format!("/channels/{}/threads", cellar.log);
    assert_eq!(opened(&cellar).iter().filter(|it| it.path == path && it.status == 201).count(), 1);
    let options = [("name", "Lonza"), ("kind", "whole-muscle"), ("meat", "1.2 kg pork")];
    cellar.ask("batch start", &options).await;
    cellar.thread("B2 Lonza").await;
    assert_eq!(cellar.said_in(line).len(), 1, "told once");
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_forum_that_cannot_be_used_is_named_and_a_thread_serves() {
    falls_back(|cellar, forum| cellar.stand_in.delete_channel(forum), &STAGES, false, "it is gone").await;
    let denied = permissions::SEND_MESSAGES;
    falls_back(|cellar, forum| cellar.stand_in.deny_bot(forum, denied), &STAGES, false, "may not write")
        .await;
    falls_back(|_, _| {}, &["pork"], true, "asks for a tag").await;
}

#[tokio::test]
async fn a_channel_that_is_no_forum_is_named() {
    let cellar = Cellar::new().await;
    let other = cellar.stand_in.channel(cellar.group, "chatter");
    cellar.ask("group settings", &[("forum", &other.to_string())]).await;
    start(&cellar).await;
    cellar.thread("B1 Coppa").await;
    let line = cellar.stand_in.direct_line(cellar.anna);
    cellar.stand_in.message_in(line, SOON, |it| it.content.contains("it is no forum")).await;
    assert!(opened(&cellar).iter().all(|it| it.path.contains(&cellar.log.to_string())));
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn an_archived_post_is_woken_by_its_stage_and_a_deleted_one_is_named() {
    let (cellar, _, _) = with_forum(&STAGES, false).await;
    let post = cellar.batch().await;
    pause(300).await;
    cellar.stand_in.change_channel(post, &json!({ "archived": true }));
    cellar.log_in(cellar.log, "B1 hung 812 798 g").await;
    cellar.card_says(post, "cased").await;
    until_tagged(&cellar, post, &["CASED"]).await;
    cellar.stand_in.delete_channel(post);
    cellar.wait(TimeDelta::minutes(1));
    cellar.log_in(cellar.log, "B1 #1 790 g").await;
    let line = cellar.stand_in.direct_line(cellar.anna);
    cellar.stand_in.message_in(line, SOON, |it| it.content.contains("no longer post")).await;
    let seen = cellar.ask("batch show", &[("batch", "B1")]).await;
    assert!(seen.text().contains("790 g"), "{}", seen.text());
    assert_conforming(&cellar.stand_in.records());
}
