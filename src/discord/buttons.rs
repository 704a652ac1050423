//! What a button stands for. The number of its card comes back with the press; what it does was written down.

use super::body::Button;
use super::form::Form;
use super::limits;
use crate::desk::Said;
use crate::record::{BatchId, CardId};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

/// What a button does.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Press {
    /// Says a line for the member.
    Say(Saying),
    /// Opens a form.
    Form(Form),
    /// Leaves things as they are, and takes the buttons away.
    Leave(Leaving),
    /// Did something once; it was left.
    Left(Left),
}

impl Press {
    /// The batch it is about.
    pub(super) const fn batch(&self) -> Option<BatchId> {
        match self {
            Self::Say(saying) => saying.batch,
            Self::Form(form) => form.batch,
            Self::Leave(_) | Self::Left(_) => None,
        }
    }

    /// Whether it does what another does; the words of a form may be in another language.
    pub(super) fn does_as(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Form(form), Self::Form(other)) => form.says_as(other),
            (one, other) => one == other,
        }
    }
}

/// What is left as it is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Leaving {
    /// What it was about.
    pub(super) what: Left,
    /// The id under which the other buttons would have kept something.
    pub(super) request: String,
}

/// What was left as it was.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Left {
    /// A reading is not kept.
    Discarded,
    /// A record is not shown.
    Private,
}

impl Left {
    /// What is said of it.
    pub(super) const fn key(self) -> &'static str {
        match self {
            Self::Discarded => "platform.left.discarded",
            Self::Private => "platform.left.private",
        }
    }
}

/// A line to be said for the member.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Saying {
    /// The line.
    pub(super) said: Said,
    /// The moment it is judged at, where that is not the press's own.
    pub(super) at: Option<DateTime<Utc>>,
    /// The question it would raise is answered with yes.
    pub(super) confirmed: bool,
    /// The batch it is about where it names none.
    pub(super) batch: Option<BatchId>,
    /// The id it is kept under, where it is not the press's own: that of the message that said it.
    #[serde(default)]
    pub(super) request: Option<String>,
}

/// Further pages of an answer, and how it was worked out.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(super) struct Pages {
    /// The message's own words, the same on every page.
    pub(super) content: String,
    /// The colour at the side.
    pub(super) colour: Option<u32>,
    /// The pages, marked up.
    pub(super) texts: Vec<String>,
    /// How it was worked out, in pages, marked up.
    pub(super) working: Vec<String>,
}

/// What a custom id says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Id {
    /// The card's button of this place.
    Button(CardId, usize),
    /// A page of the answer.
    Page(CardId, usize),
    /// A page of how it was worked out.
    Working(CardId, usize),
    /// A form that the card's button of this place opened.
    Form(CardId, usize),
}

impl Id {
    /// Reads one; what was not ours or is from another time is `None`.
    pub(super) fn read(text: &str) -> Option<Self> {
        let mut letters = text.chars();
        let kind = letters.next()?;
        let mut parts = letters.as_str().split('.');
        let card = CardId(parts.next()?.parse().ok()?);
        let place = parts.next()?.parse().ok()?;
        match kind {
            'b' => Some(Self::Button(card, place)),
            'p' => Some(Self::Page(card, place)),
            'w' => Some(Self::Working(card, place)),
            'f' => Some(Self::Form(card, place)),
            _ => None,
        }
    }

    /// The card it belongs to.
    pub(super) const fn card(self) -> CardId {
        match self {
            Self::Button(card, _) | Self::Page(card, _) | Self::Working(card, _) | Self::Form(card, _) => {
                card
            }
        }
    }
}

impl std::fmt::Display for Id {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Button(card, place) => write!(f, "b{card}.{place}"),
            Self::Page(card, place) => write!(f, "p{card}.{place}"),
            Self::Working(card, place) => write!(f, "w{card}.{place}"),
            Self::Form(card, place) => write!(f, "f{card}.{place}"),
        }
    }
}

/// A button with its id.
pub(super) fn button(label: &str, id: Id, leads: bool) -> Button {
    Button { label: limits::shortened(label, limits::LABEL), id: id.to_string(), leads, off: false }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::discord::form::Says;

    #[test]
    fn ids_come_back_as_they_went() {
        for id in [
            Id::Button(CardId(12), 0),
            Id::Page(CardId(i64::MAX), 24),
            Id::Working(CardId(1), 3),
            Id::Form(CardId(7), 1),
        ] {
            assert_eq!(Id::read(&id.to_string()), Some(id));
            assert!(id.to_string().len() <= limits::CUSTOM_ID);
        }
        // A form's id is made unique by the opening it came from.
        assert_eq!(Id::read("f7.1.1234567"), Some(Id::Form(CardId(7), 1)));
    }

    /// What a card of an earlier version says, letter for letter.
    #[test]
    fn the_buttons_of_an_earlier_version_still_stand_for_what_they_did() {
        let kept = r#"[["Change",{"form":{"title":"What should it have said?","fields":[{"label":"B1 #1 (4)",
            "filled":"812 g","hint":"","before":"log change id:4 text:"}],"batch":1}}],
            ["Undo",{"say":{"said":{"line":"log undo id:4"},"at":null,"confirmed":false,"batch":1}}]]"#;
        let presses: Vec<(String, Press)> = serde_json::from_str(kept).unwrap();
        let Press::Form(form) = &presses[0].1 else { panic!("no form: {presses:?}") };
        assert_eq!((&form.says, form.fields[0].filled.as_str()), (&Says::Lines, "812 g"));
        assert!(matches!(&presses[1].1, Press::Say(saying) if saying.request.is_none()), "{presses:?}");
    }

    #[test]
    fn what_is_not_ours_is_nothing() {
        for strange in ["", "b", "b1", "b1.", "x1.1", "b-.1", "b1.x", "🥩1.1"] {
            assert_eq!(Id::read(strange), None, "{strange}");
        }
    }
}
