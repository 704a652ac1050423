//! Forms: what their fields are, how the platform takes them, and what they say once they are sent.

use super::limits;
use crate::desk::{Files, Said};
use crate::record::BatchId;
use crate::reply::form::{self as reply, Blank, Filled};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use serenity::model::application::{ActionRowComponent, ModalInteraction};

/// A field in which the key for a new line sends the form.
const ONE_LINE: u8 = 1;
/// A field that keeps line breaks; in the other one weights written one below the other would run together.
const SEVERAL_LINES: u8 = 2;

/// A form.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Form {
    /// Its title.
    pub(super) title: String,
    /// Its fields, at most five.
    pub(super) fields: Vec<Field>,
    /// The batch it is about where a line names none.
    pub(super) batch: Option<BatchId>,
    /// What its fields say.
    #[serde(default)]
    pub(super) says: Says,
    /// The id that what it says is kept under, and the moment it is judged at, where those are not the form's own: what
    /// is written again takes the place of what was written first.
    #[serde(default)]
    pub(super) instead_of: Option<(String, DateTime<Utc>)>,
    /// The files that came with the line that is mended.
    #[serde(default)]
    pub(super) files: Files,
}

/// What the fields of a form say.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Says {
    /// Each one that was altered completes a line.
    #[default]
    Lines,
    /// All of them together one command.
    Command {
        /// Its first word.
        root: String,
        /// Its second word.
        verb: String,
        /// Options that are settled already.
        settled: Vec<(String, String)>,
        /// Whether it says something also when nothing is filled in.
        may_be_empty: bool,
    },
}

/// A field of a form.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Field {
    /// What is to be typed.
    pub(super) label: String,
    /// What stands there already; an untouched field says nothing.
    pub(super) filled: String,
    /// An example, shown while the field is empty.
    pub(super) hint: String,
    /// What comes before it in the line; of a command, the option it is.
    pub(super) before: String,
    /// Of a command, whether what it is filled with is said also where it is left as it stands.
    #[serde(default)]
    pub(super) stays_said: bool,
    /// Whether it takes several lines.
    #[serde(default)]
    pub(super) several_lines: bool,
}

/// What a form says in one go, once it is sent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Part {
    /// The place of the field that says it; the first one's where they say it together.
    pub(super) place: usize,
    /// What it says.
    pub(super) said: Said,
    /// The form that says it again, filled in as it was sent.
    pub(super) sent: Form,
}

impl Form {
    /// A form that an answer offers.
    pub(super) fn of(form: &reply::Form, batch: Option<BatchId>) -> Self {
        let settled = form.settled.iter().map(|(name, value)| ((*name).to_owned(), value.clone()));
        Self {
            title: form.title.clone(),
            fields: form.blanks.iter().map(Field::of).collect(),
            batch,
            says: Says::Command {
                root: form.root.to_owned(),
                verb: form.verb.to_owned(),
                settled: settled.collect(),
                may_be_empty: form.may_be_empty,
            },
            instead_of: None,
            files: Files::default(),
        }
    }
}

impl Field {
    fn of(blank: &Blank) -> Self {
        let (filled, stays_said) = match &blank.filled {
            Filled::Nothing | Filled::Lines => (String::new(), false),
            Filled::Said(text) => (text.clone(), true),
            Filled::Known(text) => (text.clone(), false),
        };
        Self {
            label: blank.label.clone(),
            filled,
            hint: blank.hint.clone(),
            before: blank.option.to_owned(),
            stays_said,
            several_lines: blank.filled == Filled::Lines,
        }
    }
}

impl Form {
    /// Whether it says what another says when both are filled in alike, whatever its words.
    pub(super) fn says_as(&self, other: &Self) -> bool {
        let fields = |form: &Self| -> Vec<(String, String, bool)> {
            let said = |field: &Field| (field.before.clone(), field.filled.clone(), field.stays_said);
            form.fields.iter().map(said).collect()
        };
        let rest = |form: &Self| (form.batch, form.says.clone(), form.instead_of.clone());
        rest(self) == rest(other) && fields(self) == fields(other)
    }

    /// As the platform takes it: rows with text fields, because the library loses what is typed into the newer ones.
    pub(super) fn json(&self, unique: &str) -> Value {
        let rows: Vec<Value> = self.fields.iter().enumerate().take(limits::FIELDS).map(row).collect();
        json!({
            "custom_id": unique,
            "title": limits::shortened(&self.title, limits::FORM_TITLE),
            "components": rows,
        })
    }

    /// What it says as it was sent; nothing where nothing was filled in or altered.
    pub(super) fn said(&self, sent: &ModalInteraction) -> Vec<Part> {
        let typed = self.typed(sent);
        match &self.says {
            Says::Lines => {
                let alters = |field: &Field, text: &str| text != field.filled || field.before.is_empty();
                let lines = typed.into_iter().filter(|(_, field, text)| alters(field, text));
                let part = |(place, field, text): (usize, &Field, String)| Part {
                    place,
                    said: Said::of(format!("{}{text}", field.before), self.files.clone()),
                    sent: Self { fields: vec![Field { filled: text, ..field.clone() }], ..self.clone() },
                };
                lines.map(part).collect()
            }
            Says::Command { root, verb, settled, may_be_empty } => {
                let is_new = |field: &Field, text: &str| text != field.filled;
                if !may_be_empty
                    && !typed.iter().any(|(_, field, text)| is_new(field, text) && !field.stays_said)
                {
                    return Vec::new();
                }
                let said = typed.iter().filter(|(_, field, text)| field.stays_said || is_new(field, text));
                let said = said.map(|(_, field, text)| (field.before.clone(), text.clone()));
                let options = settled.iter().cloned().chain(said).collect();
                let said = Said::Options { root: root.clone(), verb: verb.clone(), options };
                vec![Part { place: 0, said, sent: self.filled_in(&typed) }]
            }
        }
    }

    /// It with what was typed into it, all of which is said again when it is sent again.
    fn filled_in(&self, typed: &[(usize, &Field, String)]) -> Self {
        let text = |place| typed.iter().find(|(of, ..)| *of == place).map(|(_, _, text)| text.clone());
        let filled = |(place, field): (usize, &Field)| {
            let filled = text(place).unwrap_or_default();
            let stays_said = field.stays_said || filled != field.filled;
            Field { filled, stays_said, ..field.clone() }
        };
        let says = match &self.says {
            Says::Lines => Says::Lines,
            Says::Command { root, verb, settled, .. } => Says::Command {
                root: root.clone(),
                verb: verb.clone(),
                settled: settled.clone(),
                may_be_empty: true,
            },
        };
        Self { fields: self.fields.iter().enumerate().map(filled).collect(), says, ..self.clone() }
    }

    /// The fields in which something stands, each with its place.
    fn typed(&self, sent: &ModalInteraction) -> Vec<(usize, &Field, String)> {
        let inputs = sent.data.components.iter().flat_map(|row| &row.components);
        inputs
            .filter_map(|component| {
                let ActionRowComponent::InputText(input) = component else { return None };
                let place: usize = input.custom_id.parse().ok()?;
                let field = self.fields.get(place)?;
                let typed = input.value.as_deref().unwrap_or_default().trim();
                (!typed.is_empty()).then(|| (place, field, typed.to_owned()))
            })
            .collect()
    }
}

fn row((place, field): (usize, &Field)) -> Value {
    let several = field.several_lines || field.filled.contains('\n');
    let mut input = json!({
        "type": 4,
        "custom_id": place.to_string(),
        "style": if several { SEVERAL_LINES } else { ONE_LINE },
        "label": limits::shortened(&field.label, limits::FORM_TITLE),
        "max_length": limits::FIELD,
        "required": false,
    });
    if !field.filled.is_empty() {
        input["value"] = json!(field.filled);
    }
    if !field.hint.is_empty() {
        input["placeholder"] = json!(limits::shortened(&field.hint, limits::LABEL));
    }
    json!({ "type": 1, "components": [input] })
}
