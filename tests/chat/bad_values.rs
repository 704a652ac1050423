//! Every option of every command with values nobody should type: a sentence, never a failure of ours.

use chrono::DateTime;
use tallyhook::command::{line, table};
use tallyhook::desk::{Answered, Desk, Incoming};
use tallyhook::store::Store;

const VALUES: [&str; 18] = [
    "NaN",
    "inf",
    "-1",
    "0",
    "0 g",
    "-5 C",
    "1e999",
    "999999999999999999999 kg",
    "101%",
    "-3%",
    "1,2,3",
    "5 kg",
    "9999 C",
    "abc",
    "\"\"",
    "🧂",
    "0 d 0 g",
    "B999999999999999999999",
];

/// Commands whose example does something that every other line then stands on.
const ENDS: [&str; 3] = ["me erase", "batch discard", "batch finish"];

async fn desk() -> Desk {
    let desk = Desk::new(Store::open_temporary().await.unwrap());
    let now = DateTime::from_timestamp(1_790_000_000, 0).unwrap();
    for text in [
        "batch start name:Ready kind:fermented-sausage meat:2 kg pork casing:40 mm loss:38%",
        "batch piece batch:B1 weights:1000 990 g",
    ] {
        let answered = desk.answer(&Incoming::line("home", "mara", text, now)).await;
        assert!(matches!(answered, Answered::Reply(_)), "{text}: {}", answered.text());
    }
    desk
}

#[tokio::test]
async fn whatever_an_option_holds_it_is_a_sentence() {
    let desk = desk().await;
    let now = DateTime::from_timestamp(1_790_003_600, 0).unwrap();
    let mut lines = 0;
    for spec in table::all().filter(|spec| !ENDS.contains(&spec.name().as_str())) {
        for example in spec.examples {
            let Ok(Some(typed)) = line::read(example) else { panic!("{example} is no command") };
            for option in spec.options {
                for value in VALUES {
                    let text = typed.with(option.name, value);
                    let answered = desk.answer(&Incoming::line("home", "mara", &text, now)).await;
                    lines += 1;
                    match &answered {
                        Answered::Error(error) => {
                            assert!(!error.ours, "{text}: {}", error.message);
                            assert!(
                                !error.message.is_empty() && !error.message.contains("NaN g"),
                                "{text}: {}",
                                error.message
                            );
                        }
                        Answered::Reply(_) | Answered::Question(_) | Answered::NotForUs => {
                            let said = answered.text();
                            assert!(!said.is_empty(), "{text}");
                            let no_numbers =
                                ["NaN g", "NaN %", "NaN mg", "NaN h", "NaN °C", "inf g", "inf %", "inf h"];
                            assert!(!no_numbers.iter().any(|none| said.contains(none)), "{text}: {said}");
                        }
                    }
                }
            }
        }
    }
    assert!(lines > 5_000, "{lines}");
}
