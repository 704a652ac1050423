//! Settings from the command line and the environment.

use std::path::PathBuf;

/// The file of the record when none is named.
const DEFAULT_DATA: &str = "tallyhook.sqlite3";

/// Names the file of the record.
const DATA_VARIABLE: &str = "TALLYHOOK_DATA";

/// The file of the record: as given, else as the environment says, else in the current folder.
#[expect(clippy::disallowed_methods, reason = "this is the one place that reads the environment")]
pub(crate) fn data_file(given: Option<PathBuf>) -> PathBuf {
    given
        .or_else(|| std::env::var(DATA_VARIABLE).ok().map(PathBuf::from))
        .unwrap_or_else(|| PathBuf::from(DEFAULT_DATA))
}
