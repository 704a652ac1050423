//! What a member who erases everything leaves on the platform: threads with nothing of theirs in their card and name.

use chrono::TimeDelta;
use serde_json::json;

use crate::assistant::{Cellar, pause};
use crate::rows::rows;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::message::Message;
use crate::support::stand_in::{Action, Fault, Id, Recorded, SOON, Seen, permissions};

const EMPTY: &str = "This batch was erased by its owner.";

async fn erase(cellar: &Cellar) {
    let asked = cellar.ask("me erase", &[]).await;
    let done = cellar.press(cellar.anna, &asked, "Yes").answer(SOON).await;
    assert!(done.text().contains("cards are made empty"), "{}", done.text());
}

/// The card of a thread is its first message.
fn card(cellar: &Cellar, thread: Id) -> Message {
    cellar.stand_in.messages(thread).remove(0)
}

async fn emptied(cellar: &Cellar, thread: Id) {
    cellar.stand_in.message_in(thread, SOON, |message| message.content == EMPTY).await;
}

fn name(cellar: &Cellar, thread: Id) -> (String, bool) {
    cellar.stand_in.with_channel(thread, |channel| (channel.name.clone(), channel.archived))
}

/// Waits until nothing is to be done any more, and looks that nothing tells of the batch.
async fn nothing_remains(cellar: &Cellar) {
    for _ in 0..100 {
        let all = rows(&cellar.file()).await;
        if all["errands"].is_empty() {
            let told = |row: &&String| row.contains("Juniper") || row.contains("Anna");
            let left: Vec<&String> = all.values().flatten().filter(told).collect();
            assert!(left.is_empty(), "{left:?}");
            return;
        }
        pause(50).await;
    }
    panic!("an errand is left");
}

fn touching(records: &[Recorded], thread: Id) -> usize {
    let path = format!("/channels/{thread}");
    records.iter().filter(|record| record.path.starts_with(&path) && record.method != "GET").count()
}

async fn end(mut cellar: Cellar) {
    cellar.stop().await;
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn the_card_is_made_empty_and_the_thread_gets_a_neutral_name() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let before = card(&cellar, thread);
    assert!(before.content.contains("Juniper stick") && before.components != json!([]));
    erase(&cellar).await;
    emptied(&cellar, thread).await;
    nothing_remains(&cellar).await;
    let after = card(&cellar, thread);
    assert_eq!((&*after.content, after.id), (EMPTY, before.id));
    assert_eq!((&after.embeds, &after.components), (&json!([]), &json!([])));
    assert!(after.attachments.is_empty() && after.pings.is_empty());
    assert_eq!(name(&cellar, thread), ("Erased batch".to_owned(), true));
    end(cellar).await;
}

#[tokio::test]
async fn so_is_a_post_in_a_forum_in_its_owners_language() {
    let cellar = Cellar::new().await;
    let forum = cellar.stand_in.forum(cellar.group, "batches");
    cellar.ask("group settings", &[("forum", &format!("<#{forum}>"))]).await;
    let post = cellar.batch().await;
    cellar.ask("me set", &[("language", "de")]).await;
    let asked = cellar.ask("me erase", &[]).await;
    cellar.press(cellar.anna, &asked, "Ja").answer(SOON).await;
    let german = "Diese Charge wurde von ihrem Besitzer gelöscht.";
    cellar.stand_in.message_in(post, SOON, |message| message.content == german).await;
    nothing_remains(&cellar).await;
    assert_eq!(card(&cellar, post).content, german);
    assert_eq!(name(&cellar, post), ("Gelöschte Charge".to_owned(), true));
    end(cellar).await;
}

#[tokio::test]
async fn an_archived_thread_is_woken_for_it_and_a_thread_of_others_keeps_its_name() {
    let cellar = Cellar::new().await;
    let of_ben = cellar.stand_in.thread(cellar.log, "Sunday's work", cellar.ben);
    let start = [("name", "Juniper stick"), ("kind", "dried-sausage"), ("meat", "1 kg pork")];
    cellar.ask_in(cellar.anna, of_ben, "batch start", &start).await;
    cellar.stand_in.message_in(of_ben, SOON, |message| message.content.contains("Juniper stick")).await;
    pause(300).await;
    cellar.stand_in.change_channel(of_ben, &json!({ "archived": true }));
    erase(&cellar).await;
    emptied(&cellar, of_ben).await;
    nothing_remains(&cellar).await;
    assert_eq!(name(&cellar, of_ben), ("Sunday's work".to_owned(), false));
    end(cellar).await;
}

#[tokio::test]
async fn what_is_not_allowed_or_gone_is_let_go_and_never_tried_again() {
    for spoil in [
        // Locked by a moderator, archived; not seen any more; deleted; its card deleted.
        (|cellar: &Cellar, thread| {
            cellar.stand_in.change_channel(thread, &json!({ "archived": true, "locked": true }));
        }) as fn(&Cellar, Id),
        |cellar, thread| cellar.stand_in.deny_bot(thread, permissions::VIEW_CHANNEL),
        |cellar, thread| cellar.stand_in.delete_channel(thread),
        |cellar, thread| cellar.stand_in.delete(card(cellar, thread).id),
    ] {
        let cellar = Cellar::new().await;
        let thread = cellar.batch().await;
        pause(300).await;
        spoil(&cellar, thread);
        pause(100).await;
        erase(&cellar).await;
        nothing_remains(&cellar).await;
        let tried = touching(&cellar.stand_in.records(), thread);
        cellar.wait(TimeDelta::days(1));
        pause(400).await;
        assert_eq!(touching(&cellar.stand_in.records(), thread), tried);
        end(cellar).await;
    }
}

#[tokio::test]
async fn what_the_platform_does_not_answer_is_done_later_also_after_a_restart() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    pause(300).await;
    let down = Fault {
        method: "PATCH",
        path: format!("^/channels/{thread}"),
        times: 9,
        action: Action::Status { code: 503, body: json!({}), headers: Vec::new() },
    };
    cellar.stand_in.fault(down);
    erase(&cellar).await;
    pause(500).await;
    assert!(card(&cellar, thread).content.contains("Juniper stick"));
    cellar.stop().await;
    assert_eq!(rows(&cellar.file()).await["errands"].len(), 1);
    for _ in 0..12 {
        cellar.wait(TimeDelta::minutes(30));
        cellar.start().await;
        pause(300).await;
        cellar.stop().await;
        if rows(&cellar.file()).await["errands"].is_empty() {
            break;
        }
    }
    assert_eq!(card(&cellar, thread).content, EMPTY);
    assert_eq!(name(&cellar, thread).0, "Erased batch");
    cellar.start().await;
    nothing_remains(&cellar).await;
    end(cellar).await;
}

#[tokio::test]
async fn a_helper_who_is_erased_is_no_longer_named_on_the_card() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    cellar.ask_in(cellar.ben, cellar.log, "me set", &[("country", "DE")]).await;
    let mention = format!("<@{}>", cellar.ben);
    cellar.ask("batch helper", &[("batch", "B1"), ("member", &mention)]).await;
    let accepted = cellar.ask_in(cellar.ben, thread, "batch helper", &[("accept", "yes")]).await;
    assert!(accepted.text().contains("You help with B1"), "{}", accepted.text());
    cellar.card_says(thread, "Helpers: Ben").await;
    let asked = cellar.ask_in(cellar.ben, cellar.log, "me erase", &[]).await;
    cellar.press(cellar.ben, &asked, "Yes").answer(SOON).await;
    cellar.wait(TimeDelta::minutes(1));
    for _ in 0..100 {
        let shown = Seen::of(&card(&cellar, thread)).text();
        if !shown.contains("Ben") {
            assert!(shown.contains("B1 Juniper stick"), "{shown}");
            return end(cellar).await;
        }
        pause(50).await;
    }
    panic!("{}", Seen::of(&card(&cellar, thread)).text());
}
