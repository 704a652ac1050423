//! Whatever is typed: one clear sentence with a line that works, and nothing is kept.

use chrono::{DateTime, Utc};
use proptest::prelude::*;
use tallyhook::desk::{Answered, Desk, DeskError, Incoming};
use tallyhook::record::ChamberId;
use tallyhook::store::Store;

fn now() -> DateTime<Utc> {
    DateTime::from_timestamp(1_790_000_000, 0).unwrap()
}

fn incoming(text: &str) -> Incoming {
    Incoming::line("home", "mara", text, now())
}

/// A desk with one batch of two pieces.
async fn desk() -> Desk {
    let desk = Desk::new(Store::open_temporary().await.unwrap());
    for line in [
        "batch start name:Ready kind:fermented-sausage meat:2 kg casing:40 mm loss:38%",
        "batch piece batch:B1 weights:1000 990 g",
        "batch stage batch:B1 to:fermenting",
    ] {
        let answered = desk.answer(&incoming(line)).await;
        assert!(matches!(answered, Answered::Reply(_)), "{line}: {}", answered.text());
    }
    desk
}

async fn entries(desk: &Desk) -> usize {
    desk.store().events_of_batch(tallyhook::record::BatchId(1)).await.unwrap().len()
}

async fn error(desk: &Desk, line: &str) -> DeskError {
    match desk.answer(&incoming(line)).await {
        Answered::Error(error) => error,
        other => panic!("{line:?} was answered: {}", other.text()),
    }
}

/// One line of wrong input and the code it must get.
const WRONG: &[(&str, &str)] = &[
    ("cure mix meat:1 kg nitrite:6.25% colour:pink", "unknown_option"),
    ("cure mix meat:1 kg meat:2 kg nitrite:6.25%", "unknown_option"),
    ("cure mix meat:1 stone nitrite:6.25%", "unit_unknown"),
    ("cure mix meat:1000 nitrite:6.25%", "unit_unknown"),
    ("cure mix meat:1 kg nitrite:6.25", "percent_sign_needed"),
    ("cure mix meat:1,500 g nitrite:6.25%", "number_ambiguous"),
    ("cure mix meat:NaN kg nitrite:6.25%", "out_of_range"),
    ("cure mix meat:inf kg nitrite:6.25%", "out_of_range"),
    ("cure mix meat:1e400 kg nitrite:6.25%", "out_of_range"),
    ("cure mix meat:-1 kg nitrite:6.25%", "out_of_range"),
    ("cure mix meat:0 kg nitrite:6.25%", "out_of_range"),
    ("cure mix meat: nitrite:6.25%", "missing_option"),
    ("cure mix nitrite:6.25%", "missing_option"),
    ("cure mix meat:1 kg nitrite:120%", "out_of_range"),
    ("cure mix meat:1 kg nitrite:pink", "label_needed"),
    ("cure mix meat:1 kg nitrite:#1", "label_needed"),
    ("cure mix meat:1 kg nitrite:himalayan", "not_a_cure"),
    ("cure mix meat:1 kg nitrite:saltpetre", "nitrate_not_nitrite"),
    ("cure check method:comminuted meat:1 kg cure:1 tsp nitrite:6.25%", "spoon"),
    ("cure check method:boiled meat:1 kg cure:2 g nitrite:6.25%", "unknown_choice"),
    ("cure mix meat:1 kg nitrite:6.25% country:Atlantis", "unknown_choice"),
    ("cure dance meat:1 kg", "unknown_command"),
    ("cure", "unknown_command"),
    ("make me a sausage", "unknown_command"),
    ("batch show B99", "no_such_batch"),
    ("batch show Nowhere", "no_such_batch"),
    ("batch stage batch:B1 to:flying", "unknown_choice"),
    ("batch stage batch:B1 to:resting", "does_not_fit"),
    ("batch stage batch:B1 to:drying at:tomorrow", "time_unclear"),
    ("batch stage batch:B1 to:drying at:when the cows come home", "time_unclear"),
    ("batch start name:Ready kind:dried-sausage meat:1 kg", "does_not_fit"),
    ("batch start name:7 kind:dried-sausage meat:1 kg", "out_of_range"),
    ("batch start name:X kind:dried-sausage meat:1 kg loss:99%", "out_of_range"),
    ("batch start name:\"X kind:dried-sausage meat:1 kg", "missing_option"),
    ("batch piece batch:B1 weights:10 g tare:20 g", "out_of_range"),
    ("log undo id:0", "out_of_range"),
    ("log undo id:one", "out_of_range"),
    ("log undo id:99999", "no_such_thing"),
    ("log change id:99999 text:812 g", "no_such_thing"),
    ("log reading text:hello there", "unknown_command"),
    ("ferment degree-hours course:10 h", "unit_unknown"),
    ("target weight green:1 kg loss:0%", "out_of_range"),
    ("remind set text:weigh when:yesterday", "time_unclear"),
    ("me set country:XX", "unknown_choice"),
];

#[tokio::test]
async fn every_wrong_line_gets_its_code_one_sentence_and_an_example_and_keeps_nothing() {
    let desk = desk().await;
    let before = entries(&desk).await;
    let mut wrong = Vec::new();
    for (line, code) in WRONG {
        let error = match desk.answer(&incoming(line)).await {
            Answered::Error(error) => error,
            other => {
                wrong.push(format!("{line}: answered {}", other.text()));
                continue;
            }
        };
        if error.code != *code || error.message.contains('\n') || error.example.is_empty() || error.ours {
            wrong.push(format!(
                "{line}: {code} expected, got {} \"{}\" example \"{}\"",
                error.code, error.message, error.example
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(entries(&desk).await, before);
}

#[tokio::test]
async fn an_example_never_runs_into_the_same_error() {
    for (line, code) in WRONG {
        let desk = desk().await;
        let example = error(&desk, line).await.example;
        if let Answered::Error(again) = desk.answer(&incoming(&example)).await {
            assert_ne!(
                again.code, *code,
                "{line} is answered with \"{example}\", which fails the same way: {}",
                again.message
            );
        }
    }
}

#[tokio::test]
async fn long_and_unprintable_lines_are_refused() {
    let desk = desk().await;
    let before = entries(&desk).await;
    let long = format!("batch note batch:B1 text:{}", "x".repeat(10_000));
    for line in [
        long.as_str(),
        "pH 5.1\u{0}",
        "batch note batch:B1 text:bell\u{7}",
        "\u{1b}[2J",
        "batch note batch:B1 text:\u{202e}gnorw",
    ] {
        let error = error(&desk, line).await;
        assert!(!error.ours && !error.message.chars().any(char::is_control), "{}", error.message);
    }
    assert_eq!(entries(&desk).await, before);
}

#[tokio::test]
async fn what_belongs_to_another_member_stays_theirs() {
    let desk = desk().await;
    let before = entries(&desk).await;
    for line in [
        "log reading batch:B1 text:pH 5.1",
        "batch stage batch:B1 to:drying",
        "batch discard batch:B1 reason:envy",
        "batch finish batch:B1",
        "log undo id:1",
        "batch note batch:B1 text:hello",
        "log history batch:B1",
    ] {
        let other = Incoming::line("home", "jonas", line, now());
        let Answered::Error(error) = desk.answer(&other).await else { panic!("{line} was answered") };
        let code = if line.starts_with("log undo") { "no_such_thing" } else { "no_such_batch" };
        assert_eq!(error.code, code, "{line}: {}", error.message);
    }
    assert_eq!(entries(&desk).await, before);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn no_line_is_our_fault_and_what_is_not_answered_is_not_kept(line in line()) {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
        runtime.block_on(async {
            // A record is opened for every line: slower, but no line can lean on another's leavings.
            let desk = desk().await;
            let before = kept(&desk).await;
            match desk.answer(&incoming(&line)).await {
                Answered::Error(error) => {
                    assert!(!error.ours, "{line:?}: {}", error.message);
                    let is_shown = !error.message.is_empty() && !error.message.contains(char::is_control);
                    assert!(is_shown, "{line:?}: {}", error.message);
                    assert_eq!(kept(&desk).await, before, "{line:?}: {}", error.message);
                }
                Answered::Question(question) => {
                    let is_shown = !question.text.is_empty() && !question.example.contains(char::is_control);
                    assert!(is_shown, "{line:?}: {question:?}");
                    assert_eq!(kept(&desk).await, before, "{line:?}: {}", question.text);
                }
                Answered::Reply(reply) => assert!(!reply.headline.is_empty(), "{line:?}"),
                Answered::NotForUs => panic!("{line:?} was said to the assistant"),
            }
        });
    }
}

/// Any text, the words of a command, and readings of the batch at hand, in one line or in several.
fn line() -> impl Strategy<Value = String> {
    let reading = "((pH|#[1-3]|set to|max|min|hung|tare|total|mould|not|in the attic|out|packed|-|±)[ ,\n]{1,2}\
                   |[0-9]{1,4}(\\.[0-9]{1,2})?( ?(g|C|F|%|h|lb))?[ ,\n]{1,2}){1,8}";
    prop_oneof![
        "\\PC{0,80}",
        "(cure|batch|log|target|ferment|chamber|remind|me|group|help)( [a-z-]{1,10}(:[ -~]{0,12})?){0,5}",
        reading,
    ]
}

/// Everything that is kept of the batch and of its chamber.
async fn kept(desk: &Desk) -> (usize, usize) {
    let air = desk.store().chamber_events(ChamberId(1), DateTime::UNIX_EPOCH, now()).await.unwrap();
    (entries(desk).await, air.len())
}

#[tokio::test]
async fn several_lines_of_one_message_are_readings_and_a_command_stays_one_line() {
    let desk = desk().await;
    let before = kept(&desk).await;
    for line in
        ["pH 5.08 at 21 C\n#1 812 g\r\n24 C 88%", "log reading text:pH 5.08 at 21 C\n#1 812 g\n\n24 C 88%"]
    {
        let answered = desk.answer(&incoming(line)).await;
        assert!(matches!(answered, Answered::Reply(_)), "{line:?}: {}", answered.text());
    }
    assert_eq!(kept(&desk).await, (before.0 + 4, before.1 + 2));
    for line in ["batch note batch:B1 text:one\ntwo", "cure mix meat:1 kg\nnitrite:6.25%"] {
        assert_eq!(error(&desk, line).await.code, "out_of_range", "{line:?}");
    }
    let answered = desk.answer(&incoming("ph 5.1\n#1 1500 g")).await;
    assert!(matches!(answered, Answered::Question(_)), "{}", answered.text());
    assert_eq!(kept(&desk).await, (before.0 + 4, before.1 + 2));
}
