//! Between what a column holds and what the record means.

use super::error::StoreError;
use chrono::{DateTime, Utc};
use serde::Serialize;
use serde::de::DeserializeOwned;

/// An instant as a column holds it: whole milliseconds since 1970, UTC.
pub(super) const fn ms(at: DateTime<Utc>) -> i64 {
    at.timestamp_millis()
}

/// An instant from its column.
pub(super) fn instant(ms: i64) -> Result<DateTime<Utc>, StoreError> {
    DateTime::from_timestamp_millis(ms).ok_or_else(|| StoreError::unreadable("time", &ms))
}

/// A payload as a column holds it.
pub(super) fn json<T: Serialize>(value: &T) -> Result<String, StoreError> {
    serde_json::to_string(value).map_err(|error| StoreError::unfit(&error))
}

/// A payload from its column.
pub(super) fn parsed<T: DeserializeOwned>(what: &'static str, text: &str) -> Result<T, StoreError> {
    serde_json::from_str(text).map_err(|error| StoreError::unreadable(what, &error))
}

/// A word from its column.
pub(super) fn word<T>(
    what: &'static str,
    text: &str,
    parse: impl Fn(&str) -> Option<T>,
) -> Result<T, StoreError> {
    parse(text).ok_or_else(|| StoreError::unreadable(what, &text))
}

/// A count from its column.
pub(super) fn count(what: &'static str, number: i64) -> Result<u32, StoreError> {
    u32::try_from(number).map_err(|error| StoreError::unreadable(what, &error))
}

/// Turns every row into what it means.
pub(super) fn each<R, T>(rows: Vec<R>) -> Result<Vec<T>, StoreError>
where
    T: TryFrom<R, Error = StoreError>,
{
    rows.into_iter().map(T::try_from).collect()
}
