//! Faults on demand: answers of the platform that come late, wrong or not at all.

use std::time::Duration;

use serde_json::Value;

/// What happens instead of, or around, the usual answer.
#[derive(Debug, Clone)]
pub enum Action {
    /// Not carried out; this is the answer.
    Status { code: u16, body: Value, headers: Vec<(String, String)> },
    /// Not carried out; the connection is cut.
    DropBefore,
    /// Carried out; the connection is cut before the answer.
    DropAfter,
    /// Carried out after a while of the machine's time.
    Delay(Duration),
    /// Not carried out: 429 with its headers.
    TooMany { retry_after_seconds: f64, global: bool },
    /// Carried out; these headers are added, such as the counters of a rate limit.
    Headers(Vec<(String, String)>),
}

/// A fault that waits for its request.
#[derive(Debug, Clone)]
pub struct Fault {
    /// `POST`, …; empty for every method.
    pub method: &'static str,
    /// A regular expression the path must match: `^/channels/\d+/messages$`.
    pub path: String,
    /// How many requests it strikes.
    pub times: usize,
    pub action: Action,
}

impl Fault {
    /// Whether it strikes this request.
    pub fn fits(&self, method: &str, path: &str) -> bool {
        self.times > 0
            && (self.method.is_empty() || self.method == method)
            && regex::Regex::new(&self.path)
                .expect("the path of a fault is a regular expression")
                .is_match(path)
    }
}
