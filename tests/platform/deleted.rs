//! Messages that were kept and are deleted: the writer is asked once, and nothing is taken back unasked.

use tallyhook::record::Happening;

use crate::edits::Hanging;
use crate::support::stand_in::message::Message;
use crate::support::stand_in::{Id, Reply, SOON, Seen};

const ASKED: &str = "keep";

impl Hanging {
    /// The question that comes after the messages so far.
    async fn asked(&self, after: Id) -> Message {
        let bot = self.cellar.stand_in.bot();
        let is_it = |message: &Message| {
            message.author == bot && message.id > after && message.content.contains(ASKED)
        };
        self.cellar.stand_in.message_in(self.thread, SOON, is_it).await
    }

    fn last(&self) -> Id {
        self.cellar.stand_in.messages(self.thread).last().unwrap().id
    }

    async fn undone(self) -> usize {
        self.entries().await.iter().filter(|event| matches!(event.what, Happening::Undone { .. })).count()
    }
}

#[tokio::test]
async fn a_deleted_reading_is_taken_back_only_when_its_writer_says_so() {
    let story = Hanging::new().await;
    let (anna, ben) = (story.cellar.anna, story.cellar.ben);
    let posted = story.keep("#1 780 g, #2 770 g").await;
    let before = story.last();
    story.cellar.stand_in.delete(posted);
    let asked = story.asked(before).await;
    let words =
        format!("<@{anna}> The deleted message held entries 4-5 of B1: keep them, or take them back?");
    assert_eq!(asked.content, words);
    assert_eq!(asked.pings.iter().copied().collect::<Vec<_>>(), [anna], "and nobody else");
    let seen = Seen::of(&asked);
    let labels: Vec<&str> = seen.buttons.iter().map(|button| button.label.as_str()).collect();
    assert_eq!(labels, ["Keep", "Take back"]);
    let not_his = story.cellar.press(ben, &seen, "Take back").answer(SOON).await;
    assert!(not_his.ephemeral && not_his.content.contains("belong"), "{not_his:?}");
    let kept = story.cellar.press(anna, &seen, "Keep").answer(SOON).await;
    assert_eq!(kept.content, "Kept as before: entries 4-5 of B1.");
    let back = story.cellar.press(anna, &seen, "Take back").answer(SOON).await;
    assert!(
        back.content.starts_with("Undone, and kept in the history: 4 (B1 #1: 780 g); 5"),
        "{}",
        back.content
    );
    let kept = story.cellar.press(anna, &seen, "Keep").answer(SOON).await;
    assert!(kept.content.contains("do not count any more"), "{}", kept.content);
    assert_eq!(story.undone().await, 2);
}

#[tokio::test]
async fn nothing_is_asked_of_what_held_nothing_and_nothing_twice() {
    let story = Hanging::new().await;
    let chat =
        story.cellar.stand_in.post(story.cellar.anna, story.thread, "a fine smell in there", Reply::None);
    // The thread is told once a day how to be heard.
    story.answer(chat, 1).await;
    let listed = story.keep("batch list").await;
    let undone = story.keep("#1 790 g").await;
    story.keep("log undo id:4").await;
    story
        .says_nothing_to(|story| {
            for message in [chat, listed, undone] {
                story.cellar.stand_in.delete(message);
            }
        })
        .await;
    let posted = story.keep("#1 780 g").await;
    let before = story.last();
    story.cellar.stand_in.delete(posted);
    let asked = story.asked(before).await;
    assert!(
        asked.content.ends_with("The deleted message held entry 6 of B1: keep it, or take it back?"),
        "{}",
        asked.content
    );
    story.cellar.stand_in.repeat_on_resume(3);
    story.says_nothing_to(|story| story.cellar.stand_in.reconnect()).await;
    assert_eq!(story.undone().await, 1, "the one that Anna wrote herself");
}

#[tokio::test]
async fn of_messages_deleted_at_once_is_asked_once() {
    let story = Hanging::new().await;
    let first = story.keep("#1 780 g").await;
    let second = story.keep("#2 770 g").await;
    let other = story.keep("batch list").await;
    let before = story.last();
    story.cellar.stand_in.delete_at_once(story.thread, &[second, other, first]);
    let asked = story.asked(before).await;
    assert!(
        asked.content.ends_with("The deleted messages held entries 4-5 of B1: keep them, or take them back?"),
        "{}",
        asked.content
    );
    story.says_nothing_to(|_| ()).await;
    let back = story.cellar.press(story.cellar.anna, &Seen::of(&asked), "Take back").answer(SOON).await;
    assert!(back.content.starts_with("Undone"), "{}", back.content);
    assert_eq!(story.undone().await, 2);
}

#[tokio::test]
async fn what_was_said_directly_is_asked_about_directly() {
    let story = Hanging::new().await;
    let posted = story.cellar.stand_in.direct(story.cellar.anna, "B1 #1 780 g");
    let line = story.cellar.stand_in.direct_line(story.cellar.anna);
    story.answer(posted, 1).await;
    story.cellar.stand_in.delete(posted);
    let asked =
        story.cellar.stand_in.message_in(line, SOON, |message| message.content.contains("deleted")).await;
    assert_eq!(asked.content, "The deleted message held entry 4 of B1: keep it, or take it back?");
    assert_eq!(story.undone().await, 0);
}
