//! What is written while the assistant is away is caught up with when it is back: kept once, answered once.

use std::collections::hash_map::RandomState;
use std::hash::{BuildHasher, Hasher};

use chrono::TimeDelta;
use tallyhook::record::ChatId;

use crate::assistant::pause;
use crate::readings::Story;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Action, Fault, Reply, SOON, StandIn};

/// After a fresh IDENTIFY nothing is replayed: what was written before it can only be fetched.
async fn is_caught_up_with(listens: bool, cause: impl FnOnce(&StandIn)) {
    let mut story = Story::new(listens).await;
    story.everywhere();
    story.answered().await;
    cause(&story.cellar.stand_in);
    story.everywhere();
    story.cellar.wait(TimeDelta::minutes(10));
    story.cellar.stand_in.open();
    story.cellar.stand_in.gateway_until(|gateway| gateway.identifies.len() == 2 && gateway.ready()).await;
    story.everywhere();
    story.told_once().await;
}

#[tokio::test]
async fn what_was_written_before_a_fresh_identify_is_caught_up_with() {
    is_caught_up_with(false, |stand_in| stand_in.shut(false)).await;
}

#[tokio::test]
async fn where_it_listens_it_catches_up_too() {
    is_caught_up_with(true, |stand_in| stand_in.shut(false)).await;
}

#[tokio::test]
async fn after_an_invalid_session_it_catches_up() {
    is_caught_up_with(false, |stand_in| stand_in.invalidate(false)).await;
}

#[tokio::test]
async fn after_close_code_4009_it_catches_up() {
    is_caught_up_with(true, |stand_in| stand_in.close(Some(4009))).await;
}

#[tokio::test]
async fn what_was_written_while_it_was_down_is_caught_up_with() {
    for (listens, killed) in [(false, false), (false, true), (true, false), (true, true)] {
        let mut story = Story::new(listens).await;
        story.everywhere();
        story.answered().await;
        if killed {
            story.cellar.kill().await;
        } else {
            story.cellar.stop().await;
        }
        story.everywhere();
        story.cellar.wait(TimeDelta::minutes(10));
        story.cellar.start().await;
        story.everywhere();
        story.told_once().await;
    }
}

#[tokio::test]
async fn a_message_of_now_does_not_hide_one_that_is_not_caught_up_with() {
    let mut story = Story::new(false).await;
    story.mention();
    story.answered().await;
    story.cellar.stand_in.shut(false);
    story.mention();
    story.cellar.wait(TimeDelta::minutes(1));
    let path = format!("^/channels/{}/messages$", story.thread);
    // More failures than one round of tries: the rest needs the pause after it.
    story.cellar.stand_in.fault(Fault { method: "GET", path, times: 6, action: Action::DropBefore });
    story.cellar.stand_in.open();
    story.cellar.stand_in.gateway_until(|gateway| gateway.identifies.len() == 2 && gateway.ready()).await;
    story.mention();
    let now = *story.posted.last().unwrap();
    story.cellar.stand_in.reply_after(now, SOON).await;
    story.cellar.kill().await;
    story.cellar.start().await;
    story.told_once().await;
}

#[tokio::test]
async fn however_much_was_said_meanwhile_all_of_it_is_read() {
    let mut story = Story::new(false).await;
    story.mention();
    story.answered().await;
    story.cellar.stop().await;
    let (talker, thread) = (story.cellar.ben, story.thread);
    for _ in 0..2_150 {
        story.cellar.stand_in.post(talker, thread, "I have hung mine beside the stairs", Reply::None);
    }
    story.mention();
    story.cellar.start().await;
    story.told_once().await;
}

#[tokio::test]
async fn a_direct_answer_to_a_reminder_is_caught_up_with() {
    let mut story = Story::new(false).await;
    story.cellar.ask("remind set", &[("text", "read the ph"), ("when", "in 1 h")]).await;
    story.cellar.wait(TimeDelta::hours(1));
    let line = story.cellar.stand_in.direct_line(story.cellar.anna);
    story.cellar.stand_in.message_in(line, SOON, |message| message.content.contains("read the ph")).await;
    story.cellar.stop().await;
    let reading = story.reading();
    story.post(line, &reading, Reply::None);
    story.cellar.start().await;
    story.told_once().await;
}

#[tokio::test]
async fn what_was_kept_before_a_kill_is_answered_after_it() {
    let mut story = Story::new(false).await;
    let path = format!("^/channels/{}/messages$", story.thread);
    for action in [Action::DropBefore, Action::DropAfter] {
        story.cellar.stand_in.clear_records();
        story.cellar.stand_in.fault(Fault { method: "POST", path: path.clone(), times: 1, action });
        story.mention();
        story.cellar.stand_in.wait(SOON, |record| record.is("POST", "/channels/", "/messages")).await;
        story.cellar.kill().await;
        story.cellar.start().await;
    }
    story.told_once().await;
}

/// Marsaglia's xorshift (2003), for the moments of the kills.
struct Moments(u64);

impl Moments {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % limit
    }
}

/// The random start value, or that of an earlier run, set to repeat it.
#[expect(clippy::disallowed_methods, reason = "a setting of the tests, not of the program")]
fn start_value() -> u64 {
    let given = std::env::var("RANDOM_START_VALUE").ok().and_then(|value| value.parse().ok());
    given.unwrap_or_else(|| RandomState::new().build_hasher().finish() | 1)
}

#[tokio::test]
async fn ten_kills_lose_nothing_and_repeat_nothing() {
    let start = start_value();
    println!("random start value: {start}");
    let mut moments = Moments(start);
    let mut story = Story::new(false).await;
    for _ in 0..10 {
        let upto = moments.below(5);
        for number in 0..4 {
            if number == upto {
                story.cellar.kill().await;
            }
            story.mention();
            pause(moments.below(40)).await;
        }
        if upto == 4 {
            story.cellar.kill().await;
        }
        story.cellar.start().await;
        pause(moments.below(120)).await;
    }
    assert_eq!(story.posted.len(), 40);
    story.told_once().await;
}

#[tokio::test]
async fn who_was_erased_is_not_brought_back_by_what_they_wrote() {
    let mut story = Story::new(false).await;
    story.mention_in(story.cellar.log);
    story.answered().await;
    let cellar = &mut story.cellar;
    let asked = cellar.ask("me erase", &[]).await;
    let erased = cellar.press(cellar.anna, &asked, "Yes").answer(SOON).await;
    assert!(erased.text().contains("deleted"), "{}", erased.text());
    cellar.kill().await;
    cellar.wait(TimeDelta::minutes(10));
    cellar.start().await;
    pause(500).await;
    cellar.stop().await;
    let anna = ChatId(i64::try_from(cellar.anna.0).unwrap());
    assert!(cellar.record(async move |store| store.member_by_chat(anna)).await.is_none());
    assert_conforming(&cellar.stand_in.records());
}
