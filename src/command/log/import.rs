//! `/log import`: placeholder

/// The largest file that is taken.
pub const MOST_FILE_BYTES: usize = 10 * 1024 * 1024;
