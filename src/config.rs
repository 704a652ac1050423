//! Settings from the command line, the environment and files. Nothing else reads the environment.

use anyhow::Context;
use std::path::{Path, PathBuf};
use tallyhook::discord::settings::{Raw, Settings};

/// The file of the record when none is named.
const DEFAULT_DATA: &str = "tallyhook.sqlite3";

/// The name of the token among a service's credentials.
const CREDENTIAL: &str = "tallyhook-token";

/// The file of the record: as given, else as the environment says, else in the current folder.
pub(crate) fn data_file(given: Option<PathBuf>) -> PathBuf {
    given
        .or_else(|| variable("TALLYHOOK_DATA").map(PathBuf::from))
        .unwrap_or_else(|| PathBuf::from(DEFAULT_DATA))
}

/// How the front end on Discord is started.
pub(crate) fn discord() -> anyhow::Result<Settings> {
    let certificate = match variable("TALLYHOOK_API_CERTIFICATE") {
        Some(file) => Some(text_of(Path::new(&file), "TALLYHOOK_API_CERTIFICATE")?),
        None => None,
    };
    let raw = Raw {
        token: token()?,
        api: variable("TALLYHOOK_API"),
        gateway: variable("TALLYHOOK_GATEWAY"),
        certificate,
        listen: variable("TALLYHOOK_LISTEN"),
    };
    Ok(Settings::read(&raw)?)
}

/// From the file that is named, else from the service's credentials, else from the environment itself.
fn token() -> anyhow::Result<Option<String>> {
    if let Some(file) = variable("TALLYHOOK_TOKEN_FILE") {
        return text_of(Path::new(&file), "TALLYHOOK_TOKEN_FILE").map(Some);
    }
    if let Some(folder) = variable("CREDENTIALS_DIRECTORY") {
        let file = Path::new(&folder).join(CREDENTIAL);
        if file.exists() {
            return text_of(&file, "the credential").map(Some);
        }
    }
    Ok(variable("TALLYHOOK_TOKEN"))
}

fn text_of(file: &Path, setting: &str) -> anyhow::Result<String> {
    std::fs::read_to_string(file)
        .with_context(|| format!("{setting} names {}, which cannot be read", file.display()))
}

#[expect(clippy::disallowed_methods, reason = "this is the one place that reads the environment")]
fn variable(name: &str) -> Option<String> {
    std::env::var(name).ok().filter(|value| !value.is_empty())
}
