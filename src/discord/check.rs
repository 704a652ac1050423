//! What is missing before members can be served: asked of the platform, nothing is changed.

use super::api::Api;
use super::needs::{self, lacking, names};
use super::settings::Settings;
use super::start::ServeError;
use super::trouble::Meaning;
use crate::reply::say;
use serde_json::Value;
use serenity::model::permissions::Permissions;

/// The application's flags that stand for the content intent: granted, and granted to a small application.
const CONTENT_INTENT: u64 = (1 << 18) | (1 << 19);

/// The permissions an invitation asks for.
pub const PERMISSIONS: u64 = needs::ALL;

/// What was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// One line each.
    pub lines: Vec<String>,
    /// Whether something must be put right first.
    pub missing: bool,
}

/// Asks the platform what this token may do.
///
/// # Errors
/// When the platform cannot be reached.
pub async fn check(settings: &Settings) -> Result<Found, ServeError> {
    let api = Api::new(settings)?;
    let mut found = Found { lines: Vec::new(), missing: false };
    let account = match api.own_account().await {
        Ok(account) => account,
        Err(trouble) if trouble.meaning() == Meaning::WrongToken => {
            found.lack(say("platform.check.wrong_token", &[]));
            return Ok(found);
        }
        Err(trouble) => return Err(ServeError::Platform(trouble.to_string())),
    };
    let platform = |trouble: super::trouble::Trouble| ServeError::Platform(trouble.to_string());
    let application = api.application().await.map_err(platform)?;
    let name = account["username"].as_str().unwrap_or_default();
    found.lines.push(say("platform.check.account", &[("name", name)]));
    let id = application["id"].as_str().unwrap_or_default();
    found.lines.push(say("platform.check.invite", &[("id", id), ("permissions", &PERMISSIONS.to_string())]));
    content_intent(&application, settings, &mut found);
    groups(&api.own_groups().await.map_err(platform)?, &mut found);
    Ok(found)
}

fn content_intent(application: &Value, settings: &Settings, found: &mut Found) {
    let granted = application["flags"].as_u64().unwrap_or_default() & CONTENT_INTENT != 0;
    match (settings.listen.anywhere(), granted) {
        (false, _) => found.lines.push(say("platform.check.no_listening", &[])),
        (true, true) => found.lines.push(say("platform.check.listening", &[])),
        (true, false) => found.lack(say("platform.check.content_intent", &[])),
    }
}

fn groups(groups: &Value, found: &mut Found) {
    let groups = groups.as_array().map(Vec::as_slice).unwrap_or_default();
    if groups.is_empty() {
        found.lack(say("platform.check.no_group", &[]));
    }
    for group in groups {
        let name = group["name"].as_str().unwrap_or_default();
        let has: u64 = group["permissions"].as_str().and_then(|bits| bits.parse().ok()).unwrap_or_default();
        let missing = lacking(Permissions::from_bits_truncate(has));
        if missing.is_empty() {
            found.lines.push(say("platform.check.group", &[("name", name)]));
            continue;
        }
        found.lack(say("platform.check.lacking", &[("name", name), ("permissions", &names(&missing))]));
        found.lines.extend(missing.iter().map(|right| right.without(name)));
    }
}

impl Found {
    fn lack(&mut self, line: String) {
        self.lines.push(line);
        self.missing = true;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn a_group_that_lacks_a_permission_is_named_with_it() {
        let mut found = Found { lines: Vec::new(), missing: false };
        let bits = (PERMISSIONS & !(1 << 38)).to_string();
        groups(&json!([{ "name": "Cellar", "permissions": bits }]), &mut found);
        assert!(found.missing);
        assert!(
            found.lines[0].contains("Cellar") && found.lines[0].contains("in threads"),
            "{:?}",
            found.lines
        );
        assert!(
            found.lines[1].starts_with("Cellar: ") && found.lines[1].contains("no reminders"),
            "{found:?}"
        );
    }
}
