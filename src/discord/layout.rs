//! What the desk answered, as a message: the headline in the words a notification shows, the rest in a frame, what one
//! tap does as buttons.

use super::body::{Body, Button, Frame, Picture};
use super::buttons::{Id, Pages, Press, Saying, button};
use super::enclosed::{Enclosed, fit};
use super::escape::escaped;
use super::form::{Field, Form, Says};
use super::limits;
use super::pages::{PAGE, cut, paged};
use super::question::{again, of_question};
use crate::desk::{Answered, DeskError, Files, Incoming, Said};
use crate::record::{BatchId, Card, CardId, MemberId};
use crate::reply::lines::{Line, lines};
use crate::reply::words::signal;
use crate::reply::{Level, Reply, Stored, plain, say};
use chrono::{DateTime, Utc};

/// Commands whose entries can be taken back by a tap.
const UNDOABLE: [&str; 9] = [
    "log reading",
    "log change",
    "log undo",
    "batch stage",
    "batch piece",
    "batch note",
    "batch cure",
    "chamber set",
    "chamber move",
];

/// Buttons that act: what five rows hold without "Back", "More" and the working.
const MOST_ACTIONS: usize = limits::ROWS * limits::ROW - 3;
/// Taps: what then remains beside forms, "Undo" and "Change".
pub(super) const MOST_TAPS: usize = MOST_ACTIONS - 4;

/// Commands whose entries can be said anew in the words of a reading.
const CHANGEABLE: [&str; 5] = ["log reading", "log change", "batch note", "batch piece", "chamber set"];

/// An answer as a message, and what its buttons stand for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Laid {
    /// The message.
    pub(super) body: Body,
    /// What has to be remembered for its buttons; `None` where it has none.
    pub(super) card: Option<Card>,
}

/// Whose answer it is and what it answers.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ground<'a> {
    /// The number its card would have.
    pub(super) card: CardId,
    /// Who may press its buttons.
    pub(super) owner: MemberId,
    /// When it is given.
    pub(super) now: DateTime<Utc>,
    /// What was said.
    pub(super) incoming: &'a Incoming,
    /// The form it was said in, filled in as it was sent.
    pub(super) form: Option<&'a Form>,
}

/// Lays an answer out.
pub(super) fn laid(answered: &Answered, ground: Ground<'_>) -> Laid {
    match answered {
        Answered::Reply(reply) => of_reply(reply, ground),
        Answered::Question(question) => of_question(question, ground),
        Answered::Error(error) => of_error(error, ground),
        Answered::NotForUs => Laid { body: Body::default(), card: None },
    }
}

/// A reply in pages.
pub(super) fn pages_of_reply(reply: &Reply) -> Pages {
    let working: Vec<String> = plain::working(reply).lines().map(escaped).collect();
    Pages {
        colour: colour(reply.level()),
        working: pages_of(&working),
        ..spoken(&escaped(&reply.headline), lines(reply).into_iter().filter_map(marked_up))
    }
}

fn of_reply(reply: &Reply, ground: Ground<'_>) -> Laid {
    let pages = pages_of_reply(reply);
    let presses = presses(reply, ground.incoming.place);
    let mut laid = finished(&pages, &presses, ground);
    laid.body.picture = reply.chart.as_ref().map(Picture::of);
    if fit(&reply.files) {
        laid.body.files = reply.files.iter().map(Enclosed::of).collect();
    } else {
        laid.body.add(&say("platform.files_too_large", &[]));
    }
    laid
}

/// The words of a notification, and what stands in the frame: what is too long for the former goes on there.
pub(super) fn spoken(words: &str, rest: impl Iterator<Item = String>) -> Pages {
    let mut words = cut(words, limits::CONTENT).into_iter();
    let content = words.next().unwrap_or_default();
    let rest: Vec<String> = words.chain(rest).collect();
    Pages { content, texts: pages_of(&rest), ..Pages::default() }
}

/// The lines in pages. A frame without a letter in it is refused by the platform.
fn pages_of(lines: &[String]) -> Vec<String> {
    let mut pages = paged(lines, PAGE);
    pages.retain(|page| !page.trim().is_empty());
    pages
}

fn marked_up(line: Line) -> Option<String> {
    Some(match line {
        Line::Figure { label, shown } => format!("{} {}", bold(&label), escaped(&shown)),
        Line::Of { of, figures } => format!("{} {}", bold(&of), escaped(&figures)),
        Line::Signal { level, text } => format!("**{}:** {}", signal(level), escaped(&text)),
        Line::Next(next) => say("platform.next", &[("next", &escaped(&next))]),
        Line::WhoDecides => format!("_{}_", say("layout.who_decides", &[])),
        Line::Text(text) | Line::Quiet(text) | Line::Welcome(text) => escaped(&text),
        // The button says the one, the picture shows the other.
        Line::Undo(_) | Line::Chart(_) => return None,
    })
}

/// Bold ends with its line, so a name with a line break in it stands in one.
fn bold(text: &str) -> String {
    format!("**{}**", escaped(text).replace('\n', " "))
}

/// The colour of a signal word by ANSI Z535.1 (from memory); it only repeats the word.
const fn colour(level: Level) -> Option<u32> {
    match level {
        Level::None => None,
        Level::Notice => Some(0x00_5C_B9),
        Level::Caution => Some(0xFF_D1_00),
        Level::Warning => Some(0xFF_82_00),
        Level::Danger => Some(0xC8_10_2E),
    }
}

/// What the buttons of a reply do, with their labels.
pub(super) fn presses(reply: &Reply, place: Option<BatchId>) -> Vec<(String, Press)> {
    let batch = reply.batch.or(place);
    let mut presses: Vec<(String, Press)> =
        reply.taps.iter().take(MOST_TAPS).map(|tap| (tap.label.clone(), saying(&tap.line, batch))).collect();
    presses.extend(reply.forms.iter().map(|form| (form.label.clone(), Press::Form(Form::of(form, batch)))));
    let undoable = UNDOABLE.contains(&reply.command) || reply.undo.is_some();
    if undoable && !reply.stored.is_empty() {
        let ids: Vec<String> = reply.stored.iter().map(|stored| stored.id.to_string()).collect();
        let line = format!("log undo id:{}", ids.join(","));
        presses.push((say("platform.button.undo", &[]), saying(&line, batch)));
    }
    if CHANGEABLE.contains(&reply.command) {
        presses.extend(changes(&reply.stored, batch));
    }
    presses.truncate(MOST_ACTIONS);
    presses
}

/// Forms in which what was kept can be said anew: one for five entries, which is what a form holds.
fn changes(stored: &[Stored], batch: Option<BatchId>) -> Vec<(String, Press)> {
    let changeable: Vec<&Stored> = stored.iter().filter(|stored| !stored.words.is_empty()).collect();
    let is_one = changeable.len() <= limits::FIELDS;
    let form = |entries: &[&Stored]| {
        let ids: Vec<String> = entries.iter().map(|stored| stored.id.to_string()).collect();
        let label = match ids.as_slice() {
            [first, .., last] if !is_one => {
                say("platform.button.change_several", &[("first", first), ("last", last)])
            }
            [only] if !is_one => say("platform.button.change_one", &[("id", only)]),
            _ => say("platform.button.change", &[]),
        };
        let fields = entries.iter().map(|stored| change_field(stored)).collect();
        let title = say("platform.form.change", &[]);
        let files = Files::default();
        (label, Press::Form(Form { title, fields, batch, says: Says::Lines, instead_of: None, files }))
    };
    changeable.chunks(limits::FIELDS).map(form).collect()
}

fn saying(line: &str, batch: Option<BatchId>) -> Press {
    let said = Said::Line(line.to_owned());
    Press::Say(Saying { said, at: None, confirmed: false, batch, request: None })
}

fn change_field(stored: &Stored) -> Field {
    Field {
        label: label(&stored.of, stored.id),
        filled: limits::shortened(&stored.words, limits::FIELD),
        hint: String::new(),
        before: format!("log change id:{} text:", stored.id),
        stays_said: false,
        several_lines: false,
    }
}

/// What an entry is of, with its number, which tells it from the others and is never cut.
fn label(of: &str, id: i64) -> String {
    let number = format!(" ({id})");
    format!("{}{number}", limits::shortened(of, limits::FORM_TITLE - limits::width(&number)))
}

fn of_error(error: &DeskError, ground: Ground<'_>) -> Laid {
    let mut lines = vec![escaped(&error.message)];
    if !error.example.is_empty() {
        lines.push(say("layout.example", &[("example", &escaped(&error.example))]));
    }
    let presses: Vec<_> = if error.ours { Vec::new() } else { again(ground).into_iter().collect() };
    finished(&spoken(&lines.join("\n"), std::iter::empty()), &presses, ground)
}

/// Puts the first page, its buttons and what they stand for together.
pub(super) fn finished(pages: &Pages, presses: &[(String, Press)], ground: Ground<'_>) -> Laid {
    let body = page(pages, 0, ground.card, action_buttons(ground.card, presses));
    if body.buttons.is_empty() {
        return Laid { body, card: None };
    }
    let keeps_pages = pages.texts.len() > 1 || !pages.working.is_empty();
    let card = Card {
        id: ground.card,
        owner: ground.owner,
        made: ground.now,
        buttons: serde_json::to_string(presses).unwrap_or_default(),
        pages: keeps_pages.then(|| serde_json::to_string(pages).unwrap_or_default()),
    };
    Laid { body, card: Some(card) }
}

/// The buttons that act; where the first goes on rather than back, it is the next thing to do.
pub(super) fn action_buttons(card: CardId, presses: &[(String, Press)]) -> Vec<Button> {
    presses
        .iter()
        .enumerate()
        .map(|(place, (label, press))| button(label, Id::Button(card, place), place == 0 && goes_on(press)))
        .collect()
}

fn goes_on(press: &Press) -> bool {
    match press {
        Press::Say(saying) => {
            let turns_back = |line: &str| line.starts_with("log undo") || line.starts_with("remind snooze");
            !matches!(&saying.said, Said::Line(line) if turns_back(line))
        }
        Press::Form(_) | Press::Leave(_) | Press::Left(_) => false,
    }
}

/// One page of an answer with the buttons that lead on and back.
pub(super) fn page(pages: &Pages, number: usize, card: CardId, actions: Vec<Button>) -> Body {
    let number = number.min(pages.texts.len().saturating_sub(1));
    let mut text = pages.texts.get(number).cloned();
    let mut buttons = actions;
    if pages.texts.len() > 1 {
        let of = [("page", &*(number + 1).to_string()), ("pages", &pages.texts.len().to_string())];
        text = text.map(|text| format!("{text}\n_{}_", say("platform.page", &of)));
        if number > 0 {
            buttons.push(button(&say("platform.button.back", &[]), Id::Page(card, number - 1), false));
        }
        if number + 1 < pages.texts.len() {
            buttons.push(button(&say("platform.button.more", &[]), Id::Page(card, number + 1), false));
        }
    }
    if !pages.working.is_empty() {
        buttons.push(button(&say("platform.button.working", &[]), Id::Working(card, 0), false));
    }
    Body {
        content: pages.content.clone(),
        frame: text.map(|text| Frame { text, colour: pages.colour }),
        buttons,
        pings: None,
        picture: None,
        files: Vec::new(),
    }
}

/// One page of how an answer was worked out.
pub(super) fn working(pages: &Pages, number: usize, card: CardId) -> Body {
    let mut buttons = Vec::new();
    if number > 0 {
        buttons.push(button(&say("platform.button.back", &[]), Id::Working(card, number - 1), false));
    }
    if number + 1 < pages.working.len() {
        buttons.push(button(&say("platform.button.more", &[]), Id::Working(card, number + 1), false));
    }
    let text = pages.working.get(number).or(pages.working.last()).cloned().unwrap_or_default();
    Body {
        content: say("platform.working", &[]),
        frame: Some(Frame { text, colour: None }),
        buttons,
        pings: None,
        picture: None,
        files: Vec::new(),
    }
}

#[cfg(test)]
mod tests;
