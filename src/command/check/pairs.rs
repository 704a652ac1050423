//! Options that stand in pairs: the nth of one belongs to the nth of the other.

use crate::command::Args;
use crate::command::error::{Code, UserError};
use crate::reply::say;

/// The longest name of a meter.
const LONGEST_NAME: usize = 40;

/// The values of two options side by side; as many of one as of the other, and at least one.
pub(super) fn pairs<'a>(
    args: Args<'a>,
    first: &'static str,
    second: &'static str,
) -> Result<Vec<(&'a str, &'a str)>, UserError> {
    let (one, other) = (args.several(first), args.several(second));
    if one.is_empty() {
        return Err(args.missing(first));
    }
    if other.is_empty() {
        return Err(args.missing(second));
    }
    if one.len() != other.len() {
        let (count, other_count) = (one.len().to_string(), other.len().to_string());
        let holes = [("first", first), ("second", second), ("count", &*count), ("other", &other_count)];
        return Err(args.error(Code::MissingOption, say("check.pairs", &holes)));
    }
    Ok(one.into_iter().zip(other).collect())
}

/// The name of a meter, with single spaces.
pub(super) fn name(args: Args<'_>) -> Result<Option<String>, UserError> {
    let Some(text) = args.text("name") else { return Ok(None) };
    if text.chars().count() > LONGEST_NAME {
        let most = LONGEST_NAME.to_string();
        return Err(args.error(Code::OutOfRange, say("check.name_too_long", &[("most", &most)])));
    }
    Ok(Some(text.split_whitespace().collect::<Vec<_>>().join(" ")))
}
