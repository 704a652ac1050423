//! The platform's error bodies: a status, a code of its own and a message.

use serde_json::{Value, json};

/// A request that is not carried out.
#[derive(Debug, Clone)]
pub struct Refusal {
    pub status: u16,
    pub body: Value,
}

/// A refusal with the platform's code and words.
pub fn refuse<T>(status: u16, code: u32, message: &str) -> Result<T, Refusal> {
    Err(Refusal { status, body: json!({ "code": code, "message": message }) })
}

/// What is wrong with a body, gathered field by field as the platform does for code 50035.
#[derive(Debug, Default)]
pub struct Problems {
    errors: Value,
    any: bool,
}

impl Problems {
    /// Notes a fault at a dotted path such as `embeds.0.title`.
    pub fn add(&mut self, path: &str, code: &str, message: impl Into<String>) {
        self.any = true;
        if self.errors.is_null() {
            self.errors = json!({});
        }
        let mut place = &mut self.errors;
        for step in path.split('.') {
            place = &mut place[step];
        }
        let fault = json!({ "code": code, "message": message.into() });
        match place["_errors"].as_array_mut() {
            Some(faults) => faults.push(fault),
            None => place["_errors"] = json!([fault]),
        }
    }

    /// Notes a text that is too long, counted in characters.
    pub fn longest(&mut self, path: &str, text: &Value, most: usize) {
        if text.as_str().is_some_and(|text| text.chars().count() > most) {
            self.add(path, "BASE_TYPE_MAX_LENGTH", format!("Must be {most} or fewer in length."));
        }
    }

    /// Notes a text that must be there and have 1 to `most` characters.
    pub fn needed(&mut self, path: &str, text: &Value, most: usize) {
        let long = text.as_str().map_or(0, |text| text.chars().count());
        if text.is_null() {
            self.add(path, "BASE_TYPE_REQUIRED", "This field is required");
        } else if long == 0 || long > most {
            let message = format!("Must be between 1 and {most} in length.");
            self.add(path, "BASE_TYPE_BAD_LENGTH", message);
        }
    }

    /// Notes a list with too many entries.
    pub fn at_most(&mut self, path: &str, list: &Value, most: usize) {
        if list.as_array().is_some_and(|list| list.len() > most) {
            self.add(path, "BASE_TYPE_MAX_LENGTH", format!("Must be {most} or fewer in length."));
        }
    }

    /// Fine, or code 50035 with everything that was noted.
    pub fn finish(self) -> Result<(), Refusal> {
        if !self.any {
            return Ok(());
        }
        let body = json!({ "code": 50035, "message": "Invalid Form Body", "errors": self.errors });
        Err(Refusal { status: 400, body })
    }
}
