//! Every request the application made, and waiting for one.

use chrono::{DateTime, Utc};
use serde_json::Value;

/// One request with its answer.
#[derive(Debug, Clone)]
pub struct Recorded {
    /// `POST`, …
    pub method: String,
    /// Without `/api/v10`: `/channels/1/messages`.
    pub path: String,
    pub query: Vec<(String, String)>,
    /// The JSON body; of a multipart body its `payload_json`.
    pub body: Value,
    /// Names of the parts that are files, with the names of the files.
    pub files: Vec<(String, String)>,
    /// 0 where the connection was cut instead of an answer.
    pub status: u16,
    pub response: Value,
    /// By the stand-in's clock.
    pub at: DateTime<Utc>,
}

impl Recorded {
    /// Whether method and the beginning and end of the path fit: `is("POST", "/channels/", "/messages")`.
    pub fn is(&self, method: &str, beginning: &str, end: &str) -> bool {
        self.method == method && self.path.starts_with(beginning) && self.path.ends_with(end)
    }
}

/// The requests as a person reads them in a failed test.
pub fn dump(records: &[Recorded]) -> String {
    let lines = records.iter().map(|record| {
        let answer = if record.status >= 400 { format!(" {}", record.response) } else { String::new() };
        let query: Vec<String> = record.query.iter().map(|(key, value)| format!("{key}={value}")).collect();
        let (status, method, path, query) = (record.status, &record.method, &record.path, query.join("&"));
        format!("{status:3} {method} {path} {query} {}{answer}", record.body)
    });
    lines.collect::<Vec<_>>().join("\n")
}
