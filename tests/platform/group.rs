//! What a group's steward sets for how the assistant behaves there.

use crate::assistant::{Cellar, pause};
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Form, Id, Reply, SOON, Seen, permissions};

/// What a member writes to nobody in a channel, and how many answers it gets.
async fn answers_to(cellar: &Cellar, place: Id, text: &str) -> usize {
    let posted = cellar.stand_in.post(cellar.anna, place, text, Reply::None);
    pause(400).await;
    let messages = cellar.stand_in.messages(place).into_iter();
    messages.filter(|message| message.reply_to == Some(posted)).count()
}

#[tokio::test]
async fn it_listens_where_a_steward_says_and_its_operator_lets_it() {
    for (allowed, expected) in [(true, 1), (false, 0)] {
        let cellar = if allowed { Cellar::listening().await } else { Cellar::new().await };
        let shed = cellar.stand_in.channel(cellar.group, "shed");
        cellar.batch().await;
        assert_eq!(answers_to(&cellar, shed, "13 C 80%").await, 0);
        let seen = cellar.ask("group settings", &[("listen", &format!("<#{}>", shed.0))]).await;
        assert!(seen.text().contains("also in one channel"), "{}", seen.text());
        assert_eq!(answers_to(&cellar, shed, "13 C 80%").await, expected, "allowed: {allowed}");
        assert_eq!(answers_to(&cellar, shed, "who has netting left?").await, 0, "between people");
        cellar.ask("group settings", &[("listen", "none")]).await;
        assert_eq!(answers_to(&cellar, shed, "14 C 80%").await, 0);
        assert_conforming(&cellar.stand_in.records());
    }
}

#[tokio::test]
async fn where_a_steward_says_so_answers_are_for_who_asks() {
    let cellar = Cellar::new().await;
    let asked = [("green", "1000 g"), ("loss", "35%")];
    assert!(!cellar.ask("target weight", &asked).await.ephemeral);
    cellar.ask("group settings", &[("answers", "private")]).await;
    assert!(cellar.ask("target weight", &asked).await.ephemeral);
    let elsewhere = cellar.stand_in.guild("Shed (invented)", cellar.anna);
    cellar.stand_in.member(elsewhere, cellar.ben, permissions::MEMBER);
    let yard = cellar.stand_in.channel(elsewhere, "yard");
    assert!(!cellar.ask_in(cellar.anna, yard, "target weight", &asked).await.ephemeral, "another group's");
    cellar.ask("group settings", &[("answers", "public")]).await;
    assert!(!cellar.ask("target weight", &asked).await.ephemeral);
    assert_conforming(&cellar.stand_in.records());
}

#[tokio::test]
async fn only_a_steward_sets_them() {
    let cellar = Cellar::new().await;
    let shed = cellar.stand_in.channel(cellar.group, "shed");
    let listen = format!("<#{}>", shed.0);
    for option in [("listen", listen.as_str()), ("answers", "private"), ("quiet", "0-6")] {
        let seen = cellar.ask_in(cellar.ben, cellar.log, "group settings", &[option]).await;
        assert!(seen.content.contains("Only a steward sets this"), "{}", seen.content);
    }
    let seen = cellar.stand_in.slash(cellar.ben, cellar.log, "group settings", &[]).answer(SOON).await;
    assert!(seen.text().contains("only to what is said to me"), "{}", seen.text());
}

/// A press and a form are answered as a command is.
#[tokio::test]
async fn answers_to_presses_and_forms_are_for_who_asks_too() {
    let cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    cellar.ask("group settings", &[("answers", "private")]).await;
    let card = Seen::of(&cellar.stand_in.messages(thread).remove(0));
    assert!(cellar.press(cellar.anna, &card, "Where it stands").answer(SOON).await.ephemeral);
    let opened = cellar.press(cellar.anna, &card, "Log a reading");
    opened.answer(SOON).await;
    let sent = cellar.stand_in.submit_form(&opened, &[("2", "hung 812 g")], Form::Classic).answer(SOON).await;
    assert!(sent.ephemeral && sent.text().contains("812"), "{}", sent.text());
    assert_conforming(&cellar.stand_in.records());
}

/// Everything works by text too: a message brings its writer's roles, and the group what they may do.
#[tokio::test]
async fn who_looks_after_a_group_is_known_from_their_messages_too() {
    let cellar = Cellar::new().await;
    let says = async |user: Id, text: &str| {
        let posted = cellar.stand_in.post(
            user,
            cellar.log,
            &format!("<@{}> {text}", cellar.stand_in.bot()),
            Reply::None,
        );
        Seen::of(&cellar.stand_in.reply_after(posted, SOON).await).text()
    };
    // Anna owns the group; nobody has used a command yet.
    assert!(says(cellar.anna, "group settings quiet:21-8").await.contains("between 21 and 8"));
    assert!(says(cellar.ben, "group settings quiet:0-6").await.contains("Only a steward"));
    let stella = cellar.stand_in.user("stella", "Stella");
    cellar.stand_in.member(cellar.group, stella, permissions::MEMBER | permissions::MANAGE_GUILD);
    assert!(says(stella, "group settings quiet:22-7").await.contains("between 22 and 7"));
    // What her role allows is taken back, and given to Ben's.
    cellar.stand_in.member(cellar.group, stella, permissions::MEMBER);
    cellar.stand_in.member(cellar.group, cellar.ben, permissions::MEMBER | permissions::MANAGE_GUILD);
    assert!(says(stella, "group settings quiet:0-6").await.contains("Only a steward"));
    assert!(says(cellar.ben, "group settings quiet:23-6").await.contains("between 23 and 6"));
    assert_conforming(&cellar.stand_in.records());
}
