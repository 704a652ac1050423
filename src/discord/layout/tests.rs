//! Answers as messages: what is said, what can be pressed, and the platform's limits.
//!
//! The limits are those of the platform's reference, "Create Message", "Embed Limits" and "Component Reference".

mod hostile;
mod reader;

use super::{Ground, Laid, laid};
use crate::curing::{Finding, rulebook};
use crate::desk::{Answered, Attention, DeskError, Incoming, Said};
use crate::discord::buttons::{Press, Saying};
use crate::record::{BatchId, CardId, MemberId};
use crate::reply::{Figure, FigureValue, Level, Question, Reply, Stored, Tap, unit};
use chrono::{DateTime, Utc};
use reader::{Reader, assert_within_limits};

fn now() -> DateTime<Utc> {
    "2026-03-01T08:00:00Z".parse().unwrap()
}

fn said(text: &str) -> Incoming {
    Incoming {
        channel: None,
        file: None,
        attention: Attention::InThread,
        place: Some(BatchId(3)),
        ..Incoming::line("Cellar", "Mara", text, now())
    }
}

fn lay(answered: &Answered, incoming: &Incoming) -> Laid {
    laid(answered, Ground { card: CardId(12), owner: MemberId(4), now: now(), incoming, form: None })
}

fn lay_reply(reply: Reply) -> Laid {
    lay(&Answered::Reply(Box::new(reply)), &said("whatever was said"))
}

/// The platform takes 10 MiB in one message (its reference, "Uploading Files").
#[test]
fn files_that_a_message_cannot_carry_are_told_of_and_not_named_in_it() {
    let file = |bytes: usize| crate::reply::File {
        name: "record.json".to_owned(),
        media_type: "application/json",
        bytes: vec![0; bytes],
        about: "A record.".to_owned(),
    };
    let carried = lay_reply(Reply { files: vec![file(1_000), file(1_000)], ..Reply::default() });
    assert_eq!(carried.body.files.len(), 2);
    let most = 10 * 1024 * 1024;
    for files in [vec![file(most)], vec![file(most / 2), file(most / 2)]] {
        let told = lay_reply(Reply { files, ..Reply::default() });
        assert!(told.body.files.is_empty());
        assert!(told.body.content.contains("larger than a message may carry"), "{}", told.body.content);
    }
}

fn figure(label: &str, shown: &str, of: Option<&str>) -> Figure {
    Figure {
        id: "gross_weight",
        of: of.map(str::to_owned),
        label: label.to_owned(),
        value: FigureValue::Unknown,
        unit: unit::GRAM,
        low: None,
        high: None,
        shown: shown.to_owned(),
        folded: false,
    }
}

fn stored(id: i64, typed: &str) -> Stored {
    Stored {
        id,
        kind: "weighed",
        of: format!("B3 #{id}"),
        at: now(),
        value: Some(812.0),
        unit: Some(unit::GRAM),
        typed: typed.to_owned(),
        words: typed.to_owned(),
    }
}

/// What the buttons of an answer do, by their labels.
fn presses(laid: &Laid) -> Vec<(String, Press)> {
    serde_json::from_str(&laid.card.as_ref().unwrap().buttons).unwrap()
}

fn labels(laid: &Laid) -> Vec<&str> {
    laid.body.buttons.iter().map(|button| button.label.as_str()).collect()
}

fn frame(laid: &Laid) -> &str {
    laid.body.frame.as_ref().map_or("", |frame| &frame.text)
}

#[test]
fn an_echo_says_what_was_kept_and_offers_to_take_it_back_or_mend_it() {
    let mut reply = Reply::new("log reading", "B3: 812 g, pH 5.08. Kept.".to_owned());
    reply.figures = vec![figure("weight", "812 g", Some("piece 2")), figure("loss", "21.4%", None)];
    reply.stored = vec![stored(41, "812 g"), stored(42, "ph 5.08")];
    reply.undo = Some("log undo".to_owned());
    reply.batch = Some(BatchId(3));
    let laid = lay_reply(reply);
    assert_eq!(laid.body.content, "B3: 812 g, pH 5.08. Kept.");
    assert_eq!(frame(&laid), "**#2** weight 812 g\n**loss** 21.4%", "the button says how to undo");
    assert_eq!(laid.body.frame.as_ref().unwrap().colour, None, "no colour without a signal word");
    assert_eq!(labels(&laid), ["Undo", "Change"]);
    let [(_, Press::Say(undo)), (_, Press::Form(form))] = &presses(&laid)[..] else { panic!("{laid:?}") };
    assert_eq!(undo.said, Said::Line("log undo id:41,42".to_owned()));
    assert_eq!(form.fields[1].before, "log change id:42 text:");
    assert_eq!(form.fields[1].filled, "ph 5.08");
    assert_within_limits(&laid.body.json());
}

#[test]
fn a_card_with_findings_bears_the_colour_of_its_loudest_word() {
    let mut reply = Reply::new("batch show", "B3 Juniper stick, drying, day 12.".to_owned());
    reply.findings = vec![Finding::judge(rulebook::by_id("us.comminuted").unwrap(), 190.0)];
    reply.note(Level::Caution, "The chamber was warm.".to_owned());
    reply.next = Some("weigh on Tuesday".to_owned());
    reply.judges = true;
    reply.taps = vec![Tap { label: "Weigh".to_owned(), line: "help".to_owned() }];
    reply.working = vec!["2 * 3 = 6".to_owned()];
    let laid = lay_reply(reply);
    // ANSI Z535.1 safety orange stands behind WARNING (from memory).
    assert_eq!(laid.body.frame.as_ref().unwrap().colour, Some(0xFF_82_00));
    let lines: Vec<&str> = frame(&laid).lines().collect();
    assert!(lines[0].starts_with("**WARNING:** ") && lines[0].contains("190"), "{lines:?}");
    assert_eq!(lines[1], "**CAUTION:** The chamber was warm.");
    assert_eq!(lines[2], "**Next:** weigh on Tuesday");
    assert_eq!(lines[3], "_Local rules and licensed practice decide._");
    assert_eq!(labels(&laid), ["Weigh", "How worked out"]);
    let working = Reader::new(&laid).working().join("\n");
    assert!(working.contains("2 \\* 3 = 6"), "{working}");
    assert!(working.contains("CFR"), "the whole source stands with the working: {working}");
}

#[test]
fn a_question_asks_in_words_and_each_choice_says_its_line() {
    let question = Question {
        code: "which_batch",
        text: "Which batch is this for?".to_owned(),
        example: "log reading batch:B3 text:812 g".to_owned(),
        choices: vec!["B3 Juniper stick".to_owned(), "B4 Lonzino".to_owned()],
        answers: vec!["log reading batch:B3 text:812 g".into(), "log reading batch:B4 text:812 g".into()],
        line: "812 g".to_owned(),
    };
    let laid = lay(&Answered::Question(question), &said("812 g"));
    assert_eq!(laid.body.content, "Which batch is this for?");
    assert_eq!(labels(&laid), ["B3 Juniper stick", "B4 Lonzino", "Write it again"]);
    let (_, Press::Say(Saying { said, at, confirmed, .. })) = &presses(&laid)[1] else { panic!("{laid:?}") };
    assert_eq!(*said, Said::Line("log reading batch:B4 text:812 g".to_owned()));
    assert_eq!(
        *at,
        Some(now()),
        "a reading is judged at the moment it was said, not when the button was found"
    );
    assert!(!confirmed, "which batch was chosen confirms nothing else");
}

#[test]
fn a_yes_says_the_same_again_confirmed() {
    let question = Question {
        code: "sure",
        text: "Is 8.12 kg right? That is ten times the last weight.".to_owned(),
        example: "yes".to_owned(),
        choices: Vec::new(),
        answers: Vec::new(),
        line: "8.12 kg".to_owned(),
    };
    let laid = lay(&Answered::Question(question), &said("8.12 kg"));
    assert_eq!(labels(&laid), ["Yes", "Write it again"]);
    let [(_, Press::Say(yes)), (_, Press::Form(form))] = &presses(&laid)[..] else { panic!("{laid:?}") };
    assert_eq!(yes.said, Said::Line("8.12 kg".to_owned()));
    assert!(yes.confirmed && yes.at == Some(now()) && yes.batch == Some(BatchId(3)));
    assert_eq!(form.fields[0].filled, "8.12 kg");
}

#[test]
fn an_error_gives_a_line_that_works_and_the_own_line_to_mend() {
    let error = DeskError {
        code: "out_of_range",
        message: "pH 51 is not between 2 and 9.".to_owned(),
        example: "ph 5.1".to_owned(),
        ours: false,
    };
    let laid_ = lay(&Answered::Error(error.clone()), &said("ph 51"));
    assert_eq!(laid_.body.content, "pH 51 is not between 2 and 9.\nFor example: ph 5.1");
    assert_eq!(labels(&laid_), ["Write it again"]);
    let ours = lay(&Answered::Error(DeskError { ours: true, ..error }), &said("ph 5.1"));
    assert!(ours.body.buttons.is_empty() && ours.card.is_none(), "no line mends what is our fault");
}

/// Weights of many pieces are written one below the other; a field of one line would run them together.
#[test]
fn what_was_written_in_several_lines_comes_back_in_several_lines() {
    let error = DeskError { code: "x", message: "No.".into(), example: String::new(), ours: false };
    let laid = lay(&Answered::Error(error), &said("812 g\n798 g"));
    let [(_, Press::Form(form))] = &presses(&laid)[..] else { panic!("{laid:?}") };
    assert_eq!(form.fields[0].filled, "812 g\n798 g");
    let sent = form.json("f12.0.1");
    assert_eq!(sent["components"][0]["components"][0]["style"], 2, "a field of several lines: {sent}");
}

#[test]
fn a_long_list_is_read_page_by_page_and_nothing_is_lost() {
    let mut reply = Reply::new("log history", "200 entries.".to_owned());
    reply.lines = (1..=200).map(|n| format!("{n}. {} g at 12 °C, pH 5.{n:03}", 1_000 + n)).collect();
    let expected = reply.lines.clone();
    let laid = lay_reply(reply);
    assert_eq!(labels(&laid), ["More"]);
    let pages = Reader::new(&laid).pages();
    assert!(pages.len() > 2, "{}", pages.len());
    assert!(pages[1].ends_with(&format!("_Page 2 of {}_", pages.len())), "{}", pages[1]);
    let shown: Vec<String> = pages.iter().flat_map(|page| page.lines()).map(reader::unescaped).collect();
    let shown: Vec<String> = shown.into_iter().filter(|line| !line.starts_with("_Page")).collect();
    assert_eq!(shown, expected, "line for line");
}

/// "3." at the beginning of a line is a numbered list to the platform, which counts on by itself from the first number
/// (its guide to markdown, from memory): 5 would be shown as 4.
#[test]
fn numbers_at_the_beginning_of_lines_are_no_numbered_list() {
    let mut reply = Reply::new("log history", "Two.".to_owned());
    reply.lines = vec!["3. salted".to_owned(), "5. hung".to_owned(), "5.08 pH".to_owned()];
    assert_eq!(frame(&lay_reply(reply)), "3\\. salted\n5\\. hung\n5.08 pH");
}

#[test]
fn an_answer_with_nothing_but_blank_lines_has_no_empty_frame() {
    let mut reply = Reply::new("help", "Hello.".to_owned());
    reply.lines = vec![String::new(), " ".to_owned()];
    let laid = lay_reply(reply);
    assert_eq!(laid.body.frame, None);
    assert_within_limits(&laid.body.json());
}

/// However much can be tapped, the pages and the working stay in reach.
#[test]
fn the_buttons_to_other_pages_are_never_pushed_out() {
    let mut reply = Reply::new("log reading", "Much.".to_owned());
    reply.taps = (0..40).map(|n| Tap { label: format!("tap {n}"), line: format!("help {n}") }).collect();
    reply.stored = vec![stored(41, "812 g")];
    reply.lines = (0..200).map(|n| format!("line {n} of many, with some words in it")).collect();
    reply.working = vec!["1 + 1 = 2".to_owned()];
    let laid = lay_reply(reply);
    assert_within_limits(&laid.body.json());
    assert!(labels(&laid).contains(&"Undo"), "{:?}", labels(&laid));
    let pages = Reader::new(&laid).pages();
    assert!(pages.len() > 2 && pages.last().unwrap().contains("line 199 of many"));
    assert!(!Reader::new(&laid).working().is_empty());
}

#[test]
fn what_a_message_raised_is_kept_under_the_message_whichever_button_answers() {
    let question = |choices: &[&str], answers: &[&str], example: &str| Question {
        code: "asked",
        text: "Which?".to_owned(),
        example: example.to_owned(),
        choices: choices.iter().map(|choice| (*choice).to_owned()).collect(),
        answers: answers.iter().map(|answer| (*answer).to_owned()).collect(),
        line: String::new(),
    };
    let message = Incoming { id: Some("m7".to_owned()), ..said("812 g") };
    let sayings = |question: Question, incoming: &Incoming| -> Vec<Saying> {
        let laid = lay(&Answered::Question(question), incoming);
        let of = |(_, press): &(String, Press)| match press {
            Press::Say(saying) => Some(saying.clone()),
            _ => None,
        };
        presses(&laid).iter().filter_map(of).collect()
    };
    let chosen = sayings(question(&["B3"], &["log reading batch:B3 text:812 g"], ""), &message);
    assert_eq!(chosen[0].request.as_deref(), Some("m7"));
    let yes = sayings(question(&[], &[], "yes"), &message);
    assert_eq!((yes[0].request.as_deref(), yes[0].confirmed), (Some("m7"), true));
    // Of what was deleted, keeping is a yes and taking back a line of its own.
    let deleted =
        Incoming { id: Some("d7".to_owned()), said: Said::Deleted { of: vec!["m7".to_owned()] }, ..said("") };
    let both =
        sayings(question(&["Keep", "Take back"], &["yes", "log undo id:4"], "log undo id:4"), &deleted);
    assert_eq!((both[0].said.clone(), both[0].confirmed), (deleted.said, true));
    assert_eq!((both[1].said.clone(), both[1].confirmed), (Said::Line("log undo id:4".to_owned()), false));
    assert_eq!(both[1].request, None);
}
