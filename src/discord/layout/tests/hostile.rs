//! Long and hostile words in every place of an answer.

use super::reader::{Reader, assert_within_limits, unescaped};
use super::{figure, lay, lay_reply, said, stored};
use crate::curing::{Finding, Level, rulebook};
use crate::desk::{Answered, DeskError};
use crate::discord::body::Body;
use crate::discord::buttons::Press;
use crate::discord::layout::Laid;
use crate::record::ChatId;
use crate::reply::lines::{Line, lines};
use crate::reply::{Question, Reply, Tap};
use proptest::prelude::*;
use std::collections::BTreeSet;

/// Words of somebody who tries to break the layout.
fn hostile() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("**loud** __under__ ~~gone~~ ||hidden|| `code` ```block```".to_owned()),
        Just("@everyone @here <@123456789012345678> <@&1> <#2> <t:0:R> </x:1>".to_owned()),
        Just("[a link](https://example.invalid) https://example.invalid".to_owned()),
        Just("# big ## bigger -# small > said >>> all - one + two 3. three".to_owned()),
        Just("\u{202e}rtl\u{2066}iso\u{200f}\u{61c}".to_owned()),
        Just("zero\u{200b}width\u{feff}\u{200d}".to_owned()),
        Just("👩‍🍳🥩🇩🇪".to_owned()),
        Just("\\ \\\\ \\* \u{7} \t \r\n> next\n# line".to_owned()),
        "[0-9]{1,4}(\\.[0-9]{1,3})? (g|kg|%|°C)",
        "[0-9]{1,7}([.,][0-9]{1,5})?",
        "\\PC{1,40}",
        "[a-z]{1,30}",
    ];
    prop::collection::vec(piece, 1..14).prop_map(|pieces| pieces.join(" "))
}

/// A value of 4,000 characters, the most a form takes.
fn endless() -> impl Strategy<Value = String> {
    prop_oneof![
        Just("*".repeat(4_000)),
        Just("🥩".repeat(2_000)),
        Just("12 ".repeat(1_333)),
        Just("\\".repeat(4_000)),
        Just("1".repeat(4_000)),
        Just("word <@1> ".repeat(400)),
        Just("- ".repeat(2_000)),
        Just("# 1 ".repeat(1_000)),
    ]
}

fn text() -> impl Strategy<Value = String> {
    prop_oneof![5 => hostile(), 1 => endless()]
}

fn reply() -> impl Strategy<Value = Reply> {
    let many = || prop::collection::vec(text(), 0..6);
    let counts = (0_usize..=200, 0_usize..=60, 0_usize..=200, 0_usize..=30);
    (text(), many(), many(), many(), hostile(), counts).prop_map(
        |(headline, texts, working, labels, name, (more, pieces, findings, taps))| {
            let mut reply = Reply::new("log reading", headline);
            let name: String = name.chars().take(200).collect();
            reply.lines = texts;
            reply.lines.extend((0..more).map(|n| format!("line {n}: {}.{n:03} g", 1_000 + 7 * n)));
            reply.figures = (1..=pieces)
                .map(|n| figure("weight", &format!("{n}12.5 g {name}"), Some(&format!("piece {n}"))))
                .collect();
            reply.figures.push(figure("loss", "38.25%", Some(&name)));
            reply.findings = rulebook::all()
                .iter()
                .cycle()
                .take(findings)
                .map(|limit| Finding::judge(limit, 190.25))
                .collect();
            reply.note(Level::Caution, name.clone());
            reply.working = working;
            reply.taps = (0..taps)
                .map(|n| Tap {
                    label: format!("{}{n}", labels.first().map_or("tap", String::as_str)),
                    line: format!("batch note text:{name}"),
                })
                .collect();
            reply.stored = (1..).take(pieces).map(|id| stored(id, &name)).collect();
            reply.next = Some(name);
            reply.judges = true;
            reply
        },
    )
}

/// Letters that are not seen or that only mark up: left out on both sides before two texts are compared.
fn bare(text: &str) -> String {
    let unseen = |letter: char| {
        letter.is_whitespace()
            || letter.is_control()
            || "\\*_\u{61c}\u{200e}\u{200f}".contains(letter)
            || matches!(letter, '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
            || matches!(letter, '\u{ad}' | '\u{200b}' | '\u{2060}'..='\u{2064}' | '\u{feff}')
    };
    text.chars().filter(|letter| !unseen(*letter)).collect()
}

/// What a line says, in the words it is made of.
fn words_of(line: Line) -> String {
    match line {
        Line::Figure { label, shown } => label + &shown,
        Line::Of { of, figures } => of + &figures,
        Line::Signal { level, text } => format!("{}:{text}", level.word()),
        Line::Text(text) | Line::Quiet(text) | Line::Welcome(text) => text,
        Line::Next(next) => format!("Next:{next}"),
        Line::WhoDecides => "Local rules and licensed practice decide.".to_owned(),
        Line::Undo(_) | Line::Chart(_) => String::new(),
    }
}

/// Every run of figures in a text.
fn numbers(text: &str) -> BTreeSet<String> {
    let parts = text.split(|letter: char| !(letter.is_ascii_digit() || ".,".contains(letter)));
    let trimmed = parts.map(|part| part.trim_matches(['.', ',']));
    trimmed.filter(|part| part.contains(|letter: char| letter.is_ascii_digit())).map(str::to_owned).collect()
}

/// No mention, no link and no markup but ours: `**` around what a line begins with, `_` around a whole line.
fn assert_tame(text: &str) {
    for line in text.lines() {
        let line = line.strip_prefix('_').and_then(|line| line.strip_suffix('_')).unwrap_or(line);
        let mut letters = line.char_indices().peekable();
        let mut bold = 0;
        while let Some((at, letter)) = letters.next() {
            let rest = &line[at..];
            if letter == '\\' {
                letters.next();
            } else if rest.starts_with("**") {
                bold += 1;
                letters.next();
            } else {
                assert!(!"*_~`|<@[]".contains(letter), "{letter} in {line:?}");
                assert!(!rest.starts_with("://"), "a link in {line:?}");
            }
            assert!(!matches!(letter, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'), "{line:?} turns");
        }
        assert!(matches!(bold, 0 | 2), "{line:?}");
        assert!(!line.starts_with("**") || bold == 2, "{line:?}");
        let start = line.trim_start();
        let block = ["# ", "## ", "### ", "-# ", "> ", ">>> ", "- ", "+ ", "* "];
        assert!(!block.iter().any(|mark| start.starts_with(mark)), "{line:?} begins a block");
        let after = start.trim_start_matches(|letter: char| letter.is_ascii_digit());
        assert!(after.len() == start.len() || !after.starts_with(". "), "{line:?} begins a numbered list");
    }
}

fn assert_says_all(reply: Reply) -> Result<(), TestCaseError> {
    let expected: Vec<String> = std::iter::once(reply.headline.clone())
        .chain(lines(&reply).into_iter().map(words_of))
        .map(|line| bare(&line))
        .collect();
    let (pieces, labels) = (reply.stored.len(), reply.taps.len());
    let laid = lay_reply(reply);
    let pages = Reader::new(&laid).pages();
    let footer = |line: &&str| !line.starts_with("_Page ");
    let said: Vec<String> =
        pages.iter().map(|page| page.lines().filter(footer).collect::<Vec<_>>().join("\n")).collect();
    let whole = bare(&format!("{}\n{}", laid.body.content, said.join("\n")));
    prop_assert_eq!(whole, expected.concat());
    assert_tame(&laid.body.content);
    for page in pages.iter().chain(&Reader::new(&laid).working()) {
        assert_tame(page);
    }
    prop_assert!(labels == 0 || !laid.body.buttons.is_empty());
    prop_assert!(pieces == 0 || laid.body.buttons.iter().any(|button| button.label == "Undo"));
    Ok(())
}

fn assert_words_fit(laid: &Laid) {
    assert_within_limits(&laid.body.json());
    for page in Reader::new(laid).pages() {
        assert_tame(&page);
    }
    assert_tame(&laid.body.content);
    let Some(card) = &laid.card else { return };
    let presses: Vec<(String, Press)> = serde_json::from_str(&card.buttons).unwrap();
    for form in
        presses.iter().filter_map(|(_, press)| if let Press::Form(form) = press { Some(form) } else { None })
    {
        let sent = form.json("f9223372036854775807.24.18446744073709551615");
        assert!(sent["custom_id"].as_str().unwrap().len() <= 100);
        for row in sent["components"].as_array().unwrap() {
            let input = &row["components"][0];
            assert!(input["label"].as_str().unwrap().encode_utf16().count() <= 45, "{input}");
            assert!(input["value"].as_str().map_or(0, |text| text.encode_utf16().count()) <= 4_000);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn all_pages_together_say_every_line(reply in reply()) {
        assert_says_all(reply)?;
    }

    #[test]
    fn a_number_is_read_whole_on_one_page(
        values in prop::collection::vec("[0-9]{1,7}([.,][0-9]{1,5})?( g|%| °C|, |; | and )", 200..500),
        headline in "([0-9]{1,9} ){150,400}",
    ) {
        let mut reply = Reply::new("log history", headline.clone());
        reply.lines = vec![values.concat()];
        let known: BTreeSet<String> = numbers(&headline).union(&numbers(&values.concat())).cloned().collect();
        let laid = lay_reply(reply);
        let footer = |line: &&str| !line.starts_with("_Page ");
        for page in Reader::new(&laid).pages().iter().chain([&laid.body.content]) {
            let shown: String = page.lines().filter(footer).collect::<Vec<_>>().join("\n");
            let cut: Vec<String> = numbers(&unescaped(&shown)).difference(&known).cloned().collect();
            prop_assert!(cut.is_empty(), "{cut:?}");
        }
    }

    #[test]
    fn questions_and_errors_fit_and_lose_nothing(
        message in text(), example in text(), choices in prop::collection::vec(text(), 0..30), typed in text(),
    ) {
        let error = DeskError { code: "x", message: message.clone(), example: example.clone(), ours: false };
        let laid = lay(&Answered::Error(error), &said(&typed));
        assert_words_fit(&laid);
        let whole: String = std::iter::once(laid.body.content.clone()).chain(Reader::new(&laid).pages())
            .flat_map(|page| page.lines().filter(|line| !line.starts_with("_Page ")).map(bare).collect::<Vec<_>>())
            .collect();
        let said_ = bare(&format!("{message} For example: {example}"));
        prop_assert!(whole == said_ || bare(&example).is_empty(), "{whole}\n{said_}");
        let question = Question {
            code: "x", text: message, example, answers: choices.clone(), choices, line: typed.clone(),
        };
        assert_words_fit(&lay(&Answered::Question(question), &said(&typed)));
    }

    #[test]
    fn words_alone_are_cut_neither_in_a_number_nor_in_an_escape(
        values in prop::collection::vec("[0-9]{1,7}([.,][0-9]{1,5})? \\*", 150..600),
    ) {
        let text = values.concat();
        let escaped = crate::discord::escape::escaped(&text);
        let body = Body::words(&escaped);
        assert_within_limits(&body.json());
        assert_tame(&body.content);
        prop_assert!(!body.content.trim_end_matches('…').ends_with('\\'), "{}", body.content);
        let cut: Vec<String> = numbers(&unescaped(&body.content)).difference(&numbers(&text)).cloned().collect();
        prop_assert!(cut.is_empty(), "{cut:?}");
    }
}

/// A reminder pings whom it is for, and nobody else whatever it says.
#[test]
fn only_the_reminded_one_can_be_pinged() {
    let body = Body { content: "<@77> @everyone".to_owned(), pings: Some(ChatId(77)), ..Body::default() };
    let mentions = &body.json()["allowed_mentions"];
    assert_eq!(*mentions, serde_json::json!({ "parse": [], "users": ["77"], "replied_user": false }));
}
