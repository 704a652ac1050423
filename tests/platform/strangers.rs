//! Whoever is refused, told to wait, or not listened to is no member: nothing at all is kept of them.

use chrono::TimeDelta;

use crate::assistant::{Cellar, pause};
use crate::rows::rows;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Id, Reply, SOON, Seen, permissions};

/// Somebody of the group who never spoke to the assistant.
fn stranger(cellar: &Cellar) -> Id {
    let user = cellar.stand_in.user("otto", "Otto Ferrule");
    cellar.stand_in.member(cellar.group, user, permissions::MEMBER);
    user
}

async fn told(cellar: &Cellar, user: Id, text: &str) -> String {
    let text = format!("<@{}> {text}", cellar.stand_in.bot());
    let posted = cellar.stand_in.post(user, cellar.log, &text, Reply::None);
    Seen::of(&cellar.stand_in.reply_after(posted, SOON).await).text()
}

/// The tables in which anything stands but the numbers that were given out.
async fn kept(cellar: &Cellar) -> Vec<String> {
    let all = rows(&cellar.file()).await;
    all.into_iter()
        .filter(|(table, rows)| table != "numbers" && !rows.is_empty())
        .map(|(table, _)| table)
        .collect()
}

async fn end(mut cellar: Cellar) {
    cellar.stop().await;
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn a_line_that_is_refused_makes_nobody_a_member() {
    let cellar = Cellar::new().await;
    let otto = stranger(&cellar);
    let slash = cellar.ask_in(otto, cellar.log, "batch show", &[("batch", "B9")]).await;
    assert!(slash.ephemeral && slash.text().contains("B9"), "{}", slash.text());
    let settings = cellar.ask_in(otto, cellar.log, "group settings", &[("country", "DE")]).await;
    assert!(settings.text().contains("steward"), "{}", settings.text());
    for (text, refused) in [
        ("bach list", "bach list"),
        ("812 g", "no open batch"),
        ("cure check salt:pepper", "method:"),
        ("log undo id:4711", "4711"),
    ] {
        let said = told(&cellar, otto, text).await;
        assert!(said.contains(refused), "{text}: {said}");
    }
    let direct = cellar.stand_in.direct(otto, "ph 79");
    let said = Seen::of(&cellar.stand_in.reply_after(direct, SOON).await);
    assert!(!said.text().is_empty());
    // What is said to everybody in need is said, and keeps nothing either.
    assert!(told(&cellar, otto, "I ate it and see double").await.contains("DANGER"));
    assert_eq!(kept(&cellar).await, Vec::<String>::new());

    // The first line that is answered as theirs makes them one, and says how to go on.
    let first = told(&cellar, otto, "batch list").await;
    assert!(first.contains("me set"), "{first}");
    pause(200).await;
    let all = rows(&cellar.file()).await;
    assert_eq!((all["members"].len(), all["memberships"].len(), all["groups"].len()), (1, 1, 1));
    assert_eq!(all["chambers"].len(), 1);
    let second = told(&cellar, otto, "bach list").await;
    assert!(second.contains("bach list"), "{second}");
    assert_eq!(rows(&cellar.file()).await["members"].len(), 1, "who is a member stays one");
    end(cellar).await;
}

#[tokio::test]
async fn who_is_told_to_wait_or_not_listened_to_is_no_member() {
    let cellar = Cellar::listening().await;
    let otto = stranger(&cellar);
    let hall = cellar.stand_in.channel(cellar.group, "hall");
    for text in ["812 g", "batch list", "hello", "ph 5.3"] {
        cellar.stand_in.post(otto, hall, text, Reply::None);
    }
    // Where it listens, talk between people is none of its business.
    cellar.stand_in.post(otto, cellar.log, "shall we meet at 8?", Reply::None);
    pause(300).await;
    let mut waited = false;
    for _ in 0..60 {
        let seen = cellar.ask_in(otto, cellar.log, "batch show", &[("batch", "B9")]).await;
        waited = seen.text().contains("a lot at once");
        if waited {
            break;
        }
    }
    assert!(waited, "too many lines at once are refused");
    assert_eq!(kept(&cellar).await, Vec::<String>::new());
    end(cellar).await;
}

#[tokio::test]
async fn of_two_first_lines_at_once_the_one_that_counts_makes_the_member() {
    let cellar = Cellar::new().await;
    let otto = stranger(&cellar);
    let hall = cellar.stand_in.channel(cellar.group, "hall");
    for _ in 0..5 {
        let bot = cellar.stand_in.bot();
        cellar.stand_in.post(otto, cellar.log, &format!("<@{bot}> batch show B9"), Reply::None);
        let line = format!("<@{bot}> batch start name:Ham kind:whole-muscle meat:1 kg pork");
        let posted = cellar.stand_in.post(otto, hall, &line, Reply::None);
        cellar.stand_in.post(otto, cellar.log, &format!("<@{bot}> batch show B8"), Reply::None);
        cellar.stand_in.reply_after(posted, SOON).await;
        pause(200).await;
        let all = rows(&cellar.file()).await;
        assert_eq!((all["members"].len(), all["batches"].len()), (1, 1), "{all:?}");
        let asked = cellar.ask_in(otto, cellar.log, "me erase", &[]).await;
        cellar.press(otto, &asked, "Yes").answer(SOON).await;
        cellar.wait(TimeDelta::minutes(2));
    }
    end(cellar).await;
}

/// A stranger's line is not kept, so after an absence the channel itself shows that it was answered; and what others
/// wrote meanwhile is caught up with all the same.
#[tokio::test]
async fn a_refused_line_is_answered_once_also_after_an_absence() {
    let mut cellar = Cellar::new().await;
    let otto = stranger(&cellar);
    told(&cellar, cellar.anna, "batch list").await;
    told(&cellar, otto, "bach list").await;
    let bot = cellar.stand_in.bot();
    cellar.stop().await;
    cellar.stand_in.post(cellar.anna, cellar.log, &format!("<@{bot}> chamber list"), Reply::None);
    cellar.stand_in.post(otto, cellar.log, &format!("<@{bot}> batch show B7"), Reply::None);
    for _ in 0..2 {
        cellar.wait(TimeDelta::minutes(20));
        cellar.start().await;
        pause(600).await;
        cellar.stop().await;
    }
    cellar.start().await;
    let answers = cellar.said_in(cellar.log);
    let count = |text: &str| answers.iter().filter(|said| said.contains(text)).count();
    assert_eq!((count("B7"), count("bach")), (1, 1), "{answers:#?}");
    assert_eq!(answers.len(), 4, "{answers:#?}");
    assert_eq!(rows(&cellar.file()).await["members"].len(), 1);
    end(cellar).await;
}
