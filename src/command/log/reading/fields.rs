//! A reading said field by field, as in a form: what each field says becomes part of one line, and a remark stays a note.

use super::in_one_line;
use super::setting::Setting;
use super::whom;
use crate::command::Args;
use crate::command::error::{Code, UserError};
use crate::command::journal::Journal;
use crate::record::{Event, Happening, Subject};
use crate::reply::{Question, say};
use chrono::{DateTime, Utc};

/// The line that the fields make, and the remark that is kept as a note; at least one of them says something.
pub(super) fn read(args: Args<'_>) -> Result<(String, Option<String>), UserError> {
    let ph = args.text("ph").map(|text| {
        let names_it = text.to_ascii_lowercase().contains("ph");
        if names_it { text.to_owned() } else { format!("pH {text}") }
    });
    let part = |name: &str| args.text(name).map(str::to_owned);
    let (seen, remark) = match part("remark") {
        // Mould, slime and smells are never just noted.
        Some(remark) if whom::says_reading(&in_one_line(&remark), args.asking) => (Some(remark), None),
        remark => (None, remark),
    };
    let parts: Vec<String> =
        [ph, part("weights"), part("air"), part("text"), seen].into_iter().flatten().collect();
    if parts.is_empty() && remark.is_none() {
        return Err(args.missing("text"));
    }
    Ok((in_one_line(&parts.join("\n")), remark))
}

/// A remark as an entry of its batch.
pub(super) fn noted(
    remark: Option<&str>,
    setting: &Setting,
    journal: &Journal<'_>,
    at: DateTime<Utc>,
) -> Result<Option<Event>, UserError> {
    let Some(text) = remark else { return Ok(None) };
    let batch = setting.batch.as_ref().ok_or_else(|| {
        let example = format!("log reading batch:B1 remark:\"{}\" text:13 C 80%", text.replace('"', "'"));
        UserError::new(Code::MissingOption, say("log.reading.remark_of_batch", &[]), example)
    })?;
    let event = journal.event(Subject::Batch(batch.id), at, Happening::Noted { text: text.to_owned() });
    Ok(Some(Event { typed: text.to_owned(), ..event }))
}

/// Puts a remark into the lines that answer a question.
pub(super) fn remember(question: &mut Question, remark: &str) {
    let with = |line: &str| format!("log reading remark:\"{}\" text:{line}", remark.replace('"', "'"));
    question.answers.iter_mut().for_each(|answer| *answer = with(answer));
    if question.example != "yes" {
        question.example = with(&question.example);
    }
}
