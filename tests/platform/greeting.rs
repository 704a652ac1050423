//! What a group is told when it lets the assistant in, and what the assistant says of rights that it lacks.

use chrono::TimeDelta;
use serde_json::json;

use crate::assistant::{Cellar, pause};
use crate::rows::rows;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::message::Message;
use crate::support::stand_in::{Id, Reply, SOON, Seen, permissions};

/// What the assistant wrote anywhere, so far.
fn written(cellar: &Cellar) -> Vec<Message> {
    let bot = cellar.stand_in.bot();
    cellar.stand_in.all_messages().into_iter().filter(|message| message.author == bot).collect()
}

async fn greeted(cellar: &Cellar, place: Id) -> Message {
    let bot = cellar.stand_in.bot();
    cellar.stand_in.message_in(place, SOON, |message| message.author == bot).await
}

async fn end(mut cellar: Cellar) {
    cellar.stop().await;
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_group_that_lets_it_in_is_greeted_once_and_nobody_is_pinged() {
    let mut cellar = Cellar::new().await;
    let hall = cellar.stand_in.channel(cellar.group, "hall");
    cellar.stand_in.joins(cellar.group, |group| group.system_channel = Some(hall));
    let hello = greeted(&cellar, hall).await;
    let lines: Vec<&str> = hello.content.lines().collect();
    assert!((3..=6).contains(&lines.len()), "{}", hello.content);
    assert!(lines.iter().all(|line| line.chars().count() <= 120), "{}", hello.content);
    for said in ["dry-cure and ferment", "/help about:start", "steward", "/group settings"] {
        assert!(hello.content.contains(said), "{said}: {}", hello.content);
    }
    assert!(!hello.content.contains("may not"), "nothing is missing: {}", hello.content);
    assert!(hello.pings.is_empty() && hello.reply_to.is_none());
    // The same description comes at every connection, and after outages.
    cellar.stand_in.repeat_last(1);
    cellar.stand_in.guild_delete(cellar.group, true);
    cellar.stand_in.guild_returns(cellar.group);
    cellar.stop().await;
    cellar.start().await;
    pause(400).await;
    assert_eq!(written(&cellar).len(), 1);
    let kept = rows(&cellar.file()).await;
    assert!(kept["errands"].is_empty() && kept["members"].is_empty(), "{kept:?}");
    end(cellar).await;
}

#[tokio::test]
async fn a_group_it_was_in_all_the_time_is_not_greeted() {
    let cellar = Cellar::new().await;
    pause(300).await;
    cellar.ask("me set", &[("country", "DE")]).await;
    // A fresh word for when it joined greets nobody who is known already.
    cellar.stand_in.joins(cellar.group, |_| {});
    pause(400).await;
    assert!(written(&cellar).iter().all(|message| !message.content.starts_with("Hello")));
    end(cellar).await;
}

#[tokio::test]
async fn it_greets_where_it_may_write_in_the_groups_language_and_names_what_is_missing() {
    let cellar = Cellar::new().await;
    let hall = cellar.stand_in.channel(cellar.group, "hall");
    cellar.stand_in.deny_bot(hall, permissions::SEND_MESSAGES);
    cellar.stand_in.deny_bot(cellar.log, permissions::CREATE_PUBLIC_THREADS | permissions::ATTACH_FILES);
    cellar.stand_in.joins(cellar.group, |group| {
        group.system_channel = Some(hall);
        group.locale = "de".to_owned();
    });
    let hello = greeted(&cellar, cellar.log).await;
    assert!(hello.content.starts_with("Hallo."), "{}", hello.content);
    let last = hello.content.lines().last().unwrap();
    assert!(last.contains("Dateien anhängen, öffentliche Threads erstellen"), "{last}");
    end(cellar).await;
}

#[tokio::test]
async fn where_it_may_write_nowhere_it_says_nothing() {
    let mut cellar = Cellar::new().await;
    cellar.stand_in.deny_bot(cellar.log, permissions::VIEW_CHANNEL);
    cellar.stand_in.joins(cellar.group, |_| {});
    pause(400).await;
    assert!(written(&cellar).is_empty());
    // Nor later, when it may: the moment is over.
    cellar.stand_in.deny_bot(cellar.log, 0);
    cellar.stop().await;
    cellar.start().await;
    pause(400).await;
    assert!(written(&cellar).is_empty());
    end(cellar).await;
}

#[tokio::test]
async fn a_group_that_lets_it_in_again_is_told_that_nothing_is_lost() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    cellar.stand_in.event("GUILD_DELETE", json!({ "id": cellar.group.to_string() }));
    pause(400).await;
    cellar.wait(TimeDelta::days(12));
    cellar.stand_in.joins(cellar.group, |_| {});
    let back = cellar
        .stand_in
        .message_in(cellar.log, SOON, |message| message.content.starts_with("I am back"))
        .await;
    assert!(back.content.contains("batches, reminders, board and settings"), "{}", back.content);
    assert!(back.pings.is_empty());
    let card = cellar.ask("batch show", &[("batch", "B1")]).await;
    assert!(card.text().contains("B1 Juniper stick"), "{}", card.text());
    pause(300).await;
    let again = written(&cellar).iter().filter(|message| message.content.starts_with("I am back")).count();
    assert_eq!(again, 1);
    assert!(!cellar.said_in(thread).is_empty());
    end(cellar).await;
}

const NO_THREADS: &str =
    "Here: I may not open threads, so batch start cannot give a batch a thread of its own.";

#[tokio::test]
async fn what_it_may_not_do_here_is_named_and_nothing_where_all_is_there() {
    let cellar = Cellar::new().await;
    let start = [("about", "start")];
    for (line, options) in [("group settings", &[][..]), ("help", &start[..])] {
        let seen = cellar.ask(line, options).await;
        assert!(!seen.text().contains("may not"), "{}", seen.text());
        cellar.stand_in.deny_bot(cellar.log, permissions::CREATE_PUBLIC_THREADS);
        let seen = cellar.ask(line, options).await;
        assert_eq!(seen.text().matches(NO_THREADS).count(), 1, "{}", seen.text());
        cellar.stand_in.deny_bot(cellar.log, 0);
    }
    // What a line in the chat cannot say itself is known from the group's own description.
    let bot = cellar.stand_in.bot();
    let typed = async |text: &str| {
        let posted = cellar.stand_in.post(cellar.anna, cellar.log, &format!("<@{bot}> {text}"), Reply::None);
        Seen::of(&cellar.stand_in.reply_after(posted, SOON).await).text()
    };
    assert!(!typed("group settings").await.contains("may not"));
    cellar.stand_in.member(cellar.group, bot, permissions::BOT & !permissions::CREATE_PUBLIC_THREADS);
    pause(100).await;
    let settings = typed("group settings").await;
    assert!(settings.contains(NO_THREADS), "{settings}");
    assert!(
        !typed("batch list").await.contains("may not"),
        "said where it is looked after, and nowhere else"
    );
    // Whoever runs the group may everything.
    cellar.stand_in.member(cellar.group, bot, permissions::ADMINISTRATOR);
    pause(100).await;
    assert!(!typed("help start").await.contains("may not"));
    // Directly there is no group to look after.
    let posted = cellar.stand_in.direct(cellar.anna, "help start");
    let direct = Seen::of(&cellar.stand_in.reply_after(posted, SOON).await);
    assert!(!direct.text().contains("may not"), "{}", direct.text());
    end(cellar).await;
}

#[tokio::test]
async fn a_channel_that_is_picked_and_cannot_be_used_is_named_at_once() {
    let cellar = Cellar::new().await;
    let (hall, barn) =
        (cellar.stand_in.channel(cellar.group, "hall"), cellar.stand_in.channel(cellar.group, "barn"));
    let forum = cellar.stand_in.forum(cellar.group, "batches");
    cellar.stand_in.deny_bot(hall, permissions::VIEW_CHANNEL);
    cellar.stand_in.deny_bot(forum, permissions::SEND_MESSAGES_IN_THREADS);
    pause(100).await;
    let picked = format!("<#{hall}> <#{barn}> 4711");
    let forum = format!("<#{forum}>");
    let seen = cellar.ask("group settings", &[("listen", &picked), ("forum", &forum)]).await;
    let text = seen.text();
    assert!(text.starts_with("Kept"), "{text}");
    for said in [
        "#hall: I may not see this channel, so nothing that is written there reaches me.",
        "The channel of the number 4711: it is not in this group, or I may not see it.",
        "#batches: I may not write in threads, so a batch's thread gets no card, no answers and no reminders.",
    ] {
        assert_eq!(text.matches(said).count(), 1, "{said}: {text}");
    }
    assert!(!text.contains("#barn") && !text.contains("#hall: I may not write"), "{text}");
    end(cellar).await;
}
