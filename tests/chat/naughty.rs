//! The public list of texts that programs stumble over (crate `naughty-strings`), wherever a member can write: a sentence
//! comes back, and what is kept is kept as it was written.

use chrono::{DateTime, TimeDelta, Utc};
use naughty_strings::BLNS;
use tallyhook::command::table;
use tallyhook::desk::{Answered, Desk, Incoming, Said};
use tallyhook::record::BatchId;
use tallyhook::store::Store;

fn now() -> DateTime<Utc> {
    DateTime::from_timestamp(1_790_000_000, 0).unwrap()
}

async fn desk() -> Desk {
    let desk = Desk::new(Store::open_temporary().await.unwrap());
    for line in [
        "batch start name:Ready kind:fermented-sausage meat:2 kg casing:40 mm loss:38%",
        "batch piece batch:B1 weights:1000 990 g",
    ] {
        let answered = desk.answer(&Incoming::line("home", "mara", line, now())).await;
        assert!(matches!(answered, Answered::Reply(_)), "{line}: {}", answered.text());
    }
    desk
}

fn assert_a_sentence(answered: &Answered, said: &str) {
    match answered {
        Answered::Error(error) => {
            assert!(!error.ours, "{said:?} failed on our side: {}", error.message);
            assert!(!error.message.is_empty(), "{said:?}");
        }
        Answered::Reply(_) | Answered::Question(_) => {
            let text = answered.text();
            assert!(!text.contains("[error.") && !text.is_empty(), "{said:?}: {text}");
        }
        Answered::NotForUs => panic!("{said:?} was addressed"),
    }
}

#[tokio::test]
async fn said_to_nobody_in_particular() {
    let desk = desk().await;
    for text in BLNS {
        let answered = desk.answer(&Incoming::line("home", "mara", text, now())).await;
        assert_a_sentence(&answered, text);
    }
}

/// As a front end hands options over: each as it was typed, whatever is in it.
#[tokio::test]
async fn in_every_free_text_of_a_command() {
    let desk = desk().await;
    let fields = [
        ("batch", "note", "text", vec![("batch", "B1")]),
        ("log", "reading", "text", vec![("batch", "B1")]),
        ("batch", "start", "name", vec![("kind", "dried-sausage"), ("meat", "1 kg pork"), ("loss", "35%")]),
        ("chamber", "add", "name", vec![]),
        ("remind", "set", "text", vec![("when", "tomorrow 9am")]),
        ("formulation", "save", "name", vec![("item", "2.5% salt")]),
        ("formulation", "scale", "item", vec![("meat", "1 kg")]),
        ("check", "additive", "name", vec![]),
        ("help", "", "about", vec![]),
        ("batch", "show", "batch", vec![]),
    ];
    for (root, verb, option, others) in fields {
        assert!(table::find(root, verb).unwrap().option(option).is_some(), "{root} {verb} has no {option}");
        for (number, text) in BLNS.iter().enumerate().filter(|(_, text)| !text.trim().is_empty()) {
            let mut options: Vec<(String, String)> =
                others.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect();
            options.push((option.to_owned(), (*text).to_owned()));
            let at = now() + TimeDelta::seconds(i64::try_from(number).unwrap());
            let said = Said::Options { root: root.to_owned(), verb: verb.to_owned(), options };
            let answered = desk.answer(&Incoming { said, ..Incoming::line("home", "mara", "", at) }).await;
            assert_a_sentence(&answered, &format!("{root} {verb} {option}:{text}"));
        }
    }
    let notes = desk.store().events_of_batch(BatchId(1)).await.unwrap();
    assert!(notes.iter().filter(|event| event.what.word() == "note").count() > 400);
}
