//! Reads an answer as a member does: presses "More" until there is no more.

use super::super::{Laid, action_buttons, page, working};
use crate::discord::body::Body;
use crate::discord::buttons::{Id, Pages, Press};
use crate::record::{Card, CardId};
use serde_json::Value;
use std::collections::BTreeSet;

/// A member with an answer in front of them.
pub(super) struct Reader<'a> {
    laid: &'a Laid,
    /// Kept and read again, as the record does it.
    pages: Option<Pages>,
    presses: Vec<(String, Press)>,
}

impl<'a> Reader<'a> {
    pub(super) fn new(laid: &'a Laid) -> Self {
        let card = laid.card.as_ref();
        let pages = card.and_then(|card| card.pages.as_deref());
        Self {
            laid,
            pages: pages.map(|pages| serde_json::from_str(pages).unwrap()),
            presses: card.map(|card: &Card| serde_json::from_str(&card.buttons).unwrap()).unwrap_or_default(),
        }
    }

    /// The text of every page that "More" leads to. Every page is held against the limits, and "Back" leads back.
    pub(super) fn pages(&self) -> Vec<String> {
        let mut body = self.laid.body.clone();
        let mut texts = Vec::new();
        loop {
            assert_within_limits(&body.json());
            texts.push(body.frame.as_ref().map(|frame| frame.text.clone()).unwrap_or_default());
            if texts.len() > 1 {
                let Id::Page(card, before) = id_of(&body, "Back") else { panic!("{body:?}") };
                assert_eq!(self.page(before, card).frame.unwrap().text, texts[texts.len() - 2]);
            }
            if !has(&body, "More") {
                return texts;
            }
            let Id::Page(card, next) = id_of(&body, "More") else { panic!("{body:?}") };
            body = self.page(next, card);
        }
    }

    /// The text of every page of how it was worked out; none where there is no button for it.
    pub(super) fn working(&self) -> Vec<String> {
        let mut texts = Vec::new();
        let mut body = self.laid.body.clone();
        let mut label = "How worked out";
        while has(&body, label) {
            let Id::Working(card, number) = id_of(&body, label) else { panic!("{body:?}") };
            body = working(self.pages.as_ref().unwrap(), number, card);
            assert_within_limits(&body.answer(true));
            texts.push(body.frame.as_ref().unwrap().text.clone());
            label = "More";
        }
        texts
    }

    fn page(&self, number: usize, card: CardId) -> Body {
        page(self.pages.as_ref().unwrap(), number, card, action_buttons(card, &self.presses))
    }
}

fn has(body: &Body, label: &str) -> bool {
    body.buttons.iter().any(|button| button.label == label)
}

/// The last button of a label: those that turn pages come after those that act.
fn id_of(body: &Body, label: &str) -> Id {
    let found = body.buttons.iter().rfind(|button| button.label == label).unwrap();
    Id::read(&found.id).unwrap()
}

/// The text as a member reads it, without the signs that keep it from being markup.
pub(super) fn unescaped(text: &str) -> String {
    let mut letters = text.chars();
    let mut out = String::new();
    while let Some(letter) = letters.next() {
        out.extend(if letter == '\\' { letters.next() } else { Some(letter) });
    }
    out
}

/// Characters as the platform counts them at most: code units of UTF-16, never fewer than characters.
fn width(text: &Value) -> usize {
    text.as_str().map_or(0, |text| text.encode_utf16().count())
}

/// Every limit of the platform that a message of ours can meet, and whom it may ping.
pub(super) fn assert_within_limits(message: &Value) {
    let frames = message["embeds"].as_array().unwrap();
    let text = message["content"].as_str().unwrap();
    assert!(!text.trim().is_empty() || !frames.is_empty(), "an empty message is refused: {message}");
    assert!(width(&message["content"]) <= 2_000, "{}", width(&message["content"]));
    let frame_widths: Vec<usize> = frames.iter().map(|frame| width(&frame["description"])).collect();
    assert!(frame_widths.iter().all(|width| (1..=4_096).contains(width)), "{frame_widths:?}");
    assert!(frame_widths.iter().sum::<usize>() <= 6_000, "{frame_widths:?}");
    let rows = message["components"].as_array().unwrap();
    assert!(rows.len() <= 5, "{} rows", rows.len());
    let mut ids = BTreeSet::new();
    for row in rows {
        let buttons = row["components"].as_array().unwrap();
        assert!((1..=5).contains(&buttons.len()), "{} buttons in a row", buttons.len());
        for button in buttons {
            assert!((1..=80).contains(&width(&button["label"])), "{button}");
            let id = button["custom_id"].as_str().unwrap();
            assert!((1..=100).contains(&id.len()), "{id}");
            assert!(ids.insert(id.to_owned()), "{id} stands on two buttons");
        }
    }
    let mentions = &message["allowed_mentions"];
    assert_eq!(mentions["parse"], serde_json::json!([]));
    assert_eq!(mentions["users"], serde_json::json!([]), "an answer pings nobody");
    assert_eq!(mentions["replied_user"], false);
}
