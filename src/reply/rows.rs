//! What the rows of the rulebooks say, in the language in force. In English that stands in the rulebooks themselves; every
//! other language has it in its wording file, by the row's id: `row_scope."us.comminuted"`. Rows of one id that come in bands
//! share a sentence with the hole `{above}`, or have one each: `row_scope."degree_hours.us above 90"`. Sources and where to
//! look in them stay as they are printed.

use super::wording::{filled, row};
use crate::curing::rule::Limit;
use crate::quantity::format::trimmed;

/// Who and what a row is written for.
pub fn scope(limit: &Limit) -> String {
    worded("row_scope", limit).unwrap_or_else(|| limit.scope.clone())
}

/// The figure as its source prints it, in words where it has words.
pub fn printed(limit: &Limit) -> String {
    worded("row_printed", limit).unwrap_or_else(|| limit.printed.clone())
}

/// What the row of another table is called or adds, by the table and the row's id.
pub fn name(table: &str, id: &str, english: &str) -> String {
    row(&format!("row_name.{table}.{id}")).cloned().unwrap_or_else(|| english.to_owned())
}

fn worded(section: &str, limit: &Limit) -> Option<String> {
    let above = limit.above.map(|above| trimmed(above, 1)).unwrap_or_default();
    let own = if above.is_empty() { None } else { row(&format!("{section}.{} above {above}", limit.id)) };
    let template = own.or_else(|| row(&format!("{section}.{}", limit.id)))?;
    Some(filled(template, &[("above", &above)]))
}
