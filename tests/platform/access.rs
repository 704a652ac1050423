//! Who may press what, helpers on the platform, and groups that let the assistant go.

use std::collections::BTreeMap;

use chrono::TimeDelta;
use serde_json::json;
use tallyhook::record::{BatchId, ChatId, Event, MemberId};

use crate::assistant::{Cellar, pause};
use crate::rows::rows;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Form, Id, Reply, SOON, Seen, permissions};

const REFUSED: &str = "These buttons belong to whoever asked. Ask yourself, e.g. batch list.";

/// Posts something with a word to the assistant, and gives its answer.
async fn told(cellar: &Cellar, user: Id, place: Id, text: &str) -> Seen {
    let posted =
        cellar.stand_in.post(user, place, &format!("<@{}> {text}", cellar.stand_in.bot()), Reply::None);
    Seen::of(&cellar.stand_in.reply_after(posted, SOON).await)
}

/// Somebody else of the group who said one line.
async fn newcomer(cellar: &Cellar, name: &str, rights: u64) -> Id {
    let user = cellar.stand_in.user(&name.to_lowercase(), name);
    cellar.stand_in.member(cellar.group, user, rights);
    cellar.ask_in(user, cellar.log, "me set", &[("country", "DE")]).await;
    user
}

/// Ben is asked to help and says yes.
async fn let_ben_help(cellar: &Cellar, thread: Id) -> Seen {
    cellar.ask_in(cellar.ben, cellar.log, "me set", &[("country", "DE")]).await;
    let mention = format!("<@{}>", cellar.ben);
    let asked = cellar.ask("batch helper", &[("batch", "B1"), ("member", &mention)]).await;
    assert!(asked.ephemeral && asked.text().contains("Ben is asked to help"), "{}", asked.text());
    let invitation = cellar
        .stand_in
        .message_in(thread, SOON, |message| message.content.contains("asks you to help"))
        .await;
    assert_eq!(invitation.pings, std::collections::BTreeSet::from([cellar.ben]));
    Seen::of(&invitation)
}

async fn entries(mut cellar: Cellar) -> Vec<Event> {
    cellar.stop().await;
    let kept = cellar.record(async |store| store.events_of_batch(BatchId(1)).await.unwrap()).await;
    assert_conforming(&cellar.stand_in.records());
    kept
}

#[tokio::test]
async fn a_helper_is_asked_says_yes_and_logs_in_every_way() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    told(&cellar, cellar.anna, thread, "hung 812 798 g").await;
    let invitation = let_ben_help(&cellar, thread).await;
    let before = told(&cellar, cellar.ben, thread, "#1 790 g").await;
    assert!(before.text().contains("no batch"), "not before the yes: {}", before.text());
    let not_hers = cellar.press(cellar.anna, &invitation, "Help").answer(SOON).await;
    assert_eq!(not_hers.text(), REFUSED);
    let yes = cellar.press(cellar.ben, &invitation, "Help").answer(SOON).await;
    assert!(yes.ephemeral && yes.text().contains("You help with B1 Juniper stick now."), "{}", yes.text());
    cellar.press(cellar.ben, &invitation, "Help").answer(SOON).await;
    let notice = |cellar: &Cellar| {
        let said = cellar.said_in(thread).into_iter();
        said.filter(|text| text.contains("Ben helps with B1")).count()
    };
    cellar.stand_in.message_in(thread, SOON, |message| message.content.contains("Ben helps with B1")).await;

    cellar.card_says(thread, "Helpers: Ben").await;

    let echo = told(&cellar, cellar.ben, thread, "#1 780 g").await;
    assert!(echo.text().contains("Kept for B1"), "{}", echo.text());
    let slash =
        cellar.ask_in(cellar.ben, cellar.log, "log reading", &[("batch", "B1"), ("text", "#2 770 g")]).await;
    assert!(slash.text().contains("Kept for B1"), "{}", slash.text());
    let hello = Seen::of(&cellar.stand_in.messages(thread).remove(0));
    let opened = cellar.press(cellar.ben, &hello, "Log a reading");
    assert!(opened.answer(SOON).await.modal.is_some());
    let form = cellar.stand_in.submit_form(&opened, &[("1", "5.40 at 21 C")], Form::Classic);
    assert!(form.answer(SOON).await.text().contains("Kept for B1"));
    let card = cellar.press(cellar.ben, &hello, "Where it stands").answer(SOON).await;
    assert!(card.text().contains("Helpers: Ben"), "{}", card.text());
    let undo = cellar.press(cellar.ben, &echo, "Undo").answer(SOON).await;
    assert!(undo.text().starts_with("Undone"), "{}", undo.text());
    let finish = cellar.ask_in(cellar.ben, cellar.log, "batch finish", &[("batch", "B1")]).await;
    assert!(finish.ephemeral && finish.text().contains("belongs to another member"), "{}", finish.text());
    pause(300).await;
    assert_eq!(notice(&cellar), 1, "the owner is told once");

    let kept = entries(cellar).await;
    let by = |author: i64| {
        let mut of: Vec<&Event> =
            kept.iter().filter(|event| event.author == Some(MemberId(author))).collect();
        of.sort_by_key(|event| event.id);
        of.iter().map(|event| event.what.word()).collect::<Vec<_>>()
    };
    assert_eq!(by(1), ["batch_started", "pieces_hung", "stage"]);
    assert_eq!(by(2), ["weight", "weight", "ph", "undone"]);
}

/// Whatever the owner was answered, with every sort of button there is: of the thread, of an entry, of a question, of a
/// refused line, of a stage, of further pages and of how it was worked out.
async fn answers(cellar: &Cellar, thread: Id) -> Vec<Seen> {
    let hello = Seen::of(&cellar.stand_in.messages(thread).remove(0));
    let mut all = vec![hello];
    for text in ["hung 812 798 g", "#1 790 g", "ph 5.3 at 21 C", "#1 79 g", "#1 7 stone"] {
        all.push(told(cellar, cellar.anna, thread, text).await);
    }
    all.push(told(cellar, cellar.anna, thread, "batch show B1").await);
    all.push(told(cellar, cellar.anna, thread, "cure mix meat:1 kg nitrite:6.25%").await);
    all.push(told(cellar, cellar.anna, thread, "check rules country:US").await);
    all.push(told(cellar, cellar.anna, thread, "me erase").await);
    all
}

#[tokio::test]
async fn every_button_of_the_owner_is_refused_to_everybody_else() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let invitation = let_ben_help(&cellar, thread).await;
    cellar.press(cellar.ben, &invitation, "Help").answer(SOON).await;
    let member = newcomer(&cellar, "Cleo", permissions::MEMBER).await;
    let steward = newcomer(&cellar, "Stella", permissions::MEMBER | permissions::MANAGE_GUILD).await;
    let moderator = newcomer(&cellar, "Mo", permissions::MEMBER | permissions::MANAGE_MESSAGES).await;
    let stranger = cellar.stand_in.user("otto", "Otto");
    cellar.stand_in.member(cellar.group, stranger, permissions::MEMBER);
    let shown = answers(&cellar, thread).await;
    pause(500).await;
    // The status card may have been edited since.
    let now = |seen: &Seen| seen.message.and_then(|id| cellar.stand_in.message(id)).map(|now| Seen::of(&now));
    let shown: Vec<Seen> = shown.into_iter().map(|seen| now(&seen).unwrap_or(seen)).collect();
    let before = rows(&cellar.file()).await;
    let mut labels: BTreeMap<String, usize> = BTreeMap::new();
    for seen in &shown {
        for button in &seen.buttons {
            *labels.entry(button.label.clone()).or_default() += 1;
            for user in [cellar.ben, member, steward, moderator, stranger] {
                let is_helpers =
                    user == cellar.ben && ["Log a reading", "Where it stands"].contains(&&*button.label);
                if is_helpers {
                    continue;
                }
                let pressed = cellar.stand_in.click(user, seen.message.unwrap(), &button.custom_id);
                let answer = pressed.answer(SOON).await;
                assert!(answer.ephemeral && answer.modal.is_none(), "{}: {answer:?}", button.label);
                assert_eq!(answer.text(), REFUSED, "{} by {}", button.label, cellar.stand_in.name(user));
            }
        }
    }
    for label in [
        "Log a reading",
        "Where it stands",
        "Undo",
        "Change",
        "Save as it is",
        "Write it again",
        "How worked out",
        "More",
    ] {
        assert!(labels.contains_key(label), "no button {label} among {labels:?}");
    }
    assert_eq!(rows(&cellar.file()).await, before);
    cellar.stop().await;
    assert_conforming(&cellar.stand_in.records());
}

/// The group as the record holds it, and which of its places can be posted to.
async fn group(cellar: &Cellar) -> (Vec<String>, Vec<String>) {
    let mut all = rows(&cellar.file()).await;
    (all.remove("groups").unwrap_or_default(), all.remove("places").unwrap_or_default())
}

async fn changes(cellar: &Cellar, before: &(Vec<String>, Vec<String>)) -> (Vec<String>, Vec<String>) {
    for _ in 0..100 {
        let now = group(cellar).await;
        if now != *before {
            pause(300).await;
            return group(cellar).await;
        }
        pause(50).await;
    }
    panic!("nothing changed: {before:?}");
}

#[tokio::test]
async fn an_outage_deletes_nothing_and_a_return_restores_everything() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    told(&cellar, cellar.anna, thread, "hung 812 798 g").await;
    cellar.ask("batch note", &[("batch", "B1"), ("text", "cold smoked")]).await;
    pause(300).await;
    let before = rows(&cellar.file()).await;
    let there = group(&cellar).await;
    cellar.stand_in.guild_delete(cellar.group, true);
    pause(300).await;
    assert_eq!(rows(&cellar.file()).await, before, "an outage says so");
    cellar.stand_in.guild_returns(cellar.group);

    // Removed, by the platform's word for it: the event without "unavailable".
    cellar.stand_in.event("GUILD_DELETE", json!({ "id": cellar.group.to_string() }));
    let left = changes(&cellar, &there).await;
    assert_ne!(left.0, there.0, "since when it is gone is noted");
    cellar.wait(TimeDelta::days(29));
    cellar.stop().await;
    cellar.start().await;
    // Among the groups of a fresh connection it is there again.
    let back = changes(&cellar, &left).await;
    assert_eq!(back, there);
    cellar.wait(TimeDelta::days(40));
    cellar.stop().await;
    cellar.start().await;
    let seen = cellar.ask("batch show", &[("batch", "B1")]).await;
    assert!(seen.text().contains("B1 Juniper stick"), "{}", seen.text());
    cellar.stop().await;
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_removal_that_nobody_heard_of_is_noticed_and_the_group_is_let_go() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    told(&cellar, cellar.anna, thread, "hung 812 798 g").await;
    // Ben also writes directly, and keeps what is his.
    let line = cellar.stand_in.direct_line(cellar.ben);
    let posted = cellar.stand_in.direct(cellar.ben, "remind set text:turn when:in 90 days");
    cellar.stand_in.reply_after(posted, SOON).await;
    cellar.ask_in(cellar.ben, cellar.log, "remind set", &[("text", "soak"), ("when", "in 91 days")]).await;
    pause(300).await;
    cellar.stop().await;
    cellar.stand_in.guild_delete(cellar.group, false);
    cellar.start().await;
    pause(300).await;
    let (groups, _) = group(&cellar).await;
    assert!(groups.iter().any(|row| row.contains("Cellar")), "it can come back: {groups:?}");
    for _ in 0..2 {
        cellar.wait(TimeDelta::days(16));
        cellar.stop().await;
        cellar.start().await;
        pause(300).await;
    }
    let (groups, places) = group(&cellar).await;
    assert!(!groups.iter().any(|row| row.contains("Cellar")), "{groups:?}");
    assert!(places.iter().all(|row| row.contains("'direct'")), "{places:?}");
    let list = cellar.stand_in.direct(cellar.ben, "remind list");
    let list = Seen::of(&cellar.stand_in.reply_after(list, SOON).await);
    assert!(list.text().contains("turn"), "{}", list.text());
    assert!(!cellar.said_in(line).is_empty());
    cellar.stop().await;
    let anna = ChatId(i64::try_from(cellar.anna.0).unwrap());
    let known = cellar.record(async move |store| store.member_by_chat(anna)).await;
    assert_eq!(known, None, "who was only there is gone with it");
    assert_conforming(&cellar.stand_in.records());
}

/// Only a command or a press brings the right with it; a message does not say what its writer may.
#[tokio::test]
async fn a_moderator_may_take_a_record_off_the_board_and_nothing_else() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let finish = told(&cellar, cellar.anna, thread, "batch finish").await;
    cellar.press(cellar.anna, &finish, "Yes").answer(SOON).await;
    let share = told(&cellar, cellar.anna, thread, "group board share:B1").await;
    cellar.press(cellar.anna, &share, "Share").answer(SOON).await;
    let (member, moderator) = (
        newcomer(&cellar, "Cleo", permissions::MEMBER).await,
        newcomer(&cellar, "Mo", permissions::MEMBER | permissions::MANAGE_MESSAGES).await,
    );
    let withdraw =
        async |user| cellar.ask_in(user, cellar.log, "group board", &[("withdraw", "B1")]).await.text();
    let refused = withdraw(member).await;
    assert!(refused.contains("only they, a steward or a moderator"), "{refused}");
    let settings = cellar.ask_in(moderator, cellar.log, "group settings", &[("country", "DE")]).await;
    assert!(settings.ephemeral && settings.text().contains("teward"), "{}", settings.text());
    let card = cellar.ask_in(moderator, cellar.log, "batch show", &[("batch", "B1")]).await;
    assert!(card.text().contains("belongs to another member"), "{}", card.text());
    let done = withdraw(moderator).await;
    assert!(done.contains("B1 Juniper stick"), "{done}");
    let board = cellar.ask_in(member, cellar.log, "group board", &[]).await;
    assert!(board.text().contains("The board is empty."), "{}", board.text());
    cellar.stop().await;
    assert_conforming(&cellar.stand_in.records());
}
