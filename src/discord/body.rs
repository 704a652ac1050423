//! A message as it is posted. Written down as JSON in the outbox and in cards, so that it looks the same after a restart.

use super::enclosed::{Enclosed, Upload};
use super::escape::escaped;
use super::limits;
use crate::chart::Chart;
use crate::chart::png::png;
use crate::chart::svg::svg;
use crate::record::ChatId;
use crate::reply::say;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

/// Marks an answer as for the member's eyes only.
pub(super) const EPHEMERAL: u64 = 1 << 6;

/// The name of a picture's file.
pub(super) const CHART_FILE: &str = "chart.png";

/// A message.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(super) struct Body {
    /// What a notification shows: the answer in words.
    pub(super) content: String,
    /// The rest, framed.
    pub(super) frame: Option<Frame>,
    /// Buttons.
    pub(super) buttons: Vec<Button>,
    /// The one member who may be pinged by it.
    pub(super) pings: Option<ChatId>,
    /// A picture under it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) picture: Option<Picture>,
    /// Files beside it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) files: Vec<Enclosed>,
}

/// A picture, kept as what it is drawn from, which is a tenth of its size.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Picture {
    svg: String,
    /// What it says, for who does not see it.
    pub(super) alt: String,
}

impl Picture {
    /// Of a chart.
    pub(super) fn of(chart: &Chart) -> Self {
        Self { svg: svg(chart), alt: limits::shortened(&chart.alt, limits::ALT) }
    }
}

/// A framed text with a colour at its side that repeats a signal word.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Frame {
    /// The text, marked up.
    pub(super) text: String,
    /// The colour; none where there is no signal word.
    pub(super) colour: Option<u32>,
}

/// A button.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Button {
    /// What it says.
    pub(super) label: String,
    /// How it comes back.
    pub(super) id: String,
    /// Whether it is the next thing to do.
    pub(super) leads: bool,
    /// Whether it can be pressed.
    #[serde(default)]
    pub(super) off: bool,
}

impl Body {
    /// A message of words only.
    pub(super) fn words(text: &str) -> Self {
        Self { content: limits::shortened(text, limits::CONTENT), ..Self::default() }
    }

    /// What it carries: its picture, then its files. What is not there any more is told in words.
    pub(super) async fn uploads(&mut self, mut files: Vec<Upload>) -> Vec<Upload> {
        files.retain(|upload| self.files.iter().any(|named| named.name == upload.name));
        if files.len() < self.files.len() {
            self.files.clear();
            files.clear();
            self.add(&say("platform.file_lost", &[]));
        }
        let picture = self.draw().await.map(|bytes| Upload { name: CHART_FILE.to_owned(), bytes });
        picture.into_iter().chain(files).collect()
    }

    /// Draws its picture, where it has one, on a thread where nobody waits. What cannot be drawn is told in words.
    async fn draw(&mut self) -> Option<Vec<u8>> {
        let svg = self.picture.as_ref()?.svg.clone();
        match tokio::task::spawn_blocking(move || png(&svg)).await {
            Ok(Ok(image)) => return Some(image),
            Ok(Err(cause)) => tracing::error!(%cause, "a chart could not be drawn"),
            Err(cause) => tracing::error!(%cause, "a chart's drawing stopped in the middle"),
        }
        self.lose_picture();
        None
    }

    /// Says in words what the picture would have shown.
    fn lose_picture(&mut self) {
        if let Some(picture) = self.picture.take() {
            self.add(&escaped(&picture.alt));
        }
    }

    /// Says in words what cannot be carried where files are not allowed.
    pub(super) fn lose_uploads(&mut self) {
        self.lose_picture();
        if !self.files.is_empty() {
            self.files.clear();
            self.add(&say("platform.no_files_here", &[]));
        }
    }

    /// Another line under its words.
    pub(super) fn add(&mut self, text: &str) {
        self.content = limits::shortened(&format!("{}\n{text}", self.content), limits::CONTENT);
    }

    /// Its picture and its files, in the order they are sent in.
    fn attachments(&self) -> Vec<Value> {
        let picture = self.picture.iter().map(|picture| (CHART_FILE, &*picture.alt));
        let files = self.files.iter().map(|file| (&*file.name, &*file.about));
        let entry = |(place, (name, about)): (usize, (&str, &str))| {
            let about = limits::shortened(about, limits::ALT);
            json!({ "id": place, "filename": name, "description": about })
        };
        picture.chain(files).enumerate().map(entry).collect()
    }

    /// As the platform takes it. Nobody is pinged but whom the message is for.
    pub(super) fn json(&self) -> Value {
        let users: Vec<String> = self.pings.iter().map(ToString::to_string).collect();
        let frames: Vec<Value> = self.frame.iter().map(Frame::json).collect();
        let mut value = json!({
            "content": self.content,
            "embeds": frames,
            "components": rows(&self.buttons),
            "allowed_mentions": { "parse": [], "users": users, "replied_user": false },
        });
        let attachments = self.attachments();
        if !attachments.is_empty() {
            value["attachments"] = json!(attachments);
        }
        value
    }

    /// As an answer to a command or a press.
    pub(super) fn answer(&self, private: bool) -> Value {
        let mut value = self.json();
        if private {
            value["flags"] = json!(EPHEMERAL);
        }
        value
    }
}

impl Frame {
    fn json(&self) -> Value {
        let mut value = json!({ "description": self.text });
        if let Some(colour) = self.colour {
            value["color"] = json!(colour);
        }
        value
    }
}

fn rows(buttons: &[Button]) -> Vec<Value> {
    let row = |row: &[Button]| {
        let buttons: Vec<Value> = row.iter().map(Button::json).collect();
        json!({ "type": 1, "components": buttons })
    };
    buttons.chunks(limits::ROW).take(limits::ROWS).map(row).collect()
}

impl Button {
    fn json(&self) -> Value {
        let style = if self.leads { 1 } else { 2 };
        let mut value = json!({
            "type": 2,
            "style": style,
            "label": limits::shortened(&self.label, limits::LABEL),
            "custom_id": self.id,
        });
        if self.off {
            value["disabled"] = json!(true);
        }
        value
    }
}
