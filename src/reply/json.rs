//! A reply as one JSON object: the stable door for scripts. Ids and words never change their meaning.

use super::finding::{country, outcome_word, sentence, standing_word};
use super::{Due, Figure, File, Question, Reply, Stored, plain};
use crate::chart::Chart;
use crate::curing::Finding;
use serde::Serialize;
use serde_json::{Value, json};

/// The version of this object. A field may be added under the same number; none changes its meaning.
pub const DOOR: u32 = 1;

#[derive(Serialize)]
struct Opened<'a> {
    door: u32,
    command: &'a str,
    headline: &'a str,
    level: crate::curing::Level,
    figures: &'a [Figure],
    findings: Vec<Value>,
    stored: &'a [Stored],
    due: &'a [Due],
    next: Option<&'a str>,
    working: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    chart: Option<&'a Chart>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    files: Vec<Value>,
    text: String,
}

/// A reply.
pub fn reply(reply: &Reply) -> Value {
    let opened = Opened {
        door: DOOR,
        command: reply.command,
        headline: &reply.headline,
        level: reply.level(),
        figures: &reply.figures,
        findings: reply.findings.iter().map(finding).collect(),
        stored: &reply.stored,
        due: &reply.due,
        next: reply.next.as_deref().or(reply.undo.as_deref()),
        working: &reply.working,
        chart: reply.chart.as_ref(),
        files: reply.files.iter().map(File::told).collect(),
        text: plain::text(reply),
    };
    json!(opened)
}

fn finding(finding: &Finding) -> Value {
    let limit = &finding.limit;
    let basis = [json!(limit.stage), json!(limit.counted_as), json!(limit.weight)];
    let basis: Vec<&str> = basis.iter().filter_map(Value::as_str).collect();
    json!({
        "rule": limit.id,
        "country": country(limit),
        "verdict": outcome_word(finding.outcome),
        "level": finding.level,
        "measured": finding.measured,
        "limit": limit.value,
        "unit": limit.unit,
        "basis": basis.join(" "),
        "standing": standing_word(limit.standing),
        "source": limit.source,
        "where": limit.place,
        "text": sentence(finding),
    })
}

/// A question.
pub fn question(question: &Question) -> Value {
    json!({ "door": DOOR, "question": question })
}

/// An error.
pub fn error(code: &str, message: &str, example: &str) -> Value {
    json!({ "door": DOOR, "error": { "code": code, "message": message, "example": example } })
}
