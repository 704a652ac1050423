//! What the member sees.

use serde_json::Value;

use crate::Trial;
use crate::support::stand_in::message::Message;
use crate::support::stand_in::{Handle, Id, Seen};

impl Trial {
    /// Prints messages that are new or changed, and forms that opened.
    pub(crate) fn print_new(&mut self) {
        for message in self.stand_in.all_messages() {
            let seen = Seen::of(&message);
            let look =
                format!("{}{}{:?}{:?}", seen.text(), seen.components, seen.attachments, message.reactions);
            let old = self.printed.insert(message.id, look.clone());
            if old.as_ref() == Some(&look) || seen.thinking {
                continue;
            }
            if old.is_none() {
                self.numbers.push(message.id);
            }
            let number = self.numbers.iter().position(|id| *id == message.id).unwrap_or_default() + 1;
            let (author, place) = self.stand_in.names(&message);
            let how = if seen.ephemeral { ", only for you" } else { "" };
            let changed = if old.is_some() { ", changed" } else { "" };
            println!(
                "#{number} {author} in {place}{}{how}{changed}{}:",
                self.reply(&message),
                self.pings(&message)
            );
            for line in self.stand_in.readable(&seen.text()).lines() {
                println!("  | {line}");
            }
            for name in &seen.attachments {
                println!("  | file {name}");
            }
            for (emoji, user) in &message.reactions {
                println!("  | {emoji} by {}", self.stand_in.name(*user));
            }
            self.print_parts(message.id, &seen.components);
        }
        self.print_deleted();
        let opened: Vec<Handle> = self.open.iter().filter(|handle| handle.acknowledged()).cloned().collect();
        self.open.retain(|handle| !handle.acknowledged());
        for handle in opened {
            let Some(modal) = handle.now().and_then(|seen| seen.modal) else { continue };
            println!("a form opens: {}", modal["title"].as_str().unwrap_or_default());
            for (id, label, value) in fields(&modal) {
                println!("  | {id}: {label} [{value}]");
            }
            self.form = Some(handle);
        }
    }

    fn reply(&self, message: &Message) -> String {
        let replied = message.reply_to.and_then(|to| self.numbers.iter().position(|id| *id == to));
        replied.map(|place| format!(", to #{}", place + 1)).unwrap_or_default()
    }

    fn pings(&self, message: &Message) -> String {
        let names: Vec<String> = message.pings.iter().map(|user| self.stand_in.name(*user)).collect();
        if names.is_empty() { String::new() } else { format!(", pings {}", names.join(", ")) }
    }

    fn print_deleted(&mut self) {
        for (place, id) in self.numbers.iter().enumerate() {
            if self.stand_in.message(*id).is_none() && self.printed.remove(id).is_some() {
                println!("#{} is deleted", place + 1);
            }
        }
    }

    fn print_parts(&mut self, message: Id, rows: &Value) {
        let parts = rows
            .as_array()
            .into_iter()
            .flatten()
            .flat_map(|row| row["components"].as_array().into_iter().flatten());
        for part in parts {
            let label = part["label"].as_str().or_else(|| part["placeholder"].as_str()).unwrap_or("list");
            let Some(custom_id) = part["custom_id"].as_str() else { continue };
            self.parts.push((message, custom_id.to_owned()));
            let off = if part["disabled"] == true { " (greyed out)" } else { "" };
            let options = part["options"].as_array().into_iter().flatten();
            let options: Vec<String> =
                options.map(|option| format!("{}={}", option["value"], option["label"])).collect();
            println!("  [{}] {label}{off} {}", self.parts.len(), options.join(" "));
        }
    }
}

/// The fields of a form: id, label, what stands in them.
pub(crate) fn fields(modal: &Value) -> Vec<(String, String, String)> {
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let rows = modal["components"].as_array().into_iter().flatten();
    let inputs = rows.map(|row| {
        if row["type"] == 18 {
            (&row["component"], row)
        } else {
            (&row["components"][0], &row["components"][0])
        }
    });
    inputs
        .map(|(input, labelled)| (text(&input["custom_id"]), text(&labelled["label"]), text(&input["value"])))
        .collect()
}
